//! One target a reader: bytes in; an answer or a fault that helps, never a panic, whatever the
//! bytes are. `main.rs` tries them on the shipped files with many small faults put in;
//! `tests/fuzz/long` hands them to libFuzzer.

use falseair::input::gas_stand::StandTable;
use falseair::input::log::{Mapping, read_bytes};
use falseair::input::{InputError, Source};
use serde::de::DeserializeOwned;
use sim::network::Vehicle;
use sim::scenario::Scenario;
use sim::spelling::is_obeyed;
use sim::study::asking::sweep::{Plan, Study};
use sim::study::judging::diagnose::file::ReadingsFile;
use std::path::Path;
use std::sync::LazyLock;

/// A target: its name and what it does with bytes.
pub type Target = (&'static str, fn(&[u8]));

/// Every reader.
pub const TARGETS: [Target; 7] = [
    ("scenario", scenario),
    ("vehicle", vehicle),
    ("readings", |bytes| drop(toml::<ReadingsFile>(bytes))),
    ("study", study),
    ("log", log),
    ("gas_stand", gas_stand),
    ("lesson", lesson),
];

/// A car whose file is known to be good.
static CAR: LazyLock<Vehicle> = LazyLock::new(|| {
    let text = include_str!("../../scenarios/vehicles/brindle-16.toml");
    let source = Source::from_text(Path::new("car.toml"), text);
    source
        .parse()
        .unwrap_or_else(|e| panic!("{}", e.render(false)))
});

/// A fault must say something, on a line that is there, and obey the terminal, not command it.
fn helps(fault: &InputError, text: &[u8]) {
    let lines = text.iter().filter(|byte| **byte == b'\n').count() + 1;
    assert!(!fault.message().trim().is_empty());
    assert!(fault.line().is_none_or(|line| (1..=lines).contains(&line)));
    let shown = fault.render(false);
    let commands = shown.chars().find(|c| is_obeyed(*c) && *c != '\n');
    assert_eq!(commands, None, "{shown:?}");
}

fn source(bytes: &[u8]) -> Option<Source> {
    let text = std::str::from_utf8(bytes).ok()?;
    Some(Source::from_text(Path::new("fuzz"), text))
}

fn toml<T: DeserializeOwned>(bytes: &[u8]) -> Option<T> {
    match source(bytes)?.parse() {
        Ok(read) => Some(read),
        Err(fault) => {
            helps(&fault, bytes);
            None
        }
    }
}

/// What a scenario says is checked against its car as well.
fn scenario(bytes: &[u8]) {
    let Some(scenario) = toml::<Scenario>(bytes) else {
        return;
    };
    for point in &scenario.point {
        let _ = point.command();
    }
    let _ = scenario.network(CAR.clone());
}

fn vehicle(bytes: &[u8]) {
    let Some(vehicle) = toml::<Vehicle>(bytes) else {
        return;
    };
    vehicle.map(&mut |key, value: f64| {
        assert!(value.is_finite(), "{key} is {value}");
        value
    });
}

fn study(bytes: &[u8]) {
    if let Some(study) = toml::<Study>(bytes) {
        let _ = Plan::new(&study, CAR.clone());
    }
}

fn log(bytes: &[u8]) {
    match read_bytes(Path::new("fuzz"), bytes, &Mapping::default()) {
        Err(fault) => helps(&fault, bytes),
        Ok(log) => {
            let averages = log.windows.iter().flat_map(|window| &window.averages);
            for average in averages {
                assert!(average.mean.is_finite() && average.doubt.is_finite());
            }
        }
    }
}

fn gas_stand(bytes: &[u8]) {
    if let Some(Err(fault)) = source(bytes).map(StandTable::from_source) {
        helps(&fault, bytes);
    }
}

/// A sealed lesson, and what a page says of a fault.
fn lesson(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let lock = page_engine::seal::Lock::TYPED;
    let _ = page_engine::seal::open(text, "a passphrase", "a lesson", lock);
    let _ = serde_json::from_str::<page_engine::locked::Locked>(text);
    let _ = serde_json::from_str::<page_engine::lesson::Secret>(text);
}
