//! What every workshop command needs: its vehicle found, its values spread.

use crate::input::{InputError, Source, case};
use crate::page::record::Spread;
use sim::network::{Place, Vehicle};
use sim::study::workshop::Span;

/// The vehicle that a question names, if it does.
pub(super) fn vehicle(
    source: &Source,
    name: Option<&String>,
) -> Result<Option<Vehicle>, InputError> {
    name.map(|name| case::vehicle(source, name)?.parse())
        .transpose()
}

/// A place by its word in files, as people read it.
pub(super) fn label(place: &str) -> String {
    let found = place.parse::<Place>();
    found.map_or_else(|_| place.replace('_', " "), Place::label)
}

/// A span times a factor.
pub(super) fn spread(span: Span, factor: f64) -> Spread {
    Spread {
        value: span.value * factor,
        low: span.low * factor,
        high: span.high * factor,
    }
}
