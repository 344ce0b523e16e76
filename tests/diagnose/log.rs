//! From a drive to a log to a fault.

use super::*;
use serde_json::Value;

#[test]
fn a_split_hose_is_found_in_the_log_of_a_drive() {
    let log = scratch("drive.csv");
    let run = falseair(&[
        "simulate",
        "scenarios/drive-log.toml",
        "--time",
        "--format",
        "csv",
        "--out",
        log.to_str().unwrap(),
    ]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let file = readings_file(
        "from_log",
        "[ambient]\npressure = \"98.5 kPa abs\"\ntemperature = \"18 degC\"\n[log]\nfile = \"drive.csv\"\nonly = { column = \"side\", is = \"faulty\" }\n",
    );
    let run = falseair(&["diagnose", file.to_str().unwrap(), "--format", "json"]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    let says = &answer["says"];
    assert!(
        ["fault", "one_of_several"].contains(&answer["verdict"].as_str().unwrap()),
        "{says}"
    );
    let first = &answer["hypotheses"][0];
    assert_eq!(first["fault"], "leak", "{says}");
    let place = first["place"].as_str().unwrap();
    assert!(
        ["hot_pipe", "cold_pipe", "cooler_tank"].contains(&place),
        "{says}"
    );
    // The hole of the scenario: 5 mm.
    let size = |key: &str| first["size"][key].as_f64().unwrap();
    assert!(size("low90") <= 5.0 && 5.0 <= size("high90"), "{says}");
    assert_eq!(first["size"]["unit"], "mm");
    // The pull ran lean under boost: what its danger asks for comes first, engine not loaded.
    let next = answer["next_tests"][0]["test"].as_str().unwrap();
    assert!(["fuel_pressure", "gas_analyser"].contains(&next), "{next}");

    // The sound side of the same log is not called leaky.
    let file = readings_file(
        "from_log_sound",
        "[ambient]\npressure = \"98.5 kPa abs\"\ntemperature = \"18 degC\"\n[log]\nfile = \"drive.csv\"\nonly = { column = \"side\", is = \"healthy\" }\n",
    );
    let run = falseair(&["diagnose", file.to_str().unwrap(), "--format", "json"]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(answer["verdict"], "no_fault_shown", "{}", answer["says"]);
    assert_eq!(answer["dangers"], Value::Array(Vec::new()));
}
