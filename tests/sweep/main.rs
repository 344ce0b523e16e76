//! `falseair sweep`: the same bytes however it is run, nothing lost when it is stopped,
//! rows equal to those of a comparison, and bad studies answered with a line.

mod answers;
mod cases;
mod derivatives;
mod folder;
mod histories;
mod mistakes;
mod page;
mod parquet;
mod resume;
mod sampled;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const FILES: [&str; 3] = ["results.csv", "results.parquet", "manifest.json"];

/// A fresh folder in the build's own folder for tests.
fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("sweep")
        .join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn falseair(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_falseair"));
    command.arg("sweep").args(arguments).output().unwrap()
}

/// Runs a sweep that must succeed.
fn sweep(study: &Path, out: &Path, further: &[&str]) -> String {
    let paths = [study.to_str().unwrap(), "--out", out.to_str().unwrap()];
    let output = falseair(&[&paths[..], further].concat());
    assert!(output.status.success(), "{output:?}");
    String::from_utf8(output.stdout).unwrap()
}

/// A sweep that must be refused; what it says.
fn refused(study: &Path, out: &Path, further: &[&str]) -> String {
    let paths = [study.to_str().unwrap(), "--out", out.to_str().unwrap()];
    let output = falseair(&[&paths[..], further].concat());
    assert_eq!(output.status.code(), Some(2), "{output:?}");
    String::from_utf8(output.stderr).unwrap()
}

fn vehicle() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/vehicles/brindle-16.toml")
}

/// A study file: the demo car, a hole in the cold pipe, and `rest`.
fn study(folder: &Path, rest: &str) -> PathBuf {
    let path = folder.join("study.toml");
    let text = format!(
        "title = \"test\"\nvehicle = {:?}\n{rest}\n[[leak]]\nplace = \"cold_pipe\"\n\
         round_hole = {{ diameter = \"1 mm\" }}\n",
        vehicle()
    );
    fs::write(&path, text).unwrap();
    path
}

const CRUISE: &str = "[[point]]\nname = \"cruise\"\nspeed = \"2500 rpm\"\ntorque = \"45 N m\"\n";

/// 64 cases in four chunks.
const SMALL: &str = "
[[axis]]
key = \"leak.0.place\"
values = [\"inlet_duct\", \"cold_pipe\"]
[[axis]]
key = \"ambient.temperature\"
values = [\"0 degC\", \"30 degC\"]
[[axis]]
key = \"leak.0.round_hole.diameter\"
from = \"0.5 mm\"
to = \"5 mm\"
count = 16
spacing = \"logarithmic\"
";

fn bytes(folder: &Path) -> Vec<Vec<u8>> {
    FILES
        .map(|file| fs::read(folder.join(file)).unwrap())
        .into()
}

/// Rows of a CSV file as maps from head to cell.
fn rows(folder: &Path) -> Vec<std::collections::HashMap<String, String>> {
    let mut reader = csv::Reader::from_path(folder.join("results.csv")).unwrap();
    reader.deserialize().map(|row| row.unwrap()).collect()
}
