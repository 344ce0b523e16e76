//! A flow as a meter shows it: by mass, or by volume at the meter's own conditions.

use crate::params::{Content, Described, Form};
use crate::units::{Dimension, UnitError, parse, written};
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

impl Shown {
    /// Reads a mass flow or a volume flow.
    ///
    /// # Errors
    /// The message of [`parse`], and what else is accepted.
    pub fn read(text: &str) -> Result<Self, NoFlow> {
        match parse(text, Dimension::MassFlow) {
            Ok(mass) => Ok(Shown::Mass(mass)),
            Err(_) => match parse(text, Dimension::VolumeFlow) {
                Ok(volume) => Ok(Shown::Volume(volume)),
                Err(why) => Err(NoFlow(why)),
            },
        }
    }
}

/// A text that is neither a mass flow nor a volume flow: why it is no volume flow.
#[derive(Clone, Debug, PartialEq)]
pub struct NoFlow(pub UnitError);

impl fmt::Display for NoFlow {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let masses: Vec<&str> = Dimension::MassFlow.units().collect();
        write!(f, "{}\nor {}", self.0, masses.join(", "))
    }
}

impl std::error::Error for NoFlow {}

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
