//! `falseair vehicle fit`, from a log to files that are read again.

use super::*;
use falseair::input::beside::{beside, read_beside};
use std::process::{Command as Program, Output};

fn falseair(arguments: &[&str]) -> Output {
    Program::new(env!("CARGO_BIN_EXE_falseair"))
        .args(arguments)
        // The last run's files may be there.
        .arg("--force")
        .output()
        .unwrap()
}

fn scratch(name: &str) -> std::path::PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("fit");
    std::fs::create_dir_all(folder.join("vehicles")).unwrap();
    folder.join(name)
}

/// A log of a car that breathes 4 % less and has a weaker wastegate spring.
fn log_of_another_car() -> std::path::PathBuf {
    let shipped =
        std::fs::read_to_string(root().join("scenarios/vehicles/brindle-16.toml")).unwrap();
    let car = shipped
        .replace(
            "displacement = \"1598 cc\"",
            "displacement = \"1598 cc\"\nfilling_share = 0.96",
        )
        .replace("preload = \"86 N\"", "preload = \"83 N\"");
    assert_ne!(car, shipped);
    std::fs::write(scratch("vehicles/brindle-16.toml"), car).unwrap();
    let scenario = std::fs::read_to_string(root().join("scenarios/drive-log.toml")).unwrap();
    std::fs::write(scratch("drive-log.toml"), scenario).unwrap();
    let log = scratch("healthy.csv");
    let run = falseair(&[
        "simulate",
        "--time",
        "--interval",
        "0.1 s",
        "--format",
        "csv",
        scratch("drive-log.toml").to_str().unwrap(),
        "--out",
        log.to_str().unwrap(),
    ]);
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    log
}

#[test]
fn a_healthy_log_tells_the_car() {
    let log = log_of_another_car();
    let (nominal, out) = (
        root().join("scenarios/vehicles/brindle-16.toml"),
        scratch("fitted.toml"),
    );
    let arguments = |out: &Path, format: &str| -> Vec<String> {
        let all = [
            "vehicle",
            "fit",
            nominal.to_str().unwrap(),
            "--log",
            log.to_str().unwrap(),
            "--only",
            "side=healthy",
            "--ambient",
            "18 degC",
            "--out",
            out.to_str().unwrap(),
            "--format",
            format,
        ];
        all.map(String::from).to_vec()
    };
    let owned = arguments(&out, "json");
    let run = falseair(&owned.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    let answer: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    let numbers = answer["numbers"].as_array().unwrap();
    for (key, truth) in [
        ("cylinders.filling_share", 0.96),
        ("wastegate.preload", 83.0),
    ] {
        let number = numbers.iter().find(|n| n["key"] == key).unwrap();
        let of = |when: &str, what: &str| number[when][what].as_f64().unwrap();
        let off = (of("after", "value") - truth).abs();
        assert!(off < 2.0 * of("after", "deviation"), "{key}: {number}");
        assert!(
            off < 0.75 * (of("before", "value") - truth).abs(),
            "{key}: {number}"
        );
    }
    let readings = answer["readings"].as_array().unwrap();
    let off = |when: &str| -> f64 {
        let each = readings.iter().map(|r| {
            let read = &r["read"];
            let apart = r[when].as_f64().unwrap() - read["value"].as_f64().unwrap();
            (apart / read["deviation"].as_f64().unwrap()).powi(2)
        });
        each.sum()
    };
    assert!(
        off("after") < 0.4 * off("before"),
        "{} {}",
        off("after"),
        off("before")
    );
    // The files are read again.
    let fitted: sim::network::Vehicle = read_toml(&out).unwrap();
    let written = quantities(&Network::new(
        fitted,
        Vec::new(),
        Surroundings::STANDARD.ambient(),
        Command::IDLE,
    ));
    let filling = written
        .iter()
        .find(|q| q.key == "cylinders.filling_share")
        .unwrap();
    assert!((filling.value - 0.96).abs() < 0.02, "{}", filling.value);
    let (known, _) = read_beside(&out).unwrap().unwrap();
    assert_eq!(known.numbers.len(), numbers.len());
    let doubt = known.doubt(&car("brindle-16")).unwrap();
    assert!(doubt.factor.iter().all(|x| x.is_finite()));
    let renamed = scratch("renamed.toml");
    std::fs::copy(beside(&out), beside(&renamed)).unwrap();
    assert!(
        read_beside(&renamed)
            .unwrap_err()
            .message()
            .contains("fitted.toml")
    );
    assert!(read_beside(&nominal).unwrap().is_none());
    let owned = arguments(&out, "table");
    let run = falseair(&owned.iter().map(String::as_str).collect::<Vec<_>>());
    let text = String::from_utf8(run.stdout).unwrap();
    assert!(
        text.contains("volumetric efficiency") && text.contains("as before: "),
        "{text}"
    );
    assert!(
        text.lines()
            .all(|line| line.chars().count() <= 80 || line.starts_with("written")),
        "{text}"
    );
}
