//! A number whose unit is known only once it has been read.

use super::{Content, Described, Form};
use crate::spelling::quote;
use crate::units::{Dimension, UnitError, from_bare_number, parse, round};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::fmt;

/// A number, or text, of what another key says: `"1 mm"`, `0.05`, a word.
#[derive(Clone, Debug, PartialEq)]
pub struct Amount(String);

impl Amount {
    /// As it was written.
    pub fn text(&self) -> &str {
        &self.0
    }

    /// The number, SI.
    ///
    /// # Errors
    /// The message of [`parse`].
    pub fn read(&self, dimension: Dimension) -> Result<f64, UnitError> {
        match self.0.parse::<f64>() {
            Ok(bare) => from_bare_number(bare, dimension),
            Err(_) => parse(&self.0, dimension),
        }
    }

    /// The number in `unit`, which may stand behind it.
    ///
    /// # Errors
    /// No number, or another unit.
    pub fn plain(&self, unit: &str) -> Result<f64, UnitError> {
        let text = self.0.trim();
        let number = text.strip_suffix(unit).unwrap_or(text).trim_end();
        match number.parse::<f64>() {
            Ok(value) if value.is_finite() => Ok(value),
            _ => Err(UnitError::NotPlain(text.into(), unit.into())),
        }
    }
}

impl Described for Amount {
    fn form() -> Form {
        Form::Amount
    }

    fn content(&self) -> Content {
        Content::Text(self.0.clone())
    }
}

impl<'de> Deserialize<'de> for Amount {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_any(Reader)
    }
}

struct Reader;

impl Visitor<'_> for Reader {
    type Value = Amount;

    fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("a number in the unit of the size it belongs to: `\"1 mm\"`, `0.05`")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Amount, E> {
        match text.trim().is_empty() {
            true => Err(E::custom(format!("{} is no number", quote(text)))),
            false => Ok(Amount(text.trim().into())),
        }
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Amount, E> {
        Ok(Amount(round(value, 17)))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Amount, E> {
        Ok(Amount(value.to_string()))
    }
}
