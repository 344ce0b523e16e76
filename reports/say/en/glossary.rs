//! `glossary`.

use sim::sentences;

sentences! {
    /// Title.
    TITLE "The words of this program";
    /// What it is.
    ABOUT "Each word means one thing in every answer, page and file. Where a standard has a term, it stands \
        beside it.";
    /// Of the standards.
    WORDING "Terms of the standards are given in meaning: typical wording, not checked against the standard's \
        text.";
    /// Where the other English is found.
    OTHER "Words that differ between American and British English follow `--english us` or `--english uk`; \
        keys in files are the same in both.";
}
