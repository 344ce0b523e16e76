//! What is wrong, as the workshop's files say it, and what is known of its size.

use super::{Z90, mistake};
use crate::network::{Defect, Fault, Leak};
use crate::params::Amount;
use crate::scenario::Mistake;
use crate::units::{show, show_range};

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

/// What is wrong, from the two keys of a file, of which one is given.
///
/// # Errors
/// Both, neither, or a leak that is shut.
pub fn defect(leak: Option<&Leak>, fault: Option<&Fault>) -> Result<Defect, Mistake> {
    match (leak, fault) {
        (Some(leak), None) if leak.shape.is_shut() => {
            let message = "a leak of size zero is no leak: give the size that is suspected";
            Err(mistake("leak", message))
        }
        (Some(leak), None) => Ok(Defect::Leak(*leak)),
        (None, Some(fault)) => Ok(Defect::Fault(*fault)),
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

impl Known {
    /// What is known of a defect's size: within `doubt` either way, or from `low` to `high`.
    ///
    /// # Errors
    /// Limits that cannot be, with the reason.
    pub fn of(
        defect: &Defect,
        doubt: Option<&Amount>,
        low: Option<&Amount>,
        high: Option<&Amount>,
    ) -> Result<Known, Mistake> {
        let size = defect.size();
        let (least, most) = defect.range();
        let read = |key: &str, amount: &Amount| {
            let value = amount.read(defect.dimension());
            value.map_err(|message| mistake(key, message))
        };
        let (low, high) = match (doubt, low, high) {
            (None, None, None) => (size, size),
            (Some(doubt), None, None) => {
                let doubt = read("doubt", doubt)?;
                if doubt < 0.0 {
                    return Err(mistake("doubt", "an uncertainty below zero means nothing"));
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
                show(size, defect.dimension()),
                show_range(low, high, defect.dimension())
            );
            return Err(mistake("low", message));
        }
        if low < least || high > most {
            let message = format!(
                "sizes allowed here: {}",
                show_range(least, most, defect.dimension())
            );
            return Err(mistake(if low < least { "low" } else { "high" }, message));
        }
        Ok(Known { size, low, high })
    }

    /// The size at so many standard deviations, each side with its own ([`Z90`] at a limit).
    pub fn at(&self, deviations: f64) -> f64 {
        let side = match deviations < 0.0 {
            true => self.size - self.low,
            false => self.high - self.size,
        };
        self.size + deviations / Z90 * side
    }
}
