//! A car from ten numbers: everything else by rules, then matched on the running
//! model until rated power and peak torque are met; and a card of plausibility
//! figures for any car.
//!
//! The rules (one file a group: `engine`, `intake`, `exhaust`, `turbo`) give a
//! first draft, the match (`matching`) moves a few free numbers. Sources stand
//! beside each rule; most of them are common practice and say so.

mod bench;
mod boost;
mod build;
mod card;
mod clash;
mod draft;
mod engine;
mod exhaust;
mod intake;
mod matching;
mod part;
mod request;
mod root;
mod runs;
mod task;
mod turbo;
mod verdict;

pub use card::{Card, Figure, Flag, card};
pub use clash::{Clash, Refusal, Unheld};
pub use draft::SURROUNDINGS;
pub use part::Notes;
pub use request::{FuelKind, TenNumbers};

use crate::network::Vehicle;

/// A car made from ten numbers.
#[derive(Clone, Debug)]
pub struct SizedCar {
    /// The whole vehicle.
    pub vehicle: Vehicle<f64>,
    /// The rule behind every number that was derived, by dotted key.
    pub notes: Notes,
    /// What the matched car has to spare.
    pub margins: Vec<Margin>,
}

/// What the matched car has to spare in one respect.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// In what.
    pub what: &'static str,
    /// How much, in `unit`.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
}

/// The car of ten numbers: rated power and peak torque met within 1 % at their
/// speeds, peak boost at the peak-torque speed.
///
/// # Errors
/// [`Refusal`]: numbers that clash (with what would fit), or lead to a car that
/// cannot be written or run.
pub fn size(numbers: &TenNumbers<f64>) -> Result<SizedCar, Refusal> {
    numbers.check()?;
    let (vehicle, notes, margins) = matching::matched(draft::Draft::new(numbers))?;
    Ok(SizedCar {
        vehicle,
        notes,
        margins,
    })
}
