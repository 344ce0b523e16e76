//! A car across speed at two loads, sound beside faulty: where its readings go, where those of
//! other healthy cars of its make lie, and where its compressor works on its map.

use crate::control::Command;
use crate::machine::compressor::{Compressor, corrected_flow, corrected_speed};
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::medium::GasState;
use crate::network::layout::{Node, state};
use crate::network::readings::READINGS;
use crate::network::{Network, Reading};
use crate::solve::Failure;
use crate::study::asking::seen::Make;
use crate::study::running::simulate::{CRUISE, Comparison, Side};
use std::f64::consts::PI;

/// Inlet state to which flow and speed on the map are corrected: K, Pa absolute (own choice;
/// SAE J1826 leaves it to the stand, from memory).
pub const REFERENCE: (f64, f64) = (298.15, 100e3);
/// Points of a speed line.
const POINTS: usize = 24;

/// How hard the engine works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Load {
    /// Pedal down.
    Full,
    /// The mean pressure of light cruise, held.
    Light,
}

impl Load {
    /// Both.
    pub const ALL: [Load; 2] = [Load::Full, Load::Light];

    /// What is asked of the car at a crank speed, rad/s.
    pub fn command(self, network: &Network<f64>, speed: f64) -> Command {
        let displacement = network.vehicle.cylinders.displacement;
        match self {
            Load::Full => Command::full_load(speed),
            Load::Light => Command::torque(speed, torque_of_mean_pressure(CRUISE.1, displacement)),
        }
    }
}

/// A car at one speed and load.
#[derive(Clone, Debug)]
pub struct Spot {
    /// Crank speed, rad/s.
    pub speed: f64,
    /// Without leaks and faults.
    pub sound: Result<Side, Failure>,
    /// With them, if there are any.
    pub faulty: Option<Result<Side, Failure>>,
    /// Half the width of the band in which 95 % of healthy cars of its make read, by reading; none
    /// where the healthy car does not run.
    pub spread: Option<[f64; READINGS]>,
    /// Where the compressor of the healthy car and of this one works.
    pub compressor: [Option<Working>; 2],
}

/// A point on a compressor map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Working {
    /// Corrected mass flow, kg/s.
    pub flow: f64,
    /// Outlet over inlet pressure.
    pub pressure_ratio: f64,
    /// Corrected shaft speed, rad/s.
    pub speed: f64,
}

/// What stays the same across speeds and loads.
pub struct Across<'a> {
    cars: &'a Comparison,
    make: Make,
}

impl<'a> Across<'a> {
    /// For these cars.
    pub fn new(cars: &'a Comparison) -> Self {
        Self {
            cars,
            make: Make::of(cars),
        }
    }

    /// At one speed, rad/s, and load.
    pub fn spot(&self, load: Load, speed: f64) -> Spot {
        let command = load.command(&self.cars.network, speed);
        let point = self.cars.point("", command);
        let spread = (point.healthy.as_ref().ok()).and_then(|side| self.make.spread(side, command));
        let at = |network: &Network<f64>, side: Option<&Side>, faulty| {
            let network = network.with(self.cars.command(command, faulty));
            side.map(|side| working(&network, side))
        };
        let faulty = point.faulty.as_ref().and_then(|side| side.as_ref().ok());
        Spot {
            speed,
            compressor: [
                at(&self.make.sound.network, point.healthy.as_ref().ok(), false),
                at(&self.cars.network, faulty, true),
            ],
            sound: point.healthy,
            faulty: point.faulty,
            spread,
        }
    }

    /// The map of the healthy car's compressor up to a corrected shaft speed, rad/s.
    pub fn map(&self, fastest: f64) -> Vec<SpeedLine> {
        let network = &self.make.sound.network;
        let moment = network.evaluate(&network.start());
        let air = GasState {
            temperature: REFERENCE.0,
            pressure: REFERENCE.1,
            ..*moment.gases.at(Node::Inlet)
        };
        let step = ROUND * (fastest / LINES / ROUND).ceil();
        let count = (fastest / step).ceil() as usize;
        let speeds = (1..=count).map(|i| step * i as f64);
        let compressor = &network.vehicle.compressor;
        speeds
            .map(|speed| SpeedLine {
                speed,
                points: speed_line(compressor, &air, speed),
            })
            .collect()
    }
}

/// Most speed lines of a map, and what their speeds are multiples of, rad/s: 10,000 rpm.
const LINES: f64 = 6.0;
const ROUND: f64 = 1e4 * PI / 30.0;

/// A line of constant corrected speed.
#[derive(Clone, Debug)]
pub struct SpeedLine {
    /// Corrected shaft speed, rad/s.
    pub speed: f64,
    /// From the surge line to where the compressor gives no pressure: choke.
    pub points: Vec<Working>,
}

fn speed_line(compressor: &Compressor<f64>, air: &GasState<f64>, speed: f64) -> Vec<Working> {
    let still = compressor.stage(air, 0.0, speed);
    // Flow coefficients are flows over a number that only the speed changes.
    let (small, per) = (1e-3, compressor.stage(air, 1e-3, speed).flow_coefficient);
    let flow = |coefficient: f64| coefficient * small / per;
    let (surge, choke) = (flow(still.surge_coefficient), flow(still.choke_coefficient));
    let points = (0..POINTS).map(|i| {
        let flow = surge + (choke - surge) * i as f64 / (POINTS - 1) as f64;
        let outlet = compressor.stage(air, flow, speed).outlet_pressure;
        Working {
            flow,
            pressure_ratio: outlet / air.pressure,
            speed,
        }
    });
    points.collect()
}

/// Where the compressor works at a steady point of the network's command.
fn working(network: &Network<f64>, side: &Side) -> Working {
    let x = &side.state;
    let moment = network.evaluate(&x.data.0[0]);
    let inlet = moment.gases.at(Node::Inlet);
    let behind = moment.gases.at(Node::HotPipe);
    let flow = side.readings.values[Reading::CompressorFlow as usize] * 1e-3;
    let (temperature, pressure) = REFERENCE;
    Working {
        flow: corrected_flow(
            flow,
            inlet.temperature,
            inlet.pressure,
            temperature,
            pressure,
        ),
        pressure_ratio: behind.pressure / inlet.pressure,
        speed: corrected_speed(x[state::SHAFT], inlet.temperature, temperature),
    }
}
