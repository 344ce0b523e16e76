//! English.

pub(crate) mod asking;
pub(crate) mod cautions;
pub(crate) mod driving;
pub(crate) mod explaining;
pub(crate) mod judging;
pub(crate) mod plan;
pub(crate) mod sealing;
pub(crate) mod sizing;
pub(crate) mod solving;

/// A clause with its first letter as a sentence begins.
pub(crate) fn capitalised(clause: &str) -> String {
    let mut letters = clause.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// A clause as a sentence.
pub(crate) fn sentence(clause: &str) -> String {
    capitalised(clause) + "."
}
