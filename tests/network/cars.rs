//! The two shipped cars, and the points they are run at.

use falseair::input::read_toml;
use sim::control::{BoostControl, Command, Memory};
use sim::leak::{RoundHole, Shape};
use sim::network::{Ambient, Fault, FaultKind, Leak, Network, Place, Vehicle};
use sim::study::running::simulate::Comparison;
use std::path::Path;

pub const AMBIENT: Ambient = Ambient {
    pressure: 101_325.0,
    temperature: 293.15,
    water_mole_fraction: 0.01,
};

pub fn car(name: &str) -> Vehicle {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("scenarios/vehicles/{name}.toml"));
    let mut car: Vehicle = read_toml(&path).unwrap_or_else(|e| panic!("{e}"));
    // The computer takes the air for what it is here.
    car.meter.assumed_water = AMBIENT.water_mole_fraction;
    car
}

/// Both cars: mass air flow sensor with plumbed-back valve; speed-density with vented valve.
pub fn cars() -> [Vehicle; 2] {
    [car("brindle-16"), car("tamsel-20")]
}

pub fn rpm(n: f64) -> f64 {
    n * std::f64::consts::PI / 30.0
}

/// Idle, light cruise, full load at five speeds.
pub fn points() -> Vec<(String, Command)> {
    let mut all = vec![
        ("idle".into(), Command::IDLE),
        ("light cruise".into(), Command::torque(rpm(2500.0), 45.0)),
    ];
    for n in [1500.0, 2500.0, 3500.0, 4500.0, 5500.0] {
        all.push((format!("full load {n}"), Command::full_load(rpm(n))));
    }
    all
}

pub fn hole(place: Place, diameter: f64) -> Leak<f64> {
    Leak {
        place,
        shape: Shape::RoundHole(RoundHole { diameter }),
    }
}

pub fn network(vehicle: &Vehicle, leaks: Vec<Leak<f64>>, command: Command) -> Network<f64> {
    Network::new(vehicle.clone(), leaks, AMBIENT, command)
}

/// What the computer of this car learns at idle and cruise.
pub fn learnt(network: &Network<f64>) -> Memory {
    Comparison::new(network).memory(true)
}

/// A car with one fault that looks like a leak.
pub fn ailing(car: &Vehicle, kind: FaultKind, severity: f64) -> Network<f64> {
    network(car, vec![], Command::IDLE).ailing(vec![Fault { kind, severity }])
}

pub fn with_boost(vehicle: &Vehicle, control: BoostControl) -> Vehicle {
    let mut vehicle = vehicle.clone();
    vehicle.boost.control = control;
    vehicle
}

/// A reproducible stream of numbers in 0..1 (splitmix64, Steele et al. 2014).
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}
