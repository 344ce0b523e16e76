//! Conditions of a log at which the model's healthy car does not run, or cannot be where the log says
//! it was: one of them must not end a diagnosis that the others allow.

use super::file::{ReadingsFile, Taken};
use crate::network::{Network, Reading, Vehicle};
use crate::say::driving as say;
use crate::scenario::Mistake;
use crate::study::running::simulate::{Comparison, running};
use std::ops::Range;

/// Share by which the air of the healthy car may miss the air that was read while the load moved (own
/// choice: the load is sought by it, and a fault may sit between them).
const MISSED: f64 = 0.2;

impl ReadingsFile<f64> {
    /// Takes those of the conditions in `loose` out that the healthy car of the file cannot be
    /// driven at, and says which, and why.
    ///
    /// # Errors
    /// As [`network`](Self::network).
    pub fn drivable(
        &mut self,
        vehicle: &Vehicle<f64>,
        loose: Range<usize>,
    ) -> Result<Vec<(String, String)>, Mistake> {
        let car = self.network(vehicle.clone())?;
        let cars = Comparison::new(&car.healthy());
        let mut out = Vec::new();
        let mut number = 0..;
        self.condition.retain(|taken| {
            let own = number.next().is_some_and(|number| !loose.contains(&number));
            let why = (!own).then(|| hindered(taken, &car, &cars)).flatten();
            let stays = why.is_none();
            out.extend(why.map(|why| (taken.name.clone(), why)));
            stays
        });
        Ok(out)
    }
}

/// Why the healthy car cannot be driven so; none where it can.
fn hindered(taken: &Taken, car: &Network<f64>, cars: &Comparison) -> Option<String> {
    let condition = match taken.condition(car) {
        Ok(condition) => condition,
        Err(mistake) => return Some(mistake.message),
    };
    let command = cars.command(condition.command, false);
    let near = cars.beginning(&command);
    let side = match running(&cars.network.with(command), near.as_ref()) {
        Ok(side) => side,
        Err(why) => return Some(why.to_string()),
    };
    // A car that pushes its engine takes less air than any load, one out of the file's reach more.
    let given = taken.readings.given();
    let air = given.iter().find(|given| given.1 == Reading::MeteredAir);
    let air = air.filter(|_| taken.moving);
    let shown = side.readings.get(Reading::MeteredAir);
    let missed = air
        .zip(shown)
        .filter(|(read, shown)| (read.2 / shown).ln().abs() > MISSED);
    missed.map(|(read, shown)| say::out_of_reach(read.2, shown))
}
