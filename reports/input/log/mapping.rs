//! What the command line says of a log.

use crate::log::letters::repair;
use crate::{InputError, Source};
use sim::study::knowing::log::{Mapping, Only};
use std::path::Path;

/// What is said of a log beside its mapping file.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked<'a> {
    /// Only these rows.
    pub only: Option<&'a Only>,
    /// Time between rows, s.
    pub interval: Option<f64>,
}

/// What a mapping file says, and what is asked for instead of its own.
///
/// # Errors
/// The file cannot be used, or names a log.
pub fn mapping(file: Option<&Path>, asked: Asked) -> Result<Mapping, InputError> {
    let mut mapping = Mapping::default();
    if let Some(path) = file {
        let source = Source::read(path)?;
        mapping = source.parse()?;
        if mapping.file.is_some() {
            let message = "a mapping file names no log: the command does";
            return Err(source.error_at("file", message));
        }
    }
    mapping.only = asked.only.cloned().or(mapping.only);
    mapping.interval = asked.interval.or(mapping.interval);
    Ok(mapping)
}

/// A mapping by the names that its columns are meant to have.
pub(super) fn meant(mapping: &Mapping) -> Mapping {
    let meant = |name: &str| repair(name).into_owned();
    let columns = mapping.columns.iter();
    Mapping {
        columns: columns
            .map(|(name, said)| (meant(name), said.clone()))
            .collect(),
        only: mapping.only.clone().map(|only| Only {
            column: meant(&only.column),
            ..only
        }),
        ..mapping.clone()
    }
}

/// Time between rows, s, from rows a second.
///
/// # Errors
/// No number, or no rate that a log may have.
pub fn rate(text: &str) -> Result<f64, String> {
    let rate = text.trim().parse::<f64>();
    let rate = rate.map_err(|_| "write a number of rows a second, such as 10")?;
    match (1.0 / 60.0..=1e4).contains(&rate) {
        true => Ok(1.0 / rate),
        false => Err("allowed are 0.0167 (a row a minute) to 10000 rows a second".into()),
    }
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
