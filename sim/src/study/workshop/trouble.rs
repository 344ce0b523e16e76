//! A leak or a fault with the one number that is its size, and what is known of it.

use super::gap::{gap, widened};
use super::{Z90, mistake};
use crate::leak::Shape;
use crate::network::{Fault, Leak, Network, Place};
use crate::params::{Content, Described, Form};
use crate::scenario::{FileLeak, Mistake};
use crate::spelling::quote;
use crate::units::{Dimension, UnitError, from_bare_number, parse, show, show_range};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::fmt;

/// A leak in a file.
pub type OneLeak = FileLeak;
/// A fault in a file.
pub type OneFault = Fault<f64>;

/// What is wrong with a car: one leak or one fault.
#[derive(Clone, Copy, Debug)]
pub enum Trouble {
    /// A leak; its size is its gap as a person measures it ([`gap`]).
    Leak(Leak<f64>),
    /// A fault; its size is its severity.
    Fault(Fault<f64>),
}

/// A number of a size's own unit, read once the unit is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Amount(String);

/// What is known of a size: the likeliest and its 90 % limits, SI.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// The likeliest.
    pub size: f64,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
}

impl Trouble {
    /// From the two keys of a file, of which one is given.
    ///
    /// # Errors
    /// Both, neither, or a leak that is shut.
    pub fn one(leak: Option<&FileLeak>, fault: Option<&Fault<f64>>) -> Result<Self, Mistake> {
        match (leak, fault) {
            (Some(leak), None) if gap(&leak.shape) <= 0.0 => {
                let message = "a leak of size zero is no leak: give the size that is suspected";
                Err(mistake("leak", message))
            }
            (Some(leak), None) => Ok(Trouble::Leak(Leak {
                place: leak.place,
                shape: leak.shape,
            })),
            (None, Some(fault)) => Ok(Trouble::Fault(*fault)),
            (Some(_), Some(_)) => Err(mistake(
                "fault",
                "give either a `leak` or a `fault`: what is mended in two goes stands twice",
            )),
            (None, None) => Err(mistake(
                "leak",
                "missing key `leak` or `fault`: what is wrong, as in a scenario's `[[leak]]` or \
                 `[[fault]]`",
            )),
        }
    }

    /// Its size, SI.
    pub fn size(&self) -> f64 {
        match self {
            Trouble::Leak(leak) => gap(&leak.shape),
            Trouble::Fault(fault) => fault.severity,
        }
    }

    /// The size of a sound car, SI.
    pub fn sound(&self) -> f64 {
        match self {
            Trouble::Leak(_) => 0.0,
            Trouble::Fault(fault) => fault.ailment.sound(),
        }
    }

    /// Smallest and largest size, SI.
    pub fn range(&self) -> (f64, f64) {
        match self {
            Trouble::Leak(leak) => (0.0, super::gap::widest(&leak.shape).max(self.size())),
            Trouble::Fault(fault) => (fault.ailment.field().low, fault.ailment.field().high),
        }
    }

    /// What its size measures; a porous wall's is a permeability, which has no unit here.
    pub fn dimension(&self) -> Dimension {
        match self {
            Trouble::Leak(leak) if matches!(leak.shape, Shape::Porous(_)) => Dimension::Area,
            Trouble::Leak(_) => Dimension::Length,
            Trouble::Fault(fault) => fault.ailment.field().dimension,
        }
    }

    /// The same trouble of another size within its range, SI.
    #[must_use]
    pub fn sized(&self, size: f64) -> Self {
        let (low, high) = self.range();
        let size = size.clamp(low, high);
        match *self {
            // `one` refuses a leak of size zero, so there is something to widen.
            Trouble::Leak(leak) => Trouble::Leak(Leak {
                shape: widened(&leak.shape, size / gap(&leak.shape)),
                ..leak
            }),
            Trouble::Fault(fault) => Trouble::Fault(Fault {
                severity: size,
                ..fault
            }),
        }
    }

