//! Which readings of a file are dangers: what a record of a healthy car must not be.

use super::file::ReadingsFile;
use crate::network::{Known, Vehicle};
use crate::scenario::Mistake;
use crate::study::running::dangers::{Aims, Danger, Driven};
use crate::study::running::simulate::{Comparison, running};

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
        let cars = Comparison::new(&car.healthy());
        let driven = driven.map(|(c, at)| {
            let command = cars.command(at.command, false);
            let near = cars.beginning(&command);
            let sound = running(&cars.network.with(command), near.as_ref()).ok();
            let sound = sound.as_ref().map(|side| &side.readings);
            at.driven(c, &evidence).expecting(sound, aims.ambient)
        });
        let driven: Vec<Driven> = driven.collect();
        let all = driven.iter().chain(passed);
        let mut found: Vec<(Option<Driven>, Danger)> = all
            .flat_map(|driven| {
                let dangers = aims.dangers(driven).into_iter();
                dangers.map(|danger| (Some(driven.clone()), danger))
            })
            .collect();
        let set = |code| evidence.codes.contains(&(code, true));
        let told = Danger::told(Vec::new(), evidence.told.iter().copied());
        let by_code = Danger::with_codes(told, set).into_iter();
        found.extend(by_code.map(|danger| (None, danger)));
        Ok(found)
    }
}
