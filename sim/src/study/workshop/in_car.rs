//! What a leak does to the running car: idle, light cruise, and full load at three
//! speeds, healthy car beside leaking car.

use super::mistake;
use crate::control::{BoostControl, Code, Command};
use crate::leak::Shape;
use crate::network::readings::Reading as R;
use crate::network::{Ambient, Leak, MOST_LEAKS, Network, Place, Vehicle};
use crate::scenario::{Mistake, Surroundings};
use crate::solve::Failure;
use crate::study::running::simulate::{Comparison, Side, cruise};
use std::f64::consts::PI;

/// Speeds of the full-load points, rpm: near the turbo's threshold, mid, high.
pub const FULL_LOAD: [f64; 3] = [2000.0, 3500.0, 5000.0];

/// Below this a share of the torque means nothing, N m.
const LEAST_TORQUE: f64 = 5.0;

/// What is asked of the car at a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Running {
    /// Pedal released.
    Idle,
    /// Where part-load trims are learnt.
    Cruise,
    /// Pedal down.
    FullLoad,
}

/// A point of the healthy car.
#[derive(Clone, Debug)]
pub struct Point {
    /// What it is called.
    pub name: String,
    /// What is asked of the car.
    pub running: Running,
    command: Command,
    /// The healthy car there.
    pub sound: Side,
    /// Pressure on the inner side of the place, Pa abs, leak aside.
    pub inside: f64,
    /// The same on its outer side.
    pub outside: f64,
}

/// A car ready to be leaked in.
#[derive(Clone, Debug)]
pub struct Car {
    comparison: Comparison,
    /// Where the leak is.
    pub place: Place,
    /// Points that the healthy car runs at.
    pub points: Vec<Point>,
}

/// What a leak does at one point.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// g/s, positive into the path.
    pub leak_flow: f64,
    /// Fuel trim of the leaking car less that of the healthy one, %.
    pub trim: f64,
    /// Lambda in the cylinders of the leaking car.
    pub lambda: f64,
    /// Boost of the leaking car less that of the healthy one, kPa.
    pub boost: f64,
    /// Torque of the leaking car over that of the healthy one, less 1; not a number at idle.
    pub torque: f64,
    /// Crank speed of the leaking car, rpm.
    pub speed: f64,
    /// Turbo speed of the leaking car less that of the healthy one, krpm.
    pub turbo: f64,
    /// Codes set.
    pub codes: Vec<Code>,
}

/// What openings do at each point, or why the car does not run there.
pub type Effects = Vec<Result<Effect, Failure>>;

/// Ambient air for the car's points at the workshop's pressure, Pa abs, and temperature, K.
pub fn around(pressure: f64, temperature: f64) -> Ambient {
    let air: Surroundings = Surroundings {
        temperature: temperature.clamp(223.15, 333.15),
        pressure: Some(pressure),
        altitude: 0.0,
        humidity: 0.4,
    };
    air.ambient()
}

/// Highest boost the car is meant to make, Pa gauge.
pub fn normal_boost(car: &Vehicle<f64>) -> f64 {
    let points = car.boost.target.points().iter();
    points.map(|point| point[1]).fold(0.0, f64::max)
}

/// The same car with another boost control, and duty for a fixed one.
///
/// # Errors
/// A control the car has no numbers for.
pub fn with_boost(
    mut car: Vehicle<f64>,
    control: Option<BoostControl>,
    duty: Option<f64>,
) -> Result<Vehicle<f64>, Mistake> {
    car.boost.control = control.unwrap_or(car.boost.control);
    car.boost.fixed_duty = duty.unwrap_or(car.boost.fixed_duty);
    if car.boost.control == BoostControl::CountedCharge && car.boost.target_charge.is_none() {
        return Err(mistake(
            "boost_control",
            "boost control by counted charge needs `target_charge` in the vehicle's `[boost]`",
        ));
    }
    Ok(car)
}

impl Car {
    /// The healthy car at its points; those it cannot run at are left out.
    pub fn new(vehicle: Vehicle<f64>, ambient: Ambient, place: Place) -> Self {
        let network = Network::new(vehicle, Vec::new(), ambient, Command::IDLE);
        let comparison = Comparison::new(&network);
        let (outer, inner, _) = place.nodes(network.valve_outlet());
        let mut asked = vec![
            ("idle".to_string(), Running::Idle, Command::IDLE),
            (
                "light cruise".to_string(),
                Running::Cruise,
                cruise(&network),
            ),
        ];
        for rpm in FULL_LOAD {
            let command = Command::full_load(rpm * PI / 30.0);
            asked.push((format!("full load {rpm} rpm"), Running::FullLoad, command));
        }
        let points = asked.into_iter().filter_map(|(name, running, command)| {
            let sound = comparison.point(&name, command).healthy.ok()?;
            let gases = network.evaluate(&sound.state.data.0[0]).gases;
            Some(Point {
                inside: gases.at(inner).pressure,
                outside: gases.at(outer).pressure,
                name,
                running,
                command,
                sound,
            })
        });
        let points = points.collect();
        Self {
            comparison,
            place,
            points,
        }
    }

    /// What openings at the place do, at every point.
    ///
    /// # Errors
    /// More openings than the model takes at once.
    pub fn effects(&self, openings: &[Shape<f64>]) -> Result<Effects, Mistake> {
        self.effects_at(openings, |_| true)
    }

    /// The same where `wanted` only.
    ///
    /// # Errors
    /// As [`effects`](Self::effects).
    pub fn effects_at(
        &self,
        openings: &[Shape<f64>],
        wanted: impl Fn(Running) -> bool,
    ) -> Result<Effects, Mistake> {
        if openings.len() > MOST_LEAKS {
            let message = format!("found {}; at most {MOST_LEAKS} at once", openings.len());
            return Err(mistake("opening", message));
        }
        let leaks = openings.iter().map(|shape| Leak {
            place: self.place,
            shape: *shape,
        });
        let leaking = self.comparison.network.leaking(leaks.collect());
        let leaking = self.comparison.instead(&leaking);
        let points = self.points.iter().filter(|point| wanted(point.running));
        let effects = points.map(|point| {
            let faulty = leaking.faulty(point.command, Some(point.sound.state))?;
            Ok(Effect::between(&point.sound, &faulty))
        });
        Ok(effects.collect())
    }

    /// The same for a sharp-edged round hole of `diameter`, m.
    pub fn hole(&self, diameter: f64) -> Effects {
        // One opening is never too many.
        self.effects(&[Shape::hole(diameter)]).unwrap_or_default()
    }
}

impl Effect {
    fn between(sound: &Side, faulty: &Side) -> Self {
        let is = |side: &Side, reading| side.readings.get(reading).unwrap_or(f64::NAN);
        let change = |reading| is(faulty, reading) - is(sound, reading);
        let torque = is(sound, R::Torque);
        let torque = match torque > LEAST_TORQUE {
            true => is(faulty, R::Torque) / torque - 1.0,
            false => f64::NAN,
        };
        Self {
            leak_flow: faulty.leaks.iter().map(|leak| leak.flow).sum(),
            trim: change(R::FuelTrim),
            lambda: is(faulty, R::Lambda),
            boost: change(R::Boost),
            torque,
            speed: is(faulty, R::EngineSpeed),
            turbo: change(R::ShaftSpeed),
            codes: faulty.codes.clone(),
        }
    }
}
