//! What the command line says of a log.

use crate::{InputError, Source};
use sim::study::knowing::log::{Mapping, Only};
use std::path::Path;

/// What a mapping file says, and the rows asked for instead of its own.
///
/// # Errors
/// The file cannot be used, or names a log.
pub fn mapping(file: Option<&Path>, only: Option<&Only>) -> Result<Mapping, InputError> {
    let mut mapping = Mapping::default();
    if let Some(path) = file {
        let source = Source::read(path)?;
        mapping = source.parse()?;
        if mapping.file.is_some() {
            let message = "a mapping file names no log: the command does";
            return Err(source.error_at("file", message));
        }
    }
    mapping.only = only.cloned().or(mapping.only);
    Ok(mapping)
}

/// `side=healthy`.
///
/// # Errors
/// No such pair.
pub fn only(text: &str) -> Result<Only, String> {
    let parts = text
        .split_once('=')
        .filter(|(column, _)| !column.is_empty());
    let (column, is) = parts.ok_or("write COLUMN=WORD, such as side=healthy")?;
    Ok(Only {
        column: column.into(),
        is: is.into(),
    })
}
