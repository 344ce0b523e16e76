//! From where a pressure counts: `abs`, `gauge`, or neither.

use super::table::Unit;
use super::{Dimension, UnitError, WrongDatum};

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

/// The words that say it.
pub(super) const DATUM_WORDS: [(&str, Datum); 6] = [
    ("absolute", Datum::Vacuum),
    ("abs", Datum::Vacuum),
    ("gauge", Datum::Ambient),
    ("gage", Datum::Ambient),
    ("vacuum", Datum::BelowAmbient),
    ("vac", Datum::BelowAmbient),
];

/// Parts a unit without spaces, `kPagauge`, from its word.
pub(super) fn split_datum(plain: &str) -> (&str, Datum) {
    for (word, datum) in DATUM_WORDS {
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
    unit: &'static Unit,
    found: Datum,
    dimension: Dimension,
) -> Result<(), UnitError> {
    match found == dimension.datum() {
        true => Ok(()),
        false => Err(UnitError::Datum(WrongDatum {
            text: text.trim().into(),
            number,
            unit,
            found,
            dimension,
        })),
    }
}
