//! Reading files that people write.
//!
//! Every fault of an input is an [`InputError`]: the file, the line, the dotted
//! key, what was found, what is allowed. The program ends with code 2.

pub mod beside;
pub mod case;
mod error;
mod file;
pub mod files;
pub mod gas_stand;
pub mod log;
pub mod made_from;
mod place;
pub mod readings;
pub mod shelf;
pub mod twins;

pub use error::{InputError, colour_on};
pub use file::{open, read_at_most, read_text};

use serde::de::DeserializeOwned;
use std::path::{Path, PathBuf};
use toml::de::{DeTable, Deserializer};

/// Reads a TOML file into a checked type.
///
/// # Errors
/// The file cannot be read (missing, a folder, too large, empty, not UTF-8), is
/// not TOML, or does not say what `T` needs.
pub fn read_toml<T: DeserializeOwned>(path: &Path) -> Result<T, InputError> {
    Source::read(path)?.parse()
}

/// The text of a TOML file, kept so that a fault found later still has its line.
#[derive(Clone, Debug)]
pub struct Source {
    path: PathBuf,
    text: String,
}

impl Source {
    /// Reads a file of at most 4 MB.
    ///
    /// # Errors
    /// The file is missing, a folder, not readable, too large, empty or not UTF-8.
    pub fn read(path: &Path) -> Result<Self, InputError> {
        Ok(Self {
            text: file::read_text(path)?,
            path: path.into(),
        })
    }

    /// A text that came from elsewhere; `path` is what messages call it.
    pub fn from_text(path: &Path, text: &str) -> Self {
        Self {
            path: path.into(),
            text: text.into(),
        }
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Its text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Reads the text into a checked type.
    ///
    /// # Errors
    /// The text is not TOML, or does not say what `T` needs.
    pub fn parse<T: DeserializeOwned>(&self) -> Result<T, InputError> {
        let (root, faults) = DeTable::parse_recoverable(&self.text);
        if let Some(fault) = faults.first() {
            return Err(self.malformed(root.get_ref(), fault));
        }
        T::deserialize(Deserializer::from(root)).map_err(|fault| self.refused(&fault))
    }

    /// A fault found after reading, such as two keys that contradict each other.
    ///
    /// `key` is dotted, list places as numbers from 0: `leaks.0.gap`. Where the
    /// file does not hold the key, the nearest table that does is pointed at.
    pub fn error_at(&self, key: &str, message: impl Into<String>) -> InputError {
        let error = InputError::new(&self.path, message);
        let root = DeTable::parse_recoverable(&self.text).0;
        error.at(&self.text, place::span_of(root.get_ref(), key), key)
    }

    /// What the reader of TOML itself objects to.
    fn malformed(&self, root: &DeTable, fault: &toml::de::Error) -> InputError {
        let span = fault.span().unwrap_or(0..0);
        let mut message = fault.message().to_string();
        let here = self.text.get(span.clone()).unwrap_or_default();
        let mut key = place::key_around(root, span.start);
        if message == "duplicate key" {
            message = format!("`{here}` is given twice");
            if key.rsplit('.').next() != Some(here) {
                key = place::join(&key, here);
            }
        // The TOML reader gives its objections as text only; of them this one is told apart, for
        // one sees it when quotes are forgotten. Said otherwise, its own words stand.
        } else if message.starts_with("string values must be quoted") && !here.is_empty() {
            message = format!("text must be quoted\nwrite \"{}\"", here.trim());
        } else if self.text[span.start..].starts_with(',') {
            message += "\ndecimals take a point, and a quantity is written in quotes: \"0.38 mm\"";
        }
        InputError::new(&self.path, message).at(&self.text, Some(span), &key)
    }

    /// What the type objects to.
    fn refused(&self, fault: &toml::de::Error) -> InputError {
        let error = InputError::new(&self.path, plain(fault.message()));
        // An error without input ends with the keys that lead to it.
        let shown = fault.to_string();
        let keys = shown[fault.message().len()..].trim();
        let keys = keys.strip_prefix("in `").and_then(|k| k.strip_suffix('`'));
        let Some(span) = fault.span() else {
            return error;
        };
        if keys.is_none() && span == (0..0) {
            return error; // The whole file: something is missing at its top.
        }
        let root = DeTable::parse_recoverable(&self.text).0;
        let key = place::key_of(root.get_ref(), &span, keys.unwrap_or_default());
        error.at(&self.text, Some(span), &key)
    }
}

/// Whether a file says that its car or machine is invented: by that word in its name or
/// description, for no key says it.
pub fn invented(said: &[&str]) -> bool {
    said.iter().any(|text| text.contains("invented"))
}

/// The wording of derived readers, brought to that of our own.
fn plain(message: &str) -> String {
    if let Some(rest) = message.strip_prefix("invalid type: ") {
        let rest = rest.replacen("map,", "a table,", 1);
        return format!("found {}", rest.replacen("sequence,", "a list,", 1));
    }
    for (start, kind) in [("unknown field `", "key"), ("unknown variant `", "word")] {
        let rest = message.strip_prefix(start);
        if let Some((found, list)) = rest.and_then(|rest| rest.split_once("`, expected ")) {
            // The list reads "`a`", "`a` or `b`", or "one of `a`, `b`": every second piece.
            let allowed: Vec<&str> = list.split('`').skip(1).step_by(2).collect();
            return sim::spelling::unknown_listed(kind, found, &allowed);
        }
    }
    match message.strip_prefix("missing field ") {
        Some(name) => format!("missing key {name}"),
        None => message.into(),
    }
}
