//! What every command gives: an answer, or the trouble that stood in its way; where the answer
//! goes, in which form, with which pictures.

pub mod air_ledger;
pub mod air_path;
mod asked;
pub mod choices;
pub mod csv;
pub mod dangers;
pub mod door;
pub(crate) mod drive_log;
#[cfg(feature = "program")]
pub mod engine;
#[cfg(feature = "program")]
pub mod follow;
pub mod gist;
pub mod given;
pub mod head;
pub mod how;
pub(crate) mod options;
mod pictures;
pub mod readings;
pub(crate) mod settled;
pub mod write;
pub mod written;

pub use asked::{
    Answers, Asked, Every, Form, Forms, Plain, SchemaOf, WithCsv, WithMarkdown, json, schema,
    unfolded,
};
pub use pictures::Pictures;

use crate::answer::gist::Gist;
use crate::answer::write::{OutFile, Output};
use crate::input::InputError;
use crate::text::printed::Text;

/// What is printed, and what had no answer.
pub struct Answer {
    /// Text for the terminal; none when it goes to a file.
    pub terminal: Option<Text>,
    /// What is to be written.
    pub files: Vec<Output>,
    /// Physics without an answer, one line each.
    pub failures: Vec<String>,
    /// What it comes to, where it may be followed.
    pub gist: Option<Gist>,
}

impl Answer {
    /// This text, for `out` if that is given.
    pub fn given(text: impl Into<Text>, out: Option<&OutFile>, failures: Vec<String>) -> Self {
        let text = text.into();
        let (terminal, files) = match out {
            Some(file) => (None, vec![file.holding(text.to_string())]),
            None => (Some(text), Vec::new()),
        };
        Self {
            terminal,
            files,
            failures,
            gist: None,
        }
    }

    /// No answer, and why.
    pub fn none(failures: Vec<String>) -> Self {
        Self {
            terminal: None,
            files: Vec::new(),
            failures,
            gist: None,
        }
    }

    /// The same with what it comes to.
    #[must_use]
    pub fn coming_to(self, gist: Gist) -> Self {
        Self {
            gist: Some(gist),
            ..self
        }
    }

    /// The same with more to be written.
    #[must_use]
    pub fn with(mut self, files: impl IntoIterator<Item = Output>) -> Self {
        self.files.extend(files);
        self
    }
}

/// Why there is nothing to print.
pub enum Trouble {
    /// Something in a file.
    Input(InputError),
    /// Anything else: options, writing.
    Other(String),
}

impl From<InputError> for Trouble {
    fn from(e: InputError) -> Self {
        Trouble::Input(e)
    }
}
