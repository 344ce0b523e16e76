//! `falseair diagnose`: what it must never say, what it must find, and that its numbers
//! are what they say they are. Marks of the check values: C computed with a
//! general-purpose library, F closed form, P common practice, no source.

mod alarms;
mod codes;
mod confirm;
mod dangers;
mod driven;
mod gain;
mod garage;
mod grown;
mod hazards;
mod judged;
mod law;
mod log;
mod modelled;
mod off_model;
mod one_condition;
mod overrun;
mod plan;
mod predictions;
mod program;
mod raised;
mod refusals;
mod rest;
mod said;
mod setup;
mod splits;
mod stalls;
mod stated;
mod told;
mod twin;
mod twin_folder;
mod vented;

use setup::{PLUG, car, conditions, root};
use sim::control::Code;
use sim::network::{Network, Reading as R};
use sim::study::judging::diagnose::evidence::Evidence;
use sim::study::judging::diagnose::garage::{Chance, evidence};
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::ranking::{Diagnosis, Hypothesis, Verdict};
use sim::study::knowing::doubt::CarDoubt;
use std::path::{Path, PathBuf};
use std::process::{Command as Program, Output};
use std::sync::OnceLock;

/// Predictions for the car, made once.
fn ladders() -> &'static Ladders {
    static LADDERS: OnceLock<Ladders> = OnceLock::new();
    LADDERS.get_or_init(|| {
        let car = car();
        let doubt = CarDoubt::usual(&car, 1.0);
        Ladders::new(&car, conditions(), doubt)
            .unwrap_or_else(|(name, why)| panic!("{name}: {why}"))
    })
}

/// The car with some of its numbers multiplied.
fn with(factors: &[(&str, f64)]) -> Network<f64> {
    car().map(&mut |key, value| {
        let factor = factors.iter().find(|(wanted, _)| *wanted == key);
        factor.map_or(value, |(_, factor)| factor * value)
    })
}

/// Readings of `car` with `faults` (name, size in SI); instruments scatter by `seed`.
fn read(car: &Network<f64>, faults: &[(&str, f64)], seed: u64) -> Evidence {
    let faults: Vec<_> = (faults.iter())
        .map(|(name, size)| (ladders().suspects[suspect(name)], *size))
        .collect();
    evidence(car, &faults, &conditions(), &PLUG, &mut Chance::new(seed))
}

fn suspect(name: &str) -> usize {
    (ladders().suspect(name)).unwrap_or_else(|| panic!("no suspect is called `{name}`"))
}

fn diagnose(evidence: &Evidence) -> Diagnosis {
    Diagnosis::new(ladders(), evidence, false).unwrap()
}

fn probability(diagnosis: &Diagnosis, name: &str) -> f64 {
    let named = diagnosis.hypotheses.iter();
    let mut named = named.filter(|h| h.name(ladders()) == name);
    named.next().map_or(0.0, |h| h.probability)
}

fn called_faulty(diagnosis: &Diagnosis) -> bool {
    setup::called_faulty(diagnosis.verdict, diagnosis.sound())
}

/// Whether the first of several hypotheses is a leak.
fn leak_on_top(first: &Hypothesis) -> bool {
    let faults = first.posterior.faults.iter();
    faults
        .into_iter()
        .any(|i| ladders().suspects[*i].place().is_some())
}

/// Everything that is likely, for the message of a test that fails.
fn summary(diagnosis: &Diagnosis) -> String {
    let likely = diagnosis.hypotheses.iter().filter(|h| h.probability > 0.02);
    let likely: Vec<String> = likely
        .map(|h| {
            let (name, p) = (h.name(ladders()), h.probability);
            format!("{name} {p:.3} (fit {:.3}, {:?})", h.fit, h.sizes)
        })
        .collect();
    format!("{:?}: {}", diagnosis.verdict, likely.join("; "))
}

fn all_codes(set: &[Code]) -> Vec<(Code, bool)> {
    let all = Code::WORDS.iter().map(|(_, code, _)| *code);
    all.map(|code| (code, set.contains(&code))).collect()
}

fn falseair(arguments: &[&str]) -> Output {
    Program::new(env!("CARGO_BIN_EXE_falseair"))
        .current_dir(root())
        .args(arguments)
        // The last run's files may be there.
        .arg("--force")
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A file for the test `name` in the build's own folder for tests.
fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("diagnose");
    std::fs::create_dir_all(&folder).unwrap();
    folder.join(name)
}

/// The shipped car's path, for files elsewhere.
fn vehicle() -> String {
    let path = root().join("scenarios/vehicles/brindle-16.toml");
    path.to_str().unwrap().to_string()
}

/// A readings file of this text, its vehicle line before it.
fn readings_file(name: &str, rest: &str) -> PathBuf {
    let path = scratch(&format!("{name}.toml"));
    std::fs::write(&path, format!("vehicle = {:?}\n{rest}", vehicle())).unwrap();
    path
}
