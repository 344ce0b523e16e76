//! Readings that were typed in, as what a car is fitted to.

use super::file::{ReadingsFile, Taken};
use crate::control::{Command, ThrottleMode};
use crate::network::{Network, Reading};
use crate::scenario::Mistake;
use crate::study::knowing::doubt::instrument;
use crate::study::making::fit::{Watched, heard};

/// Trims, all of which is long-term times short-term.
const TRIMS: [Reading; 2] = [Reading::LongTrim, Reading::ShortTrim];

impl ReadingsFile<f64> {
    /// What a healthy `car` is fitted to: every condition at which it ran, the overrun left out, for
    /// nobody's vehicle file describes an engine that does not fire.
    ///
    /// # Errors
    /// As [`own_conditions`](Self::own_conditions).
    pub fn watched(&self, car: &Network<f64>) -> Result<Vec<Watched>, Mistake> {
        let conditions = self.own_conditions(car)?;
        let all = conditions.iter().zip(&self.condition);
        let all = all.filter(|(_, taken)| taken.runs && !taken.overrun);
        let all = all.map(|(condition, taken)| Watched {
            name: taken.name.clone(),
            command: command(condition.command, taken),
            reads: reads(taken),
        });
        Ok(all.filter(|watched| !watched.reads.is_empty()).collect())
    }
}

/// Where no torque was read, the load is found from the air.
fn command(command: Command, taken: &Taken) -> Command {
    match (command.throttle, taken.torque) {
        (ThrottleMode::Torque(_), None) => Command {
            throttle: ThrottleMode::Torque(0.0),
            ..command
        },
        _ => command,
    }
}

fn reads(taken: &Taken) -> Vec<(Reading, f64, f64)> {
    let given = taken.readings.given();
    let with = |reading: Reading, value: f64| {
        let said = taken.doubt.of(reading).filter(|said| *said > 0.0);
        said.unwrap_or_else(|| instrument(reading).deviation(value))
    };
    let own = given.iter().filter(|(_, reading, _)| {
        // A speed that is held is no reading of how the car answers.
        heard(*reading) && (taken.idle || *reading != Reading::EngineSpeed)
    });
    let own = own.map(|(_, reading, value)| (*reading, *value, with(*reading, *value)));
    let mut all: Vec<(Reading, f64, f64)> = own.collect();
    let trims = TRIMS.map(|trim| given.iter().find(|(_, reading, _)| *reading == trim));
    let told = given
        .iter()
        .any(|(_, reading, _)| *reading == Reading::FuelTrim);
    if !told && trims.iter().any(Option::is_some) {
        let trims = trims.into_iter().flatten();
        let (factor, square) = trims.fold((1.0, 0.0), |(factor, square), (_, trim, value)| {
            let deviation: f64 = with(*trim, *value);
            (
                factor * (1.0 + value / 100.0),
                square + deviation * deviation,
            )
        });
        all.push((Reading::FuelTrim, 100.0 * (factor - 1.0), square.sqrt()));
    }
    all
}
