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
mod miss;
mod part;
mod request;
mod root;
mod runs;
mod task;
mod turbo;
mod verdict;

pub use crate::medium::FuelKind;
pub use card::{Card, Figure, Flag, card};
pub use clash::{Clash, Refusal, Unheld};
pub use draft::SURROUNDINGS;
pub use miss::{Given, Miss};
pub use part::Notes;
pub use request::TenNumbers;

use crate::control::Command;
use crate::network::{Network, Vehicle};

/// A car made from ten numbers.
///
/// # Examples
/// ```
/// let sized = sim::size(&sim::TenNumbers::example())?;
/// assert!(sized.network().is_healthy());
/// // Every number that was derived says by which rule.
/// assert!(sized.notes.iter().any(|(key, _)| key.starts_with("turbine.")));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct SizedCar {
    /// The whole vehicle.
    pub vehicle: Vehicle<f64>,
    /// The rule behind every number that was derived, by dotted key.
    pub notes: Notes,
    /// What the matched car has to spare.
    pub margins: Vec<Margin>,
    /// What of the given numbers it misses by more than 3 %; none where all are met.
    pub misses: Vec<Miss>,
}

impl SizedCar {
    /// How doubtful its numbers are, in doubts of a measured car
    /// ([`CarDoubt::usual`](crate::study::knowing::doubt::CarDoubt::usual)): 2 as of any car made from
    /// a plate, more the more of the plate it misses, at most 6 (own choice).
    pub fn doubt(&self) -> f64 {
        let worst = self.misses.iter().map(|miss| miss.share().abs());
        (2.0 + 20.0 * worst.fold(0.0, f64::max)).min(6.0)
    }

    /// The car at idle, nothing wrong with it, in the air that it was matched in.
    pub fn network(&self) -> Network<f64> {
        Network::new(
            self.vehicle.clone(),
            Vec::new(),
            SURROUNDINGS,
            Command::IDLE,
        )
    }
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

/// The car of ten numbers: rated power, peak torque and, where it is given, peak boost met within
/// 3 %. The plate is believed: what no free number of the model can meet is missed, and stands
/// among the [`misses`](SizedCar::misses).
///
/// # Errors
/// [`Refusal`]: numbers that contradict each other whatever the car (with what would fit), or lead
/// to a car that cannot be written or run.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Reading, TenNumbers, size};
/// let known = TenNumbers::example();
/// let car = size(&known)?.network();
/// let full = Comparison::new(&car).point("", Command::full_load(known.rated_speed)).healthy?;
/// let kilowatts = full.readings.get(Reading::Power).unwrap();
/// assert!((kilowatts * 1e3 / known.rated_power - 1.0).abs() < 0.01);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn size(numbers: &TenNumbers<f64>) -> Result<SizedCar, Refusal> {
    numbers.check()?;
    let given = sized(numbers, numbers);
    let works = |car: &SizedCar| car.misses.iter().all(|miss| miss.what.is_boost());
    if given.as_ref().is_ok_and(works) {
        return given;
    }
    // Torque and power stand in the papers; a boost that does not go with them was read wrong.
    let free = numbers.torque_from(1.0);
    let unboosted = numbers.peak_boost.and_then(|_| sized(numbers, &free).ok());
    if let Some(car) = unboosted.filter(works) {
        return Ok(car);
    }
    // Numbers that lead to no car that runs: one whose torque begins later, and it is said.
    given.or_else(|why| {
        let mut later = LATER.map(|share| numbers.torque_from(share)).into_iter();
        let car = later.find_map(|tried| sized(numbers, &tried).ok());
        car.ok_or(why)
    })
}

/// Shares of the peak-torque speed that are tried when the speed given leads nowhere.
const LATER: [f64; 3] = [1.15, 1.3, 1.5];

/// The car of `tried`, and what it misses of the `numbers`.
fn sized(numbers: &TenNumbers<f64>, tried: &TenNumbers<f64>) -> Result<SizedCar, Refusal> {
    let (vehicle, notes, margins, mut misses) =
        matching::matched(draft::Draft::new(tried), numbers)?;
    misses.extend(Miss::of_speed(numbers, tried));
    Ok(SizedCar {
        vehicle,
        notes,
        margins,
        misses,
    })
}
