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
    let mut owned = arguments(&out, "table");
    owned.push("--full".into());
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

fn healthy(name: &str, changes: &[(&str, &str)]) -> std::path::PathBuf {
    let mut said =
        std::fs::read_to_string(root().join("scenarios/readings/healthy-car.toml")).unwrap();
    for (old, new) in changes {
        assert!(said.contains(old), "{old}");
        said = said.replacen(old, new, 1);
    }
    let file = scratch(name);
    std::fs::write(&file, said).unwrap();
    file
}

fn fitted_to(readings: &Path, out: &Path) -> (Output, serde_json::Value) {
    let car = root().join("scenarios/vehicles/brindle-16.toml");
    let (car, readings) = (car.to_str().unwrap(), readings.to_str().unwrap());
    let page = scratch("fit.html");
    let run = falseair(&[
        "vehicle",
        "fit",
        car,
        "--readings",
        readings,
        "--out",
        out.to_str().unwrap(),
        "--format",
        "json",
        "--report",
        page.to_str().unwrap(),
    ]);
    let answer = serde_json::from_slice(&run.stdout);
    let answer = answer.unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&run.stderr)));
    assert!(std::fs::read_to_string(page).unwrap().contains("<svg"));
    (run, answer)
}

/// Readings typed in will do. What the computer aims at is taken from them: a car that idles 90 rpm
/// higher and aims leaner is no other engine. All its readings are followed, and the file beside the
/// fitted one is read again by a diagnosis.
#[test]
fn typed_readings_tell_what_the_car_aims_at() {
    let own = [
        ("796 rpm", "889 rpm"),
        ("1.97 g/s", "2.15 g/s"),
        ("lambda = 0.902", "lambda = 0.941"),
    ];
    let (readings, out) = (healthy("typed.toml", &own), scratch("typed-fitted.toml"));
    let (run, answer) = fitted_to(&readings, &out);
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    assert_eq!(answer["not_followed"], serde_json::json!([]));
    let fitted: sim::network::Vehicle = read_toml(&out).unwrap();
    let rpm = fitted.drive.idle_speed * 30.0 / std::f64::consts::PI;
    assert!((rpm - 889.0).abs() < 20.0, "{rpm}");
    assert!((fitted.fuelling.full_load_lambda - 0.941).abs() < 0.015);
    for reading in answer["readings"].as_array().unwrap() {
        assert!(
            reading["off_after"].as_f64().unwrap().abs() < 3.0,
            "{reading}"
        );
    }
    let case = healthy("typed-case.toml", &own);
    let said = std::fs::read_to_string(&case).unwrap();
    std::fs::write(
        &case,
        said.replace("../vehicles/brindle-16.toml", "typed-fitted.toml"),
    )
    .unwrap();
    let run = falseair(&["diagnose", case.to_str().unwrap(), "--format", "json"]);
    let found: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(found["verdict"], "no_fault_shown", "{}", found["says"]);
}

/// A reading that no car of the file shows is named, with exit code 1, and no aim is bent for it.
#[test]
fn what_cannot_be_followed_is_said() {
    let wrong = [(
        "wastegate_solenoid_duty = \"43 %\"",
        "wastegate_solenoid_duty = \"93 %\"",
    )];
    let (readings, out) = (healthy("wrong.toml", &wrong), scratch("wrong-fitted.toml"));
    let (run, answer) = fitted_to(&readings, &out);
    assert_eq!(run.status.code(), Some(1));
    assert_eq!(
        answer["not_followed"][0]["reading"],
        "wastegate_solenoid_duty_pct"
    );
    let said = String::from_utf8_lossy(&run.stderr).into_owned();
    assert!(
        said.contains("cannot follow wastegate solenoid duty at full load"),
        "{said}"
    );
    let numbers = answer["numbers"].as_array().unwrap();
    for number in numbers
        .iter()
        .filter(|n| n["key"].as_str().unwrap().starts_with("boost.target"))
    {
        let of = |when: &str| number[when]["value"].as_f64().unwrap();
        assert!((of("after") / of("before") - 1.0).abs() < 0.1, "{number}");
    }
}
