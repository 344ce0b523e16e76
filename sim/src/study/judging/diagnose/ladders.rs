//! Predictions as they are kept: a ladder of sizes for each suspect, with exact derivatives.
//!
//! Between rungs values follow the cubic through both ends with their exact slopes, limited
//! where they would overshoot; derivatives over the car a straight line.

use super::catalogue::Suspect;
use super::told::Torque;
use super::twin::{Match, Twin};
use crate::control::Command;
use crate::control::watchdogs::Levels;
use crate::network::{Reading, Readings};
use crate::solve::State;
use crate::study::asking::sensitivity::Slopes;
use crate::study::knowing::doubt::CarDoubt;
use crate::study::knowing::unlike::Near;
use crate::study::running::condition::Condition;
use crate::study::running::simulate::{Comparison, Learnt};

/// Squared distance beyond the best of a ladder from which a rung is behind: its
/// likelihood is below e⁻⁵⁰ of the best. So many steps in a row, each further, end the climb.
pub(super) const BEHIND: f64 = 100.0;

/// The car at one condition and size.
#[derive(Clone, Debug)]
pub struct Spot {
    /// Readings.
    pub readings: Readings<f64>,
    /// Watchdog levels.
    pub levels: Levels<f64>,
    /// Derivatives: one column a number in doubt (by itself), then demand, then `u`.
    pub slopes: Slopes,
    pub(super) state: State,
    /// d(state)/du.
    pub(super) by_u: State,
    /// The torque that a reading tells, here and further up.
    pub(super) told: Torque,
}

/// Standard deviation of boost before the throttle while speed and load move, from that of rest: share
/// of it, kPa (own choice: a turbo takes seconds).
const OFF_REST: (f64, f64) = (0.7, 3.0);
/// What moves boost, and by it all that hangs on boost.
const BY_TURBO: &str = "turbine.peak_efficiency";

impl Spot {
    /// Standard deviation of a reading (by its row) for a turbo that is not at rest, by as much as
    /// that of the healthy car.
    pub(super) fn off_rest(&self, ladders: &Ladders, row: usize, sound: &Self) -> Option<f64> {
        let column = ladders.doubt.keys.iter().position(|key| key == BY_TURBO)?;
        let slope = |row: usize| self.slopes.readings[(row, column)];
        let boost = sound.readings.get(Reading::Boost)?;
        let by_turbo = slope(Reading::Boost as usize).abs();
        let off = OFF_REST.1.hypot(OFF_REST.0 * boost);
        (by_turbo > 0.0).then(|| slope(row) * off / by_turbo)
    }
}

/// One rung.
#[derive(Clone, Debug)]
pub struct Rung {
    /// Where on the ladder, 0 to 1.
    pub u: f64,
    /// The car at every condition; none where it does not run.
    pub spots: Vec<Option<Spot>>,
    pub(super) learnt: Learnt,
    /// Standard deviation of all that is changed together, as a share of it.
    pub(super) altogether: f64,
}

/// Predictions for a car.
pub struct Ladders {
    /// The conditions.
    pub conditions: Vec<Condition>,
    /// What may be wrong.
    pub suspects: Vec<Suspect>,
    /// What is in doubt.
    pub doubt: CarDoubt,
    /// The healthy car.
    pub sound: Rung,
    /// Ladders, by [`Suspect::curve`].
    pub curves: Vec<Vec<Rung>>,
    pub(super) car: Comparison,
    /// What records of healthy cars tell of it; none where there are none, or they do not fit.
    pub twin: Option<Twin>,
    /// How well those fit.
    pub matched: Option<Match>,
    /// How alike the conditions are, as far as each has something of its own.
    pub(super) near: Near,
    /// Entries of the doubt's factor that are not zero: row, column, value.
    pub(super) links: Vec<(usize, usize, f64)>,
}

impl Ladders {
    /// Independent doubts: those of the car, the demand of each condition, and what differs and
    /// is no number of the car.
    pub fn doubts(&self) -> usize {
        self.leaner() + 1
    }

    /// Number of the doubt how far an idle runs up that a fault holds open.
    pub(super) fn run_up(&self) -> usize {
        let conditions = self.conditions.len();
        self.doubt.count() + conditions + self.doubt.unlike.count(self.near.rank())
    }

    /// Number of the doubt how far boost is from rest at a condition.
    pub(super) fn off_rest(&self, condition: usize) -> usize {
        self.run_up() + 1 + condition
    }

    /// Number of the doubt how much of a learnt trim is carried to where nothing is regulated.
    pub(super) fn carried(&self) -> usize {
        self.run_up() + 1 + self.conditions.len()
    }

    /// Number of the doubt where the computer stops adding or taking fuel.
    pub(super) fn trim_stop(&self) -> usize {
        self.carried() + 1
    }

    /// Number of the doubt at which speed the turbo begins to build boost.
    pub(super) fn builds(&self) -> usize {
        self.trim_stop() + 1
    }

    /// Number of the doubt how far enrichment goes with boost.
    pub(super) fn leaner(&self) -> usize {
        self.builds() + 1
    }

    /// What is asked of a car with these faults (suspects and their `u`): each moves the torque that the air
    /// tells by as much as alone.
    pub(super) fn commands(&self, faults: &[(Suspect, f64)]) -> Vec<Command> {
        let conditions = self.conditions.iter().enumerate();
        let commands = conditions.map(|(c, condition)| {
            let mut torque = Torque::of(condition);
            let sound = torque.asked;
            for (suspect, u) in faults {
                let alone = told(&self.curves[suspect.curve], c, *u);
                torque.asked += alone.map_or(0.0, |alone| alone - sound);
            }
            torque.command(condition)
        });
        commands.collect()
    }

    /// Columns of [`Spot::slopes`]: demand, and `u`.
    pub fn columns(&self) -> (usize, usize) {
        (self.doubt.count(), self.doubt.count() + 1)
    }
}

/// The torque that the air tells at `u`, on a straight line between rungs.
fn told(ladder: &[Rung], condition: usize, u: f64) -> Option<f64> {
    let at = |rung: &Rung| Some((rung.u, rung.spots[condition].as_ref()?.told.asked));
    let below = ladder.iter().rev().filter(|rung| rung.u <= u).find_map(at);
    let above = ladder.iter().filter(|rung| rung.u > u).find_map(at);
    match (below, above) {
        (Some((a, low)), Some((b, high))) => Some(low + (high - low) * (u - a) / (b - a)),
        (one, other) => one.or(other).map(|(_, asked)| asked),
    }
}

impl Rung {
    /// Whether the engine stands still where it ran on the rung below.
    pub(super) fn lost(&self, below: &Rung) -> bool {
        let spots = self.spots.iter().zip(&below.spots);
        let (now, before) = (&self.learnt, &below.learnt);
        spots
            .into_iter()
            .any(|(now, before)| now.is_none() && before.is_some())
            || now.idle.is_none() && before.idle.is_some()
            || now.cruise.is_none() && before.cruise.is_some()
    }
}
