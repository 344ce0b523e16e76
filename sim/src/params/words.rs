//! A choice among plain words.

use crate::spelling::unknown_listed;
use serde::de::{Error, Visitor};
use std::fmt;

/// Declares an enum whose values are plain words in files and on the command line.
///
/// Each line reads `Variant = "word"`. The enum gets `WORDS` (every word, its
/// variant and meaning), `word()`, `Display`, `FromStr` and `Deserialize`; a
/// wrong word is answered with the nearest right one.
#[macro_export]
macro_rules! words {
    ( $(#[doc = $top:literal])+ pub enum $name:ident {
        $( $(#[doc = $doc:literal])+ $variant:ident = $word:literal , )+
    } ) => {
        $(#[doc = $top])+
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name {
            $( $(#[doc = $doc])+ $variant, )+
        }

        impl $name {
            /// Every word, what it stands for, and its meaning.
            pub const WORDS: &'static [(&'static str, $name, &'static str)] = &[
                $( ($word, $name::$variant, concat!($($doc),+)), )+
            ];

            /// The word in a file.
            pub fn word(self) -> &'static str {
                match self { $( $name::$variant => $word, )+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                f.pad(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::params::UnknownWord;

            fn from_str(text: &str) -> Result<Self, $crate::params::UnknownWord> {
                $crate::params::word_from_text(text, Self::WORDS)
            }
        }

        impl $crate::params::Described for $name {
            fn form() -> $crate::params::Form {
                let words = Self::WORDS.iter().map(|(word, _, meaning)| (*word, meaning.trim()));
                $crate::params::Form::Words(words.collect())
            }

            fn content(&self) -> $crate::params::Content {
                $crate::params::Content::Word(self.word())
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                $crate::params::read_word(from, Self::WORDS)
            }
        }
    };
}

type Words<T> = &'static [(&'static str, T, &'static str)];

/// A word that is none of those allowed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownWord {
    /// What was found.
    pub found: String,
    /// What is allowed.
    pub allowed: Vec<&'static str>,
}

impl fmt::Display for UnknownWord {
    /// The nearest right word, and all of them.
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&unknown_listed("word", &self.found, &self.allowed))
    }
}

impl std::error::Error for UnknownWord {}

/// The value of a word; part of [`words!`](crate::words).
///
/// # Errors
/// It is none of them.
pub fn word_from_text<T: Copy>(text: &str, words: Words<T>) -> Result<T, UnknownWord> {
    let found = words.iter().find(|(word, ..)| *word == text);
    found
        .map(|(_, value, _)| *value)
        .ok_or_else(|| UnknownWord {
            found: text.into(),
            allowed: words.iter().map(|(word, ..)| *word).collect(),
        })
}

/// Reads a word; part of [`words!`](crate::words).
///
/// # Errors
/// As [`word_from_text`], or that something else than text was found.
pub fn read_word<'de, T: Copy, D: serde::Deserializer<'de>>(
    from: D,
    words: Words<T>,
) -> Result<T, D::Error> {
    from.deserialize_any(WordVisitor(words))
}

struct WordVisitor<T: 'static>(Words<T>);

impl<T: Copy> Visitor<'_> for WordVisitor<T> {
    type Value = T;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let list: Vec<&str> = self.0.iter().map(|(word, ..)| *word).collect();
        write!(f, "one of the words {}", list.join(", "))
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        word_from_text(text, self.0).map_err(E::custom)
    }
}
