//! What every workshop command needs: its answer given, its vehicle found, its values spread.

use crate::answer::{Answer, Asked, Trouble};
use crate::input::{InputError, Source, read_toml};
use crate::page::Page;
use serde::Serialize;
use sim::network::Vehicle;
use sim::scenario::Mistake;
use sim::study::workshop::Span;
use sim::units::round;
use std::path::Path;

/// The answer, as text or as JSON, to where it goes; its page or pictures, if asked for.
pub(super) fn give(
    asked: &Asked,
    page: impl FnOnce() -> Page,
    table: impl FnOnce() -> String,
    json: &impl Serialize,
) -> Result<Answer, Trouble> {
    let json = || {
        let text = serde_json::to_string_pretty(json);
        Ok(text.map_err(|e| Trouble::Other(e.to_string()))? + "\n")
    };
    asked.give(page, table, json, Vec::new())
}

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

/// A value with its 90 % limits, in the unit of its key.
#[derive(Clone, Copy, Debug, Serialize)]
pub(super) struct Spread {
    pub value: f64,
    pub low: f64,
    pub high: f64,
}

impl Spread {
    /// A span times a factor.
    pub fn of(span: Span, factor: f64) -> Self {
        Self {
            value: span.value * factor,
            low: span.low * factor,
            high: span.high * factor,
        }
    }

    /// `0.673 mm (0.63 to 0.708 mm)`.
    pub fn words(&self, unit: &str) -> String {
        let [value, low, high] = [self.value, self.low, self.high].map(|x| round(x, 3));
        format!("{value} {unit} ({low} to {high} {unit})")
    }
}
