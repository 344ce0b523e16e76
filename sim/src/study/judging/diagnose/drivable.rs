//! Conditions of a log at which the model's healthy car does not run, or cannot be where the log says
//! it was: one of them must not end a diagnosis that the others allow.

use super::file::{ReadingsFile, Taken};
use crate::network::{Network, Reading, Readings, Vehicle};
use crate::say::driving as say;
use crate::scenario::Mistake;
use crate::study::running::condition::Condition;
use crate::study::running::dangers::Driven;
use crate::study::running::simulate::{Comparison, running};
use std::ops::Range;

/// Share by which the air of the healthy car may miss the air that was read while the load moved (own
/// choice: the load is sought by it, and a fault may sit between them).
const MISSED: f64 = 0.2;

/// What the healthy car makes of a log's conditions.
#[derive(Debug, Default)]
pub struct Drivable {
    /// Those that it cannot be driven at, and why.
    pub out: Vec<(String, String)>,
    /// The others, as points that are searched for dangers.
    pub driven: Vec<Driven>,
}

impl ReadingsFile<f64> {
    /// Takes those of the conditions in `loose` out that the healthy car of the file cannot be
    /// driven at.
    ///
    /// # Errors
    /// As [`network`](Self::network) and [`evidence`](Self::evidence).
    pub fn drivable(
        &mut self,
        vehicle: &Vehicle<f64>,
        loose: Range<usize>,
    ) -> Result<Drivable, Mistake> {
        let car = self.network(vehicle.clone())?;
        let cars = Comparison::new(&car.healthy());
        let evidence = self.evidence()?;
        let mut found = Drivable::default();
        let mut number = 0..;
        self.condition.retain(|taken| {
            let number = number.next().filter(|number| loose.contains(number));
            let Some(number) = number else { return true };
            let sound = sound(taken, &car, &cars);
            let stays = sound.is_ok();
            match sound {
                Ok((condition, shows)) => {
                    let driven = condition.driven(number, &evidence);
                    let driven = driven.expecting(Some(&shows), car.ambient.pressure);
                    found.driven.push(driven);
                }
                Err(why) => found.out.push((taken.name.clone(), why)),
            }
            stays
        });
        Ok(found)
    }
}

/// What the healthy car shows when it is driven so.
///
/// # Errors
/// Why it cannot be.
fn sound(
    taken: &Taken,
    car: &Network<f64>,
    cars: &Comparison,
) -> Result<(Condition, Readings<f64>), String> {
    let condition = taken.condition(car).map_err(|mistake| mistake.message)?;
    let command = cars.command(condition.command, false);
    let near = cars.beginning(&command);
    let side = running(&cars.network.with(command), near.as_ref());
    let shows = side.map_err(|why| why.to_string())?.readings;
    // A car that pushes its engine takes less air than any load, one out of the file's reach more.
    let given = taken.readings.given();
    let air = given.iter().find(|given| given.1 == Reading::MeteredAir);
    let air = air.filter(|_| taken.moving);
    let missed = air
        .zip(shows.get(Reading::MeteredAir))
        .filter(|(read, shown)| (read.2 / shown).ln().abs() > MISSED);
    match missed {
        Some((read, shown)) => Err(say::out_of_reach(read.2, shown)),
        None => Ok((condition, shows)),
    }
}
