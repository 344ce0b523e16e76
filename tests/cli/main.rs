//! The program as a user meets it: results, bad input, exit codes.

mod answers;
mod bad_input;
mod compare;
mod forms;
mod help;
mod hostile;
mod outputs;
mod words;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn scenario(name: &str) -> PathBuf {
    root().join("scenarios").join(format!("{name}.toml"))
}

/// A path in the build's own folder for tests.
fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("cli")
        .join(name)
}

fn falseair(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(arguments)
        // The last run's files may be there.
        .arg("--force")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A shipped scenario with one piece of text replaced, beside links to its vehicles.
fn changed(test: &str, name: &str, from: &str, to: &str) -> PathBuf {
    let folder = scratch(test);
    let vehicles = folder.join("vehicles");
    std::fs::create_dir_all(&vehicles).unwrap();
    for car in ["brindle-16.toml", "tamsel-20.toml"] {
        std::fs::copy(
            root().join("scenarios/vehicles").join(car),
            vehicles.join(car),
        )
        .unwrap();
    }
    let shipped = std::fs::read_to_string(scenario(name)).unwrap();
    assert!(shipped.contains(from), "`{from}` is not in {name}");
    let path = folder.join("case.toml");
    std::fs::write(&path, shipped.replacen(from, to, 1)).unwrap();
    path
}
