//! A flow as a meter shows it: by mass, or by volume at the meter's own conditions.

use crate::params::{Content, Described, Form};
use crate::units::{Dimension, parse, written};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::fmt;

/// A flow as a meter shows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shown {
    /// kg/s.
    Mass(f64),
    /// m³/s, at the meter's reference conditions.
    Volume(f64),
}

/// Spellings of meters that say "standard" or count by the hour, by a unit of the table.
const METERS: [(&str, &str, f64); 8] = [
    ("scfh", "cfm", 1.0 / 60.0),
    ("cfh", "cfm", 1.0 / 60.0),
    ("ft3/h", "cfm", 1.0 / 60.0),
    ("scfm", "cfm", 1.0),
    ("slpm", "L/min", 1.0),
    ("sl/min", "L/min", 1.0),
    ("nl/min", "L/min", 1.0),
    ("sccm", "cc/min", 1.0),
];

impl Shown {
    /// Reads a mass flow or a volume flow.
    ///
    /// # Errors
    /// The message of [`parse`], and what else is accepted.
    pub fn read(text: &str) -> Result<Self, String> {
        let low = text.trim().to_lowercase();
        for (meter, unit, factor) in METERS {
            // `scfh` also ends in `cfh`; a number does not end in a letter.
            let ends_as_number = |n: &&str| n.ends_with(|c: char| c.is_ascii_digit() || c == '.');
            let number = low.strip_suffix(meter).map(str::trim_end);
            if let Some(number) = number.filter(ends_as_number) {
                let value = parse(&format!("{number} {unit}"), Dimension::VolumeFlow)?;
                return Ok(Shown::Volume(value * factor));
            }
        }
        if let Ok(mass) = parse(text, Dimension::MassFlow) {
            return Ok(Shown::Mass(mass));
        }
        let volume = parse(text, Dimension::VolumeFlow);
        volume.map(Shown::Volume).map_err(|why| {
            let meters: Vec<&str> = METERS.iter().map(|unit| unit.0).collect();
            let masses: Vec<&str> = Dimension::MassFlow.units().collect();
            format!("{why}\nor {}, or {}", meters.join(", "), masses.join(", "))
        })
    }
}

impl Described for Shown {
    fn form() -> Form {
        Form::Text
    }

    fn content(&self) -> Content {
        let text = match self {
            Shown::Mass(value) => written(*value, Dimension::MassFlow),
            Shown::Volume(value) => written(*value, Dimension::VolumeFlow),
        };
        Content::Text(text)
    }
}

impl<'de> Deserialize<'de> for Shown {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Reader)
    }
}

struct Reader;

impl Visitor<'_> for Reader {
    type Value = Shown;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(
            "a flow with its unit, as the meter shows it: `\"3 L/min\"`, `\"12 scfh\"`, `\"0.05 g/s\"`",
        )
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Shown, E> {
        Shown::read(text).map_err(E::custom)
    }
}
