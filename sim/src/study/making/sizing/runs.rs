//! The points a card is drawn from: idle, cruise, a full-load sweep, a pedal step.

use super::SURROUNDINGS;
use super::bench::{Bench, Point};
use crate::control::Command;
use crate::network::layout::state;
use crate::network::{Network, Vehicle};
use crate::solve::Failure;
use crate::solve::implicit::{Integrator, Tolerance};
use std::f64::consts::PI;

/// rad/s in a turn a minute.
pub(super) const RPM: f64 = PI / 30.0;
/// Speeds of the full-load sweep.
const SPEEDS: usize = 25;

/// The points a card is drawn from.
pub(super) struct Tests {
    pub idle: Point,
    pub cruise: Point,
    pub sweep: Vec<Point>,
    /// Places in the sweep of the highest torque and power.
    pub torque: usize,
    pub power: usize,
    /// Full load at 80 % of the speed of the highest power.
    pub middle: Point,
}

impl Tests {
    /// Runs them all.
    pub fn run(vehicle: &Vehicle<f64>) -> Result<Self, Failure> {
        let mut bench = Bench::default();
        let idle = bench.run(vehicle, Command::IDLE)?;
        let litres = vehicle.cylinders.displacement * 1e3;
        let cruise = bench.run(vehicle, Command::torque(2500.0 * RPM, 28.0 * litres))?;
        let ends = |curve: &crate::curve::Curve<f64>| {
            let points = curve.points();
            [points[0][0], points[points.len() - 1][0]]
        };
        let [from, _] = ends(&vehicle.boost.target);
        let [_, to] = ends(&vehicle.filling);
        let from = from.max(1.5 * vehicle.drive.idle_speed).min(0.5 * to);
        let mut sweep: Vec<Point> = Vec::new();
        for i in 0..SPEEDS {
            let speed = (from + (to - from) * i as f64 / (SPEEDS - 1) as f64).min(to);
            let command = Command::full_load(speed);
            let point = match sweep.last() {
                Some(near) => bench.run_from(vehicle, command, near)?,
                None => bench.run(vehicle, command)?,
            };
            sweep.push(point);
        }
        let most = |value: &dyn Fn(&Point) -> f64| {
            let all = sweep.iter().map(value).enumerate();
            all.fold((0, f64::MIN), |a, b| if b.1 > a.1 { b } else { a })
                .0
        };
        let torque = most(&|point| point.torque());
        let power = most(&|point| point.torque() * point.speed());
        let middle = Command::full_load(0.8 * sweep[power].speed());
        let middle = bench.run_from(vehicle, middle, &sweep[power])?;
        Ok(Self {
            idle,
            cruise,
            sweep,
            torque,
            power,
            middle,
        })
    }

    /// All points.
    pub fn all(&self) -> impl Iterator<Item = &Point> {
        [&self.idle, &self.cruise, &self.middle]
            .into_iter()
            .chain(&self.sweep)
    }

    /// Lowest and highest of a value over the full-load sweep.
    pub fn full(&self, value: impl Fn(&Point) -> f64) -> [f64; 2] {
        let values = self.sweep.iter().map(value);
        values.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| {
            [low.min(v), high.max(v)]
        })
    }
}

/// Where the fuel's heat goes at a point: brake work, coolant and oil, exhaust; shares.
pub(super) fn energy_split(vehicle: &Vehicle<f64>, point: &Point) -> [f64; 3] {
    let network = Network::new(vehicle.clone(), Vec::new(), SURROUNDINGS, point.command);
    let cycle = &point.moment.streams.cycle;
    let speed = point.speed();
    let fuel = cycle.fuel * vehicle.fuel.lower_heating_value;
    let brake = cycle.torque * speed;
    let friction = cycle.gas_work - brake - vehicle.cylinders.accessory_torque * speed;
    let cold = network.medium.enthalpy(298.15, cycle.fuel_fraction) * cycle.exhaust;
    [
        brake,
        cycle.coolant_heat + friction,
        cycle.exhaust_enthalpy - cold,
    ]
    .map(|power| power / fuel)
}

/// Time, s, from pedal down at 2000 rpm, held, until 90 % of the torque there is
/// reached; from light load. Not-a-number if not within 10 s.
pub(super) fn spool_time(vehicle: &Vehicle<f64>) -> Result<f64, Failure> {
    let speed = 2000.0 * RPM;
    let mut bench = Bench::default();
    let end = bench.run(vehicle, Command::full_load(speed))?;
    let litres = vehicle.cylinders.displacement * 1e3;
    let start = bench.run(vehicle, Command::torque(speed, 28.0 * litres))?;
    // The pedal stands where the throttle does, then goes down in a tenth of a second.
    let opening = start.side.state[state::THROTTLE].clamp(1e-3, 1.0);
    let pedal = opening.powf(1.0 / vehicle.drive.pedal_exponent).min(0.99);
    let mut x = start.side.state;
    x[state::PEDAL] = pedal;
    let down = Command {
        pedal_rate: (1.0 - pedal) / 0.1,
        ..Command::full_load(speed)
    };
    let mut time = 0.0;
    for (length, command) in [(0.1, down), (10.0, Command::full_load(speed))] {
        let network = Network::new(vehicle.clone(), Vec::new(), SURROUNDINGS, command);
        let mut engine = Integrator::new(&network, time, x, Tolerance::default());
        let mut reached = f64::NAN;
        engine.run_to(time + length, |step| {
            for share in [0.25, 0.5, 0.75, 1.0] {
                let at = step.from + share * step.length;
                let moment = network.evaluate(&step.at(at).data.0[0]);
                if reached.is_nan() && moment.streams.cycle.torque >= 0.9 * end.torque() {
                    reached = at;
                }
            }
        })?;
        if reached.is_finite() {
            return Ok(reached);
        }
        time += length;
        x = engine.state;
    }
    Ok(f64::NAN)
}
