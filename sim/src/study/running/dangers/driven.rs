//! A point at which an engine was driven: read from a car, or the model's own.

use super::judge::BOOSTS;
use crate::control::{Command, SpeedMode, ThrottleMode};
use crate::network::{Reading, Readings, Vehicle};
use std::f64::consts::PI;

/// What the engine computer commands at a point, as far as it was read from the car.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Commanded {
    /// Lambda.
    pub lambda: Option<f64>,
    /// Boost, Pa above ambient.
    pub boost: Option<f64>,
}

/// A point at which an engine was driven, and what was read there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Driven {
    /// What it is called.
    pub name: String,
    /// Engine speed, rad/s; none where it ran free.
    pub speed: Option<f64>,
    /// Pedal, 0 to 1; none where it is not known.
    pub pedal: Option<f64>,
    /// Readings, each in its own unit.
    pub reads: Vec<(Reading, f64)>,
    /// What was commanded there.
    pub commanded: Commanded,
}

/// Of a model's readings those that are true, whatever its sensors say.
const TRUE: [Reading; 9] = [
    Reading::Boost,
    Reading::Lambda,
    Reading::ShaftSpeed,
    Reading::ExhaustTemperature,
    Reading::CatalystTemperature,
    Reading::CatalystOut,
    Reading::Misfire,
    Reading::CrankcasePressure,
    Reading::SparkRetard,
];

impl Driven {
    /// A point that was driven so, with what was read there.
    pub fn by(name: &str, command: &Command, reads: Vec<(Reading, f64)>) -> Self {
        let (speed, pedal) = match (command.speed, command.throttle) {
            (SpeedMode::Held(speed), ThrottleMode::Torque(_)) => (Some(speed), None),
            (SpeedMode::Held(speed), _) => (Some(speed), Some(command.pedal)),
            _ => (None, Some(command.pedal)),
        };
        Self {
            name: name.into(),
            speed,
            pedal,
            reads,
            ..Self::default()
        }
    }

    /// A point of the model, which knows what is true: its readings but those of sensors that a
    /// fault may deceive. `free` where the engine ran free.
    pub fn of_model(readings: &Readings<f64>, vehicle: &Vehicle<f64>, free: bool) -> Self {
        let get = |reading| Some((reading, readings.get(reading)?));
        let mut reads: Vec<(Reading, f64)> = TRUE.into_iter().filter_map(get).collect();
        // The sensor less what it reads wrong; one at its stop tells nothing.
        let offset = vehicle.meter.pressure_offset * 1e-3;
        let manifold = readings.get(Reading::Manifold).filter(|kpa| *kpa > 0.0);
        reads.extend(manifold.map(|kpa| (Reading::Manifold, kpa - offset)));
        reads.extend(get(Reading::EngineSpeed));
        let speed = readings.get(Reading::EngineSpeed);
        Self {
            speed: speed.filter(|_| !free).map(|rpm| rpm * PI / 30.0),
            pedal: readings.get(Reading::Pedal).map(|percent| percent / 100.0),
            reads,
            ..Self::default()
        }
    }

    /// Highest boost that any reading tells, Pa above ambient; none where none was read.
    pub(super) fn boost(&self, ambient: f64) -> Option<f64> {
        let told = self.boosts(ambient).map(|(_, boost)| boost);
        told.reduce(f64::max)
    }

    pub(super) fn boosts(&self, ambient: f64) -> impl Iterator<Item = (Reading, f64)> + '_ {
        let told = self.reads.iter().filter(|(r, _)| BOOSTS.contains(r));
        told.map(move |(reading, kilo)| match reading {
            Reading::Manifold => (*reading, kilo * 1e3 - ambient),
            _ => (*reading, kilo * 1e3),
        })
    }

    pub(super) fn of(&self, reading: Reading) -> impl Iterator<Item = (Reading, f64)> + '_ {
        let found = self.reads.iter().filter(move |(of, _)| *of == reading);
        found.copied()
    }

    /// Whether its pedal is known to be released.
    pub(super) fn released(&self) -> bool {
        self.pedal.is_some_and(|pedal| pedal < 0.01)
    }
}
