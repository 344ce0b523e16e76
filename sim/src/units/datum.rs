//! From where a pressure counts: `abs`, `gauge`, or neither.

use super::table::{ATMOSPHERE, Unit, family};
use super::{Dimension, round};
use crate::spelling::quote;

/// From where a pressure counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Datum {
    /// `abs`: upward from vacuum.
    Vacuum,
    /// `gauge`: upward from ambient.
    Ambient,
    /// `vac`: downward from ambient, as a vacuum gauge reads. Never accepted, but understood.
    BelowAmbient,
    /// Nothing said.
    None,
}

impl Datum {
    /// The word after the unit, with the space before it.
    pub(super) fn word(self) -> &'static str {
        match self {
            Datum::Vacuum => " abs",
            Datum::Ambient => " gauge",
            Datum::BelowAmbient => " vac",
            Datum::None => "",
        }
    }
}

impl Dimension {
    /// From where a pressure of this dimension counts.
    pub(super) fn datum(self) -> Datum {
        match self {
            Dimension::AbsolutePressure => Datum::Vacuum,
            Dimension::GaugePressure => Datum::Ambient,
            _ => Datum::None,
        }
    }

    pub(super) fn is_pressure(self) -> bool {
        self == Dimension::PressureDifference || self.datum() != Datum::None
    }
}

/// Parts a unit without spaces, `kPagauge`, from its word.
pub(super) fn split_datum(plain: &str) -> (&str, Datum) {
    const WORDS: [(&str, Datum); 6] = [
        ("absolute", Datum::Vacuum),
        ("abs", Datum::Vacuum),
        ("gauge", Datum::Ambient),
        ("gage", Datum::Ambient),
        ("vacuum", Datum::BelowAmbient),
        ("vac", Datum::BelowAmbient),
    ];
    for (word, datum) in WORDS {
        // `get` is none inside a character of several bytes: then it is not the word.
        let at = plain.len().saturating_sub(word.len());
        if (plain.get(at..)).is_some_and(|end| end.eq_ignore_ascii_case(word)) {
            return (&plain[..at], datum);
        }
    }
    (plain, Datum::None)
}

/// Refuses a pressure counted from the wrong place, saying how to write it.
pub(super) fn check_datum(
    text: &str,
    number: f64,
    unit: &Unit,
    found: Datum,
    dimension: Dimension,
) -> Result<(), String> {
    let needed = dimension.datum();
    if found == needed {
        return Ok(());
    }
    let name = family(dimension).name;
    let ambient = unit.number(ATMOSPHERE);
    let write = |number: f64| format!("`{} {}{}`", round(number, 4), unit.name, needed.word());
    let from_gauge = |reading: f64| match needed {
        Datum::Vacuum => write(reading + ambient) + " at standard ambient",
        _ => write(reading),
    };
    let says = match found {
        Datum::Vacuum => "counts from vacuum",
        Datum::Ambient => "is above ambient",
        Datum::BelowAmbient => "is below ambient",
        Datum::None => "does not say from where it counts",
    };
    let instead = match (found, needed) {
        (_, Datum::None) => format!("without a word: {}", write(number)),
        (Datum::None, Datum::Vacuum) => format!(
            "{}, or {} if it was read on a gauge",
            write(number),
            write(number + ambient)
        ),
        (Datum::None, _) => format!(
            "{}, or {} if it counts from vacuum",
            write(number),
            write(number - ambient)
        ),
        (Datum::Vacuum, _) => format!("e.g. {} at standard ambient", write(number - ambient)),
        (Datum::Ambient, _) => format!("e.g. {}", from_gauge(number)),
        (Datum::BelowAmbient, _) => format!("e.g. {}", from_gauge(-number)),
    };
    let text = quote(text.trim());
    Err(format!("{text} {says}; here {name} is needed, {instead}"))
}
