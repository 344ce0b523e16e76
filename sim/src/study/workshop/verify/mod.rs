//! Did the leak go? Readings before and after a repair against the model of the car.
//!
//! The size of the fault is fitted to the readings before, and again to those after, by
//! weighted least squares: each reading counts by its instrument's doubt and by how far
//! the model may be off for it, added in quadrature. See `fit` for the fit itself,
//! `model` for what a size predicts.

mod fit;
mod model;

pub use fit::{Fitted, chi_square_tail};
pub use model::Bench;

use super::amount;
use super::decay::DecayTest;
use super::limits::Excess;
use super::mistake;
use crate::control::{BoostControl, Command};
use crate::network::readings::FORMS;
use crate::network::{Defect, Fault, Leak, Network, Reading};
use crate::params::Amount;
use crate::scenario::{Around, Mistake, Points, Surroundings};
use crate::spelling::unknown_listed;
use crate::study::running::simulate::cruise;
use crate::study::workshop::in_car::FULL_LOAD;
use crate::tables;
use std::f64::consts::PI;

tables! {
    /// A reading, of instrument or scan tool, in its own unit (the key names it).
    pub struct Taken {
        /// where: `idle`, `light cruise`, `full load 2000 rpm`, `3500`, `5000`, or a `[[point]]`
        at: String,
        /// which reading
        reading: Reading,
        /// what was read
        value: Amount,
        /// standard uncertainty of one reading of the instrument
        doubt: Amount,
        /// independent readings that the value is the mean of
        averaged: Ratio [1.0, 1e4] = 1.0,
        /// standard uncertainty of the model of this car for this reading
        model_doubt: Amount or None,
    }
}

/// Readings in a file.
pub type Readings = Vec<Taken>;
/// A decay test in a file.
pub type OneDecay = DecayTest<f64>;

tables! {
    /// A repair, and what was read before and after it.
    pub struct Verify {
        /// vehicle file
        vehicle: String,
        /// the air around the car
        ambient: Around = Surroundings::STANDARD,
        /// boost control instead of the vehicle's own
        boost_control: BoostControl or None,
        /// duty for boost control `fixed_duty` instead of the vehicle's own
        fixed_duty: Ratio [0.0, 1.0] or None,
        /// the leak that was mended, as in a scenario; its size is a first guess
        leak: Leak or None,
        /// the fault that was mended, as in a scenario; its severity is a first guess
        fault: Fault or None,
        /// more operating points, as in a scenario
        point: Points = Vec::new(),
        /// readings before
        before: Readings = Vec::new(),
        /// readings after
        after: Readings = Vec::new(),
        /// decay test before, keys as in `workshop decay`
        before_decay: OneDecay or None,
        /// decay test after
        after_decay: OneDecay or None,
        /// for the record: whose car
        customer: String = String::new(),
        /// for the record: which car
        car: String = String::new(),
        /// for the record: the day
        date: String = String::new(),
        /// for the record: the workshop
        workshop: String = String::new(),
        /// for the record: who did it
        technician: String = String::new(),
        /// for the record: what was done
        work: String = String::new(),
    }
}

/// What was measured: a reading at a point, or the open area by a decay test.
#[derive(Clone, Debug, PartialEq)]
pub enum Quantity {
    /// A reading, at the point of this index.
    Reading(usize, Reading),
    /// Effective area, m², at these pressures, Pa abs: outside, inside.
    Area(f64, f64),
}

/// A measurement ready to be fitted.
#[derive(Clone, Debug, PartialEq)]
pub struct Datum {
    /// What.
    pub quantity: Quantity,
    /// The value, in the reading's own unit or m².
    pub value: f64,
    /// Standard doubt, instrument and model together.
    pub doubt: f64,
}

/// What the readings say of the repair.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Seen before; after, nothing of it shows, and the limits are apart.
    Gone,
    /// Seen before and after, smaller now.
    Smaller,
    /// Seen before and after, no smaller as far as can be told.
    Still,
    /// The readings before do not show it.
    NotSeenBefore,
    /// Seen before; after it may be gone or not.
    Open,
}

