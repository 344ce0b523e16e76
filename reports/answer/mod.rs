//! What every command gives: an answer, or the trouble that stood in its way; where the answer
//! goes, in which form, with which pictures.

mod asked;
pub mod given;
pub mod head;
pub(crate) mod options;
mod pictures;

pub use asked::{Asked, Form, Format};
pub use pictures::Pictures;

use crate::input::InputError;
use crate::text::write::write_beside;
use std::path::Path;

/// What is printed, and what had no answer.
pub struct Answer {
    /// Text for the terminal; none when it went to a file.
    pub terminal: Option<String>,
    /// Physics without an answer, one line each.
    pub failures: Vec<String>,
}

impl Answer {
    /// This text, written to `out` if that is given.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn given(text: String, out: Option<&Path>, failures: Vec<String>) -> Result<Self, Trouble> {
        let terminal = match out {
            Some(path) => {
                save(path, text.as_bytes())?;
                None
            }
            None => Some(text),
        };
        Ok(Self { terminal, failures })
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

fn save(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    write_beside(path, bytes).map_err(|e| Trouble::Other(e.to_string()))
}
