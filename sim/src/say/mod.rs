//! What answers say: every sentence, once, in one language.
//!
//! `sentences!` makes a function of each: a fixed one gives its text, one with numbers takes them
//! as arguments, so that the compiler checks both. A sentence is written whole; where it says one
//! thing or another, both stand here. Another language is a folder beside `en` with the same
//! functions. Nothing asks a sentence what it says: what was found is a type elsewhere.
//!
//! Not here: documentation of keys, words of files, and what readers say of wrong input, which
//! stand beside what they are about.

/// Entries of a catalogue of sentences: `name(numbers) "text {number:.1}";`, or `NAME "text";` and
/// `name() "text";` for one that is always the same.
#[macro_export]
macro_rules! sentences {
    ($( $(#[doc = $doc:literal])* $name:ident $(( $($number:ident),* ))? $text:literal; )+) => {
        $( $crate::sentences!(@one [$(#[doc = $doc])*] $name $([$($number)*])? $text); )+
    };
    (@one [$($doc:tt)*] $name:ident $text:literal) => {
        $($doc)* pub const $name: &str = $text;
    };
    (@one [$($doc:tt)*] $name:ident [] $text:literal) => {
        $($doc)* pub const fn $name() -> &'static str { $text }
    };
    (@one [$($doc:tt)*] $name:ident [$($number:ident)+] $text:literal) => {
        $($doc)* pub fn $name($($number: impl std::fmt::Display),+) -> String { format!($text) }
    };
}

mod en;

pub(crate) use en::*;