    /// A car with these troubles and no other.
    pub fn all_in<'a>(
        car: &Network<f64>,
        troubles: impl IntoIterator<Item = &'a Trouble>,
    ) -> Network<f64> {
        let (mut leaks, mut faults) = (Vec::new(), Vec::new());
        for trouble in troubles {
            match trouble {
                Trouble::Leak(leak) if gap(&leak.shape) > 0.0 => leaks.push(*leak),
                Trouble::Leak(_) => {}
                Trouble::Fault(fault) => faults.push(*fault),
            }
        }
        car.healthy().ailing(faults).leaking(leaks)
    }

    /// The numbers of a car with this trouble alone that move with its size: dotted key,
    /// slope. Exact: every shape's numbers are affine in its size.
    pub fn directions(&self) -> Vec<(String, f64)> {
        let leak = match self {
            Trouble::Fault(fault) => {
                return vec![(format!("fault.0.{}", fault.ailment.key()), 1.0)];
            }
            Trouble::Leak(leak) => leak,
        };
        let numbers = |shape: &Shape<f64>| {
            let mut all = Vec::new();
            shape.map(&mut |key, value| all.push((key.to_string(), value)));
            all
        };
        let (now, size) = (numbers(&leak.shape), self.size());
        // A gap of zero widens to nothing; its numbers move as those of any other gap do.
        let twice = numbers(&widened(&leak.shape, 2.0));
        let pairs = now.into_iter().zip(twice);
        let slopes = pairs.map(|((key, one), (_, two))| {
            let key = format!("leak.0.{}.{key}", leak.shape.name());
            (key, (two - one) / size)
        });
        slopes.filter(|(_, slope)| *slope != 0.0).collect()
    }

    /// What it is, in words: `cold pipe, split 0.8 mm`.
    pub fn words(&self) -> String {
        match self {
            Trouble::Leak(leak) => format!(
                "{}, {} {}",
                leak.place.word().replace('_', " "),
                leak.shape.name().replace('_', " "),
                show(self.size(), self.dimension())
            ),
            Trouble::Fault(fault) => format!(
                "{} {}",
                fault.ailment.key().replace('_', " "),
                show(fault.severity, self.dimension())
            ),
        }
    }

    /// Where, if it is a leak.
    pub fn place(&self) -> Option<Place> {
        match self {
            Trouble::Leak(leak) => Some(leak.place),
            Trouble::Fault(_) => None,
        }
    }

    /// What is known of its size: within `doubt` either way, or from `low` to `high`.
    ///
    /// # Errors
    /// Limits that cannot be, with the reason.
    pub fn known(
        &self,
        doubt: Option<&Amount>,
        low: Option<&Amount>,
        high: Option<&Amount>,
    ) -> Result<Known, Mistake> {
        let size = self.size();
        let (least, most) = self.range();
        let read = |key: &str, amount: &Amount| {
            let value = amount.read(self.dimension());
            value.map_err(|message| mistake(key, message))
        };
        let (low, high) = match (doubt, low, high) {
            (None, None, None) => (size, size),
            (Some(doubt), None, None) => {
                let doubt = read("doubt", doubt)?;
                if doubt < 0.0 {
                    return Err(mistake("doubt", "a doubt below zero means nothing"));
                }
                ((size - doubt).max(least), (size + doubt).min(most))
            }
            (None, Some(low), Some(high)) => (read("low", low)?, read("high", high)?),
            (Some(_), ..) => {
                let message = "give either a `doubt`, or `low` and `high`";
                return Err(mistake("doubt", message));
            }
            (None, Some(_), None) => return Err(mistake("low", "`low` needs its `high`")),
            (None, None, Some(_)) => return Err(mistake("high", "`high` needs its `low`")),
        };
        if low > size || size > high {
            let message = format!(
                "the size {} does not lie between `low` and `high`, {}",
                show(size, self.dimension()),
                show_range(low, high, self.dimension())
            );
            return Err(mistake("low", message));
        }
        if low < least || high > most {
            let message = format!(
                "sizes allowed here: {}",
                show_range(least, most, self.dimension())
            );
            return Err(mistake(if low < least { "low" } else { "high" }, message));
        }
        Ok(Known { size, low, high })
    }
}

impl Known {
    /// The size at so many standard deviations, each side with its own ([`Z90`] at a limit).
    pub fn at(&self, deviations: f64) -> f64 {
        let side = match deviations < 0.0 {
            true => self.size - self.low,
            false => self.high - self.size,
        };
        self.size + deviations / Z90 * side
    }
}

impl Amount {
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
}

impl Amount {
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
        Form::Text
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
        Ok(Amount(value.to_string()))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Amount, E> {
        Ok(Amount(value.to_string()))
    }
}
