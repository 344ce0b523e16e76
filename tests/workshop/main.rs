//! `falseair workshop`: published values through the commands' JSON, round trips, and
//! what is refused. Marks of the check values: S text seen, M from memory, C computed
//! with a general-purpose library, F closed form, P common practice, no source.

mod faces;
mod files;
mod hard_limits;
mod known_hole;
mod payback;
mod plan;

mod pressures;
mod procedures;
mod published;
mod random;
mod refusals;
mod refusals_more;
mod round_trip;
mod seals;
mod verify;

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn workshop(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_falseair"))
        .current_dir(root())
        .arg("workshop")
        .args(arguments)
        // The last run's files may be there.
        .arg("--force")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// The JSON of a command that answers.
fn json(arguments: &[&str]) -> Value {
    let output = workshop(&[arguments, &["--format", "json"]].concat());
    assert!(
        output.status.success(),
        "{arguments:?}: {}",
        text(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A number at a path of keys: `found.effective_area_mm2.value`.
fn number(json: &Value, path: &str) -> f64 {
    let found = path
        .split('.')
        .fold(json, |value, key| match key.parse::<usize>() {
            Ok(index) => &value[index],
            Err(_) => &value[key],
        });
    found
        .as_f64()
        .unwrap_or_else(|| panic!("no number at {path}: {json:#}"))
}

fn close(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert!(
        (found / expected - 1.0).abs() <= tolerance,
        "{what}: found {found}, expected {expected}"
    );
}
