//! A point at which an engine was driven: read from a car, or the model's own.

use super::judge::BOOSTS;
use crate::control::{Command, SpeedMode, ThrottleMode, true_pressure};
use crate::machine::standards::absolute_load;
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
    /// Torque held at the crankshaft, N m; none where it is not known.
    pub torque: Option<f64>,
    /// What the healthy car's manifold has there by the model, Pa above ambient; none where nobody
    /// has asked it.
    pub expected: Option<f64>,
    /// Whether speed and load moved, so that neither pedal nor prediction tells what there was.
    pub moving: bool,
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

/// Pedal from which an engine that is driven is given fuel (own choice; below it coasts).
const FUELLED: f64 = 0.02;
/// Pedal from which the spark's place is that of load, not that of idle.
const OFF_IDLE: f64 = 0.05;
/// Torque, N m, below which nothing is asked of the engine (own choice: what a driver's guess of none
/// may be off).
const UNASKED: f64 = 5.0;

impl Driven {
    /// A point that was driven so, with what was read there.
    pub fn by(name: &str, command: &Command, reads: Vec<(Reading, f64)>) -> Self {
        let (pedal, torque) = match command.throttle {
            ThrottleMode::Torque(torque) => (None, Some(torque)),
            _ => (Some(command.pedal), None),
        };
        let speed = match command.speed {
            SpeedMode::Held(speed) => Some(speed),
            _ => None,
        };
        Self {
            name: name.into(),
            speed,
            pedal,
            torque,
            reads,
            ..Self::default()
        }
    }

    /// The same where the healthy car has these readings by the model; `ambient` in Pa.
    #[must_use]
    pub fn expecting(self, sound: Option<&Readings<f64>>, ambient: f64) -> Self {
        let manifold = sound.and_then(|sound| sound.get(Reading::Manifold));
        Self {
            expected: manifold.map(|kilo| kilo * 1e3 - ambient),
            ..self
        }
    }

    /// A point of the model, which knows what is true: its readings but those of sensors that a
    /// fault may deceive. `free` where the engine ran free.
    pub fn of_model(readings: &Readings<f64>, vehicle: &Vehicle<f64>, free: bool) -> Self {
        let get = |reading| Some((reading, readings.get(reading)?));
        let mut reads: Vec<(Reading, f64)> = TRUE.into_iter().filter_map(get).collect();
        // The sensor less what it reads wrong; one at its stop tells nothing.
        let meter = &vehicle.meter;
        let of = |kpa: f64| {
            true_pressure(
                kpa * 1e3,
                meter.pressure_offset,
                meter.pressure_error_growth,
            ) * 1e-3
        };
        let manifold = readings.get(Reading::Manifold).filter(|kpa| *kpa > 0.0);
        reads.extend(manifold.map(|kpa| (Reading::Manifold, of(kpa))));
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

    /// Air that was read, over the air that fills the cylinders at the standard's density; none where
    /// none was read, or neither load nor displacement (m³) is known.
    pub(super) fn filling(&self, displacement: Option<f64>) -> Option<f64> {
        let told = self.of(Reading::AbsoluteLoad).map(|(_, load)| load / 100.0);
        let speed = self.speed.filter(|speed| *speed > 0.0);
        let counted = displacement.zip(speed).and_then(|(displacement, speed)| {
            let (_, air) = self.of(Reading::MeteredAir).next()?;
            Some(absolute_load(air * 1e-3, speed, displacement))
        });
        told.chain(counted).reduce(f64::max)
    }

    /// Whether its pedal is known to be released, or nothing to be asked of the engine.
    pub(super) fn released(&self) -> bool {
        let asked = self.torque.filter(|_| self.pedal.is_none());
        self.pedal.is_some_and(|pedal| pedal < 0.01) || asked.is_some_and(|t| t < UNASKED)
    }

    /// Whether fuel is injected: it is in an engine that runs free, with the pedal down, or that
    /// gives torque; none where nothing tells.
    pub(super) fn fuelled(&self) -> Option<bool> {
        match (self.speed, self.pedal, self.torque) {
            (None, ..) => Some(true),
            (_, Some(pedal), _) => Some(pedal > FUELLED),
            (.., Some(_)) => Some(true),
            _ => None,
        }
    }

    /// Whether something is asked of the engine, so that its spark's place is that of load; none
    /// where nothing tells.
    pub(super) fn off_idle(&self) -> Option<bool> {
        match (self.pedal, self.torque) {
            (Some(pedal), _) => Some(pedal > OFF_IDLE),
            (_, Some(torque)) => Some(torque > UNASKED),
            _ => None,
        }
    }
}
