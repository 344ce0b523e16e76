//! What every workshop command needs: its vehicle found, its values spread.

use crate::input::{InputError, Source, read_toml};
use crate::page::record::Spread;
use sim::network::Vehicle;
use sim::scenario::Mistake;
use sim::study::workshop::Span;
use std::path::Path;

/// A mistake at its place in the file or among the flags.
pub(super) fn at(source: &Source, mistake: Mistake) -> InputError {
    source.error_at(&mistake.key, mistake.message)
}

/// The vehicle that a question names; its path counts from the question's file.
pub(super) fn vehicle(
    source: &Source,
    name: Option<&String>,
) -> Result<Option<Vehicle>, InputError> {
    let Some(name) = name else { return Ok(None) };
    let path = source.path().parent().unwrap_or(Path::new("")).join(name);
    if !path.is_file() {
        let trouble = Source::read(&path).err();
        let why = trouble.map_or("this is not a file".into(), |e| e.message().to_string());
        let message = format!("the vehicle file cannot be read: {why}");
        return Err(source.error_at("vehicle", message));
    }
    read_toml(&path).map(Some)
}

/// A span times a factor.
pub(super) fn spread(span: Span, factor: f64) -> Spread {
    Spread {
        value: span.value * factor,
        low: span.low * factor,
        high: span.high * factor,
    }
}
