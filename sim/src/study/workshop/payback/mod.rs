//! Which repair pays: what each fault costs over a year's driving, and what mending
//! it takes.
//!
//! A repair's **gain** is that of the car with its fault alone, mended: healthy car less
//! faulty car. Faults hide or worsen each other, so the car with all of them is run too.
//! Doubt of a size is stepped to its 90 % limits, one fault at a time, and added in
//! quadrature where several are mended together (`gum2008` section 5.1).

mod mend;

pub use mend::{Bench, Gain, Gains, Menace, POINTS, Risk};

use super::amount::{self, Known};
use super::mistake;
use crate::control::BoostControl;
use crate::network::{Defect, Fault, Leak, MOST_LEAKS};
use crate::params::Amount;
use crate::scenario::{Around, Mistake, Surroundings};
use crate::{quantities, tables, words};

words! {
    /// How sure a fault is.
    pub enum Sureness {
        /// it may be there
        Suspected = "suspected",
        /// it was seen or measured
        Confirmed = "confirmed",
    }
}

words! {
    /// What repairs are ranked by, each over the time it takes.
    pub enum Measure {
        /// power at full load
        Power = "power",
        /// torque at full load
        Torque = "torque",
        /// fuel a year
        Fuel = "fuel",
        /// how far the trims stay from a lean or rich code
        TrimMargin = "trim_margin",
    }
}

/// Chance that a suspected fault is there, where none is given (judgement: as likely as not).
pub const SUSPECTED: f64 = 0.5;

tables! {
    /// A fault and its repair.
    pub struct Repair {
        /// what is repaired
        name: String,
        /// how sure it is
        state: Sureness,
        /// chance that it is there; 100 % if confirmed, 50 % if suspected and not said
        chance: Ratio [0.0, 1.0] or None,
        /// the leak, as in a scenario: a place and one shape; its size is its gap or diameter
        leak: Leak or None,
        /// the fault that looks like a leak, as in a scenario; its size is its severity
        fault: Fault or None,
        /// how far the size may be off either way (90 % limits), in its own unit
        doubt: Amount or None,
        /// lower 90 % limit of the size, instead of a `doubt`
        low: Amount or None,
        /// upper 90 % limit of the size, instead of a `doubt`
        high: Amount or None,
        /// working time of the repair
        time: Time [60.0, 3.6e6],
        /// price of the parts, in the currency of the file
        parts: Ratio [0.0, 1e7] = 0.0,
    }
}

quantities! {
    /// How the car is used.
    pub struct Duty {
        /// share of the running time at idle
        idle: Ratio [0.0, 1.0] = 0.20,
        /// share at light cruise
        cruise: Ratio [0.0, 1.0] = 0.75,
        /// share at full load
        full_load: Ratio [0.0, 1.0] = 0.05,
        /// distance a year
        distance: Length [1e5, 1e9] = 1.5e7,
        /// distance over running time
        average_speed: Speed [1.0, 70.0] = 12.5,
        /// fuel, kilograms a litre
        fuel_density: Ratio [0.6, 0.9] = 0.745,
    }
}

/// Duty in a file.
pub type Driven = Duty<f64>;
/// Repairs in a file.
pub type Repairs = Vec<Repair>;

/// A duty where none is said (judgement): 15 000 km a year at 45 km/h.
const USUAL: Driven = Duty {
    idle: 0.20,
    cruise: 0.75,
    full_load: 0.05,
    distance: 1.5e7,
    average_speed: 12.5,
    fuel_density: 0.745,
};

tables! {
    /// Which repair pays.
    pub struct Payback {
        /// vehicle file
        vehicle: String,
        /// the air around the car
        ambient: Around = Surroundings::STANDARD,
        /// boost control instead of the vehicle's own
        boost_control: BoostControl or None,
        /// duty for boost control `fixed_duty` instead of the vehicle's own
        fixed_duty: Ratio [0.0, 1.0] or None,
        /// how the car is used
        duty: Driven = USUAL,
        /// what prices are in; a label only
        currency: String = String::new(),
        /// price of an hour's work
        labour_rate: Ratio [0.0, 1e6] or None,
        /// price of a litre of fuel
        fuel_price: Ratio [0.0, 1e5] or None,
        /// what repairs are ranked by
        rank_by: Measure = Measure::Power,
        /// the faults, each with its repair
        repair: Repairs,
    }
}

/// A repair whose fault is understood.
#[derive(Clone, Copy, Debug)]
pub struct Job {
    /// What is wrong.
    pub defect: Defect,
    /// What is known of its size.
    pub known: Known,
    /// Chance that it is there.
    pub chance: f64,
}

impl Payback<f64> {
    /// The repairs, understood.
    ///
    /// # Errors
    /// What does not make sense, at its key.
    pub fn jobs(&self) -> Result<Vec<Job>, Mistake> {
        if self.repair.is_empty() {
            let message = "no repair is given: one or more `[[repair]]`";
            return Err(mistake("repair", message));
        }
        let shares = self.duty.idle + self.duty.cruise + self.duty.full_load;
        if (shares - 1.0).abs() > 0.005 {
            let message = format!(
                "the shares of idle, cruise and full load add up to {:.1} %, not 100 %",
                100.0 * shares
            );
            return Err(mistake("duty", message));
        }
        let leaks = self.repair.iter().filter(|repair| repair.leak.is_some());
        if leaks.count() > MOST_LEAKS {
            let message = format!("at most {MOST_LEAKS} leaks at once");
            return Err(mistake("repair", message));
        }
        let jobs = self.repair.iter().enumerate();
        jobs.map(|(i, repair)| {
            let job = repair.job();
            job.map_err(|m| mistake(&format!("repair.{i}.{}", m.key), m.message))
        })
        .collect()
    }
}

impl Repair<f64> {
    fn job(&self) -> Result<Job, Mistake> {
        let defect = amount::defect(self.leak.as_ref(), self.fault.as_ref())?;
        let chance = match (self.state, self.chance) {
            (Sureness::Confirmed, Some(chance)) if chance < 1.0 => {
                let message = "a confirmed fault is there: a `chance` goes with `suspected`";
                return Err(mistake("chance", message));
            }
            (Sureness::Confirmed, _) => 1.0,
            (Sureness::Suspected, chance) => chance.unwrap_or(SUSPECTED),
        };
        let (doubt, low) = (self.doubt.as_ref(), self.low.as_ref());
        Ok(Job {
            known: Known::of(&defect, doubt, low, self.high.as_ref())?,
            defect,
            chance,
        })
    }
}
