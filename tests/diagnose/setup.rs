//! What the tests and the blind garage of `benches/garage.rs` share: a car, how it is driven,
//! and what is read.

use falseair::input::read_toml;
use sim::control::Command;
use sim::network::{Network, Reading as R};
use sim::scenario::Surroundings;
use sim::study::judging::diagnose::ranking::Verdict;
use sim::study::running::condition::Condition;
use std::path::Path;

/// What the diagnostic plug gives at idle, cruise and full load.
pub const PLUG: [&[R]; 3] = [
    &[
        R::EngineSpeed,
        R::MeteredAir,
        R::ShortTrim,
        R::LongTrim,
        R::Manifold,
        R::Throttle,
    ],
    &[
        R::MeteredAir,
        R::ShortTrim,
        R::LongTrim,
        R::Manifold,
        R::Throttle,
        R::BoostSensor,
    ],
    &[
        R::MeteredAir,
        R::LongTrim,
        R::LambdaSensor,
        R::Manifold,
        R::BoostSensor,
        R::WastegateDuty,
        R::IntakeTemperature,
    ],
];

pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The invented car that all of this is about.
pub fn car() -> Network<f64> {
    let vehicle = read_toml(&root().join("scenarios/vehicles/brindle-16.toml")).unwrap();
    let air = Surroundings::STANDARD.ambient();
    Network::new(vehicle, Vec::new(), air, Command::IDLE)
}

pub fn conditions() -> Vec<Condition> {
    let condition = |name: &str, command, demand_doubt| Condition {
        told_by: None,
        name: name.into(),
        command,
        demand_doubt,
        moving: false,
    };
    vec![
        condition("idle", Command::IDLE, 0.0),
        condition("cruise", Command::torque(250.0, 42.0), 3.9),
        condition("full load", Command::full_load(366.5), 0.0),
    ]
}

/// Whether a verdict, and the probability of a healthy car, call the car faulty.
pub fn called_faulty(verdict: Verdict, sound: f64) -> bool {
    matches!(
        verdict,
        Verdict::Fault | Verdict::OneOfSeveral | Verdict::NothingFits
    ) || (verdict == Verdict::Undecided && sound < 0.1)
}
