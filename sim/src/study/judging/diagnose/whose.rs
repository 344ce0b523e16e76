//! Which car readings are of, and which of them are dangers: what a record of a healthy car is kept
//! by, and why it is not one.

use super::file::ReadingsFile;
use crate::network::{Known, Vehicle};
use crate::scenario::Mistake;
use crate::study::running::dangers::{Aims, Danger, Driven};
use crate::tables;

tables! {
    /// Which car the readings are of.
    pub struct ThisCar {
        /// what this very car is called: one name, the same each time it is read
        name: String or None,
        /// make or type, the same word for all sisters; left out: the `name` in the vehicle file
        make: String or None,
        /// day on which it was read, as 2026-05-03
        date: String or None,
        /// why readings that show a danger or a fault are those of a healthy car all the same
        although: String or None,
        /// how far what was so then still holds: less than 100 % after work on engine or computer
        holds: Ratio [0.0, 1.0] = 1.0,
    }
}

impl ReadingsFile<f64> {
    /// Points of the file that are dangers, each with the danger, and those that only a code tells
    /// of; `passed` are further points, of a log. Nobody's record is searched otherwise than
    /// readings of today are.
    ///
    /// # Errors
    /// As [`own_conditions`](Self::own_conditions) and [`evidence`](Self::evidence).
    pub fn endangered(
        &self,
        vehicle: &Vehicle<f64>,
        passed: &[Driven],
    ) -> Result<Vec<(Option<Driven>, Danger)>, Mistake> {
        let car = self.network(vehicle.clone())?;
        let conditions = self.own_conditions(&car)?;
        let mut evidence = self.evidence()?;
        evidence.estimated = self.known(&car.vehicle) == Known::Estimated;
        let aims = Aims {
            vehicle: Some(&car.vehicle),
            ambient: car.ambient.pressure,
            estimated: evidence.estimated,
        };
        let driven = conditions.iter().enumerate();
        let driven: Vec<Driven> = driven.map(|(c, at)| at.driven(c, &evidence)).collect();
        let all = driven.iter().chain(passed);
        let mut found: Vec<(Option<Driven>, Danger)> = all
            .flat_map(|driven| {
                let dangers = aims.dangers(driven).into_iter();
                dangers.map(|danger| (Some(driven.clone()), danger))
            })
            .collect();
        let set = |code| evidence.codes.contains(&(code, true));
        let by_code = Danger::with_codes(Vec::new(), set).into_iter();
        found.extend(by_code.map(|danger| (None, danger)));
        Ok(found)
    }
}
