//! Conditions of a log at which the model's healthy car does not run: one of them must not end a
//! diagnosis that the others allow.

use super::file::ReadingsFile;
use crate::control::SpeedMode;
use crate::network::Vehicle;
use crate::scenario::Mistake;
use crate::study::running::simulate::{Comparison, running};
use std::ops::Range;

impl ReadingsFile<f64> {
    /// Takes those of the conditions in `loose` out at which the healthy car of the file does not
    /// run, and says which, and why.
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
        let mut number = 0;
        self.condition.retain(|taken| {
            number += 1;
            if !loose.contains(&(number - 1)) {
                return true;
            }
            let why = match taken.condition(&car) {
                Err(mistake) => mistake.message,
                Ok(condition) => {
                    let command = cars.command(condition.command, false);
                    let learnt = cars.learnt(false);
                    let near = match command.speed {
                        SpeedMode::Free => learnt.idle.or(learnt.cruise),
                        _ => learnt.cruise.or(learnt.idle),
                    };
                    match running(&cars.network.with(command), near.as_ref()) {
                        Ok(_) => return true,
                        Err(why) => why.to_string(),
                    }
                }
            };
            out.push((taken.name.clone(), why));
            false
        });
        Ok(out)
    }
}
