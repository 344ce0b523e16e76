//! Why a text is no quantity: what is wrong, and what is allowed.

use super::datum::Datum;
use super::table::{ATMOSPHERE, Family, Unit, family};
use super::{Dimension, allowed, expected, round};
use crate::spelling::{quote, unknown};
use std::fmt;

/// Why a text is no quantity of its dimension. Shown, the first line is what is wrong, the
/// following lines what is allowed.
#[derive(Clone, Debug, PartialEq)]
pub enum UnitError {
    /// It does not start with a number.
    NoNumber(String, Dimension),
    /// It has a decimal comma, or one that parts thousands.
    Comma(String),
    /// It is more than one number and a unit.
    NotOneNumber(String, Dimension),
    /// It is too large for a number.
    TooLarge(String),
    /// A number that is infinite or none.
    NotFinite(f64),
    /// It has no unit.
    NoUnit(String, Dimension),
    /// No unit is given to convert to.
    UnitNeeded(Dimension),
    /// Its unit is none.
    UnknownUnit(String, Dimension),
    /// Its unit is of another dimension, the second.
    OtherKind(String, Dimension, Dimension),
    /// A pressure whose unit and datum are written so here.
    Written(String, &'static str, &'static str),
    /// A unit to convert to that does not fit, and the right one.
    Misfit(String, String, Dimension),
    /// A pressure counted from the wrong place.
    Datum(WrongDatum),
    /// It is below this: vacuum, absolute zero.
    Below(String, &'static str),
    /// It is no number in this unit, which may stand behind it.
    NotPlain(String, String),
}

/// A pressure counted from the wrong place.
#[derive(Clone, Debug, PartialEq)]
pub struct WrongDatum {
    pub(super) text: String,
    pub(super) number: f64,
    pub(super) unit: &'static Unit,
    pub(super) found: Datum,
    pub(super) dimension: Dimension,
}

impl fmt::Display for UnitError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            UnitError::NoNumber(text, dimension) => write!(
                f,
                "{} does not start with a number; {} is needed",
                quote(text),
                expected(*dimension)
            ),
            UnitError::Comma(text) => comma(f, text),
            UnitError::NotOneNumber(text, dimension) => write!(
                f,
                "{} is not one number and a unit; {} is needed",
                quote(text),
                expected(*dimension)
            ),
            UnitError::TooLarge(text) => write!(f, "{} is too large", quote(text)),
            UnitError::NotFinite(value) => write!(f, "`{value}` is not a number to compute with"),
            UnitError::NoUnit(text, dimension) => {
                let Family { name, example, .. } = family(*dimension);
                let (text, allowed) = (quote(text), allowed(*dimension));
                write!(
                    f,
                    "{text} has no unit; {name} is needed, e.g. `\"{example}\"`\n{allowed}"
                )
            }
            UnitError::UnitNeeded(dimension) => {
                let Family { name, example, .. } = family(*dimension);
                write!(f, "a unit is needed: {name}, as in `{example}`")
            }
            UnitError::UnknownUnit(text, dimension) => {
                let first = unknown("unit", text, dimension.units());
                write!(f, "{first}\n{}", allowed(*dimension))
            }
            UnitError::OtherKind(text, dimension, of) => {
                let of = match of.is_pressure() {
                    true => "a pressure",
                    false => family(*of).name,
                };
                let (text, expected) = (quote(text), expected(*dimension));
                writeln!(f, "{text} is for {of}; {expected} is needed")?;
                f.write_str(&allowed(*dimension))
            }
            UnitError::Written(text, base, word) => {
                write!(f, "{} is written `{base} {word}` here", quote(text))
            }
            UnitError::Misfit(unit, right, dimension) => {
                let name = family(*dimension).name;
                write!(f, "{} does not fit {name}: write `{right}`", quote(unit))
            }
            UnitError::Datum(wrong) => wrong.fmt(f),
            UnitError::Below(text, what) => write!(f, "{} is below {what}", quote(text)),
            UnitError::NotPlain(text, unit) => {
                let unit = if unit.is_empty() { "plain form" } else { unit };
                write!(f, "{} is not a number in {unit}", quote(text))
            }
        }
    }
}

impl std::error::Error for UnitError {}

/// As the message of a reader.
impl From<UnitError> for String {
    fn from(error: UnitError) -> String {
        error.to_string()
    }
}

fn comma(f: &mut fmt::Formatter, text: &str) -> fmt::Result {
    let point = text.replacen(',', ".", 1);
    write!(
        f,
        "{} has a comma; decimals take a point: write {}",
        quote(text),
        quote(&point)
    )?;
    let after = text.split_once(',').map_or("", |(_, after)| after);
    if super::number::number_length(after.as_bytes()) >= 3 {
        let whole = quote(&text.replace(',', ""));
        write!(f, ", or {whole} if it parts thousands")?;
    }
    Ok(())
}

impl fmt::Display for WrongDatum {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let (number, unit, needed) = (self.number, self.unit, self.dimension.datum());
        let name = family(self.dimension).name;
        let ambient = unit.number(ATMOSPHERE);
        let write = |number: f64| format!("`{} {}{}`", round(number, 4), unit.name, needed.word());
        let from_gauge = |reading: f64| match needed {
            Datum::Vacuum => write(reading + ambient) + " at standard ambient",
            _ => write(reading),
        };
        let says = match self.found {
            Datum::Vacuum => "counts from vacuum",
            Datum::Ambient => "is above ambient",
            Datum::BelowAmbient => "is below ambient",
            Datum::None => "does not say from where it counts",
        };
        let instead = match (self.found, needed) {
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
        let text = quote(&self.text);
        f.write_fmt(format_args!(
            "{text} {says}; here {name} is needed, {instead}"
        ))
    }
}
