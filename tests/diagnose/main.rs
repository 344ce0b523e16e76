//! From readings to faults. Marks of the check values as in `tests/workshop`.

mod answers;
mod garage;
mod program;

use sim::control::Command;
use sim::network::{Ambient, Network, Reading, Vehicle};
use sim::study::diagnose::atlas::{Atlas, Condition};
use sim::study::diagnose::doubt::CarDoubt;
use std::path::Path;
use std::sync::LazyLock;

use Reading as R;

/// What the diagnostic plug gives at idle, cruise and full load.
const PLUG: &[&[R]] = &[
    &[
        R::EngineSpeed,
        R::MeteredAir,
        R::ShortTrim,
        R::LongTrim,
        R::Manifold,
    ],
    &[R::MeteredAir, R::ShortTrim, R::LongTrim, R::Manifold],
    &[
        R::MeteredAir,
        R::LongTrim,
        R::LambdaSensor,
        R::BoostSensor,
        R::WastegateDuty,
    ],
];

fn car() -> Network<f64> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = root.join("scenarios/vehicles/brindle-16.toml");
    let car: Vehicle = falseair::input::read_toml(&file).unwrap();
    let air = Ambient {
        pressure: 101_325.0,
        temperature: 293.15,
        water_mole_fraction: 0.008,
    };
    Network::new(car, Vec::new(), air, Command::IDLE)
}

/// Predictions for the demo car at idle, cruise and full load, made once.
static ATLAS: LazyLock<Atlas> = LazyLock::new(|| {
    let car = car();
    let condition = |name: &str, command, demand_doubt| Condition {
        name: name.into(),
        command,
        demand_doubt,
    };
    let conditions = vec![
        condition("idle", Command::IDLE, 0.0),
        condition("cruise", Command::torque(250.0, 42.0), 3.9),
        condition("full load", Command::full_load(366.5), 0.0),
    ];
    let doubt = CarDoubt::usual(&car, 1.0);
    Atlas::new(&car, conditions, doubt).unwrap()
});