/// The verdict from the sizes before and after, with the size of a healthy car.
pub fn verdict(before: &Fitted, after: &Fitted, sound: f64) -> Verdict {
    let (seen, left) = (before.away(sound), after.away(sound));
    let apart = left.1 < seen.0;
    match (seen.0 > 0.0, left.0 > 0.0, apart) {
        (false, ..) => Verdict::NotSeenBefore,
        (true, false, true) => Verdict::Gone,
        (true, false, false) => Verdict::Open,
        (true, true, true) => Verdict::Smaller,
        (true, true, false) => Verdict::Still,
    }
}

impl Verify<f64> {
    /// What was mended.
    ///
    /// # Errors
    /// As [`amount::defect`].
    pub fn defect(&self) -> Result<Defect, Mistake> {
        amount::defect(self.leak.as_ref(), self.fault.as_ref())
    }

    /// What is dangerous about the pressures of the decay tests before and after, by the limits of
    /// the plan; `boost` is the car's normal one, Pa gauge.
    pub fn dangers(&self, boost: f64) -> Vec<Excess> {
        let tests = [&self.before_decay, &self.after_decay];
        let tests = tests.into_iter().flatten();
        tests.filter_map(|test| test.danger(Some(boost))).collect()
    }

    /// Names and orders of the points that readings may be taken at.
    ///
    /// # Errors
    /// A point that cannot be run, or one named like another.
    pub fn points(&self, car: &Network<f64>) -> Result<Vec<(String, Command)>, Mistake> {
        let mut all = vec![
            ("idle".to_string(), Command::IDLE),
            ("light cruise".to_string(), cruise(car)),
        ];
        for rpm in FULL_LOAD {
            let command = Command::full_load(rpm * PI / 30.0);
            all.push((format!("full load {rpm} rpm"), command));
        }
        for (i, point) in self.point.iter().enumerate() {
            let key = |key: &str| format!("point.{i}.{key}");
            let command = point.command();
            let command = command.map_err(|m| mistake(&key(&m.key), m.message))?;
            if all.iter().any(|(name, _)| *name == point.name) {
                let message = "another point has this name; each needs its own";
                return Err(mistake(&key("name"), message));
            }
            all.push((point.name.clone(), command));
        }
        Ok(all)
    }

    /// The measurements of one side.
    ///
    /// # Errors
    /// Readings that cannot be, at their key; none at all.
    pub fn data(&self, bench: &Bench, after: bool) -> Result<Vec<Datum>, Mistake> {
        let (list, taken, decay, test) = match after {
            false => ("before", &self.before, "before_decay", &self.before_decay),
            true => ("after", &self.after, "after_decay", &self.after_decay),
        };
        let mut data = Vec::new();
        for (i, one) in taken.iter().enumerate() {
            let datum = one.datum(bench);
            data.push(datum.map_err(|m| mistake(&format!("{list}.{i}.{}", m.key), m.message))?);
        }
        if let Some(test) = test {
            let datum = bench.decay(test);
            data.push(datum.map_err(|m| mistake(&format!("{decay}.{}", m.key), m.message))?);
        }
        match data.is_empty() {
            false => Ok(data),
            true => {
                let message = format!(
                    "nothing was read {list} the repair: one or more `[[{list}]]`, or `[{decay}]`"
                );
                Err(mistake(list, message))
            }
        }
    }
}

impl Taken<f64> {
    fn datum(&self, bench: &Bench) -> Result<Datum, Mistake> {
        let reading = self.reading;
        let unit = FORMS[reading as usize].unit;
        let number = |key: &str, amount: &Amount| {
            let value = amount.plain(unit);
            value.map_err(|message| mistake(key, message))
        };
        let names: Vec<&str> = bench.points().collect();
        let point = names.iter().position(|name| *name == self.at);
        let point =
            point.ok_or_else(|| mistake("at", unknown_listed("point", &self.at, &names)))?;
        let own = number("doubt", &self.doubt)?;
        if own <= 0.0 {
            let message = "every instrument has an uncertainty: a reading without one would count for \
                           everything";
            return Err(mistake("doubt", message));
        }
        let model = self.model_doubt.as_ref();
        let model = model.map_or(Ok(0.0), |amount| number("model_doubt", amount))?;
        if model < 0.0 {
            return Err(mistake(
                "model_doubt",
                "an uncertainty below zero means nothing",
            ));
        }
        Ok(Datum {
            quantity: Quantity::Reading(point, reading),
            value: number("value", &self.value)?,
            doubt: (own / self.averaged.sqrt()).hypot(model),
        })
    }
}
