//! Drive logs: the quirks of real ones, any order and unit of the columns, hostile files.
//!
//! The files in `files` are one drive of the program's own invented car, with noise and
//! rounding put on, written in the many ways logs are written.

mod bare;
mod clock;
mod columns;
mod course;
mod drive;
mod files;
mod follow;
mod hostile;
mod moving;
mod properties;
mod robust;
mod round_trip;
mod standard;
mod text;
mod unlike;
mod wild;

use falseair::input::InputError;
use falseair::input::log::{Log, Mapping, Taken, read};
use sim::study::knowing::log::{Channel, Window};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn shipped(name: &str) -> PathBuf {
    root().join("tests/logs/files").join(name)
}

/// A file of this test's own.
fn written(name: &str, bytes: &[u8]) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("logs");
    std::fs::create_dir_all(&folder).unwrap();
    let path = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    path
}

fn log(name: &str) -> Log {
    read(&shipped(name), &Mapping::default()).unwrap_or_else(|e| panic!("{e}"))
}

fn bytes(name: &str, bytes: &[u8]) -> Result<Log, InputError> {
    read(&written(name, bytes), &Mapping::default())
}

/// What the column of this header was taken for, and its unit.
fn taken<'a>(log: &'a Log, column: &str) -> (Taken, &'a str) {
    let found = log.mapping.iter().find(|m| m.column == column);
    let found = found.unwrap_or_else(|| panic!("no column {column}"));
    (found.taken, &found.unit)
}

fn why<'a>(log: &'a Log, column: &str) -> &'a str {
    &log.mapping.iter().find(|m| m.column == column).unwrap().why
}

fn channel(key: &str) -> Channel {
    Channel::from_key(key).unwrap()
}

fn mean(window: &Window, key: &str) -> Option<f64> {
    window.get(channel(key)).map(|average| average.mean)
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(arguments)
        .current_dir(root())
        .output()
        .unwrap()
}

fn said(output: &Output) -> String {
    let both = [&output.stdout, &output.stderr].map(|bytes| String::from_utf8_lossy(bytes));
    let both = both.concat();
    both.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn has(log: &Log, words: &str) -> bool {
    log.notes.iter().any(|note| note.contains(words))
}
