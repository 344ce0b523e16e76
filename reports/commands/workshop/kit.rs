//! What every workshop command needs: its vehicle found, its values spread.

use crate::input::{InputError, Source, case};
use crate::page::record::Spread;
use sim::network::Vehicle;
use sim::scenario::Mistake;
use sim::study::workshop::Span;

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
    case::vehicle(source, name)?.parse().map(Some)
}

/// A span times a factor.
pub(super) fn spread(span: Span, factor: f64) -> Spread {
    Spread {
        value: span.value * factor,
        low: span.low * factor,
        high: span.high * factor,
    }
}
