//! A folder of healthy cars that grows: what is put there is what a diagnosis takes from it, and what
//! is no healthy car's does not get in.

use crate::{falseair, text};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

const HEALTHY: &str = "scenarios/readings/healthy-car.toml";
const LEAN: &str = "scenarios/readings/lean-at-idle.toml";

fn scratch(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("twin-folder")
        .join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// A file of ours with some texts replaced, beside the shipped vehicles.
fn changed(folder: &Path, name: &str, from: &str, changes: &[(&str, &str)]) -> PathBuf {
    let mut said = fs::read_to_string(crate::root().join(from)).unwrap();
    let cars = crate::root().join("scenarios/vehicles");
    said = said.replace("../vehicles", cars.to_str().unwrap());
    for (old, new) in changes {
        assert!(said.contains(old), "{from} has no `{old}`");
        said = said.replacen(old, new, 1);
    }
    let file = folder.join(name);
    fs::write(&file, said).unwrap();
    file
}

fn ask(arguments: &[&str]) -> Value {
    let done = falseair(&[arguments, &["--format", "json"]].concat());
    assert!(
        done.status.success(),
        "{arguments:?}: {}",
        text(&done.stderr)
    );
    serde_json::from_slice(&done.stdout).unwrap()
}

fn add(folder: &Path, file: &Path, name: &str, date: &str) -> Value {
    let (folder, file) = (folder.to_str().unwrap(), file.to_str().unwrap());
    ask(&[
        "twin", "add", file, "--name", name, "--date", date, "--folder", folder,
    ])
}

/// Exit code 2, and this among what was said.
fn refused(arguments: &[&str], words: &[&str]) {
    let done = falseair(arguments);
    let said = text(&done.stderr);
    assert_eq!(done.status.code(), Some(2), "{said}");
    for word in words {
        assert!(said.contains(word), "no `{word}`: {said}");
    }
}

/// Kept, found again by its name, and judged beside: the same answer to the last figure as the same
/// readings named by hand, and no sister while there is a record of its own.
#[test]
fn a_kept_twin_answers_as_one_named_by_hand() {
    let folder = scratch("own");
    let twins = folder.join("twins");
    let healthy = crate::root().join(HEALTHY);
    let kept = add(&twins, &healthy, "Anna", "2026-05-03");
    assert_eq!(kept["readings"], 15);
    let sister = [("1.97 g/s", "1.93 g/s"), ("93.5 g/s", "92.1 g/s")];
    let sister = changed(&folder, "sister.toml", HEALTHY, &sister);
    add(&twins, &sister, "Ben", "2026-05-04");
    let who = "codes = [\"P0171\", \"P2187\"]\n[this_car]\nname = \"anna \"\n";
    let found = [("codes = [\"P0171\", \"P2187\"]\n", who)];
    let found = changed(&folder, "found.toml", LEAN, &found);
    let named = format!("codes = [\"P0171\", \"P2187\"]\n[[baseline]]\nreadings = {healthy:?}\n");
    let named = [("codes = [\"P0171\", \"P2187\"]\n", named.as_str())];
    let named = changed(&folder, "named.toml", LEAN, &named);
    let twins_at = twins.to_str().unwrap();
    let found = ask(&["diagnose", found.to_str().unwrap(), "--twins", twins_at]);
    let named = ask(&["diagnose", named.to_str().unwrap()]);
    assert_eq!(found["hypotheses"], named["hypotheses"]);
    assert_eq!(found["baseline"]["readings"], 15);
    let taken = found["baseline"]["taken"].as_array().unwrap();
    assert_eq!(taken.len(), 1, "{taken:?}");
    assert_eq!(taken[0]["of"], "this_car");
    assert_eq!(taken[0]["name"], "Anna");
    // Nothing is written over.
    let mut again = std::process::Command::new(env!("CARGO_BIN_EXE_falseair"));
    let whose = ["--name", "anna", "--date", "2026-05-03", "--folder"];
    let again = again
        .current_dir(crate::root())
        .args(["twin", "add", HEALTHY]);
    let done = again.args(whose).arg(&twins).output().unwrap();
    let said = text(&done.stderr);
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(said.contains("is there already"), "{said}");
    let listed = ask(&["twin", "list", twins_at]);
    let records = listed["makes"][0]["records"].as_array().unwrap();
    let names: Vec<&str> = records
        .iter()
        .map(|r| r["name"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["Anna", "Ben"]);
}

/// A car without a record of its own is judged beside its sisters, and only those of its make; a name
/// that is nearly one of the folder's is asked about; other weather is allowed.
#[test]
fn sisters_stand_in_where_the_car_has_no_record() {
    let folder = scratch("sisters");
    let twins = folder.join("twins");
    let winter = "codes = []\n[ambient]\npressure = \"100.2 kPa abs\"\ntemperature = \"8 degC\"\n";
    let other_day = [
        ("codes = []\n", winter),
        ("93.5 g/s", "94.6 g/s"),
        ("36 degC", "26 degC"),
    ];
    let first = changed(&folder, "first.toml", HEALTHY, &other_day);
    let second = changed(&folder, "second.toml", HEALTHY, &[("1.97 g/s", "1.93 g/s")]);
    add(&twins, &first, "Anna", "2026-01-03");
    add(&twins, &second, "Ben", "2026-05-04");
    let other = [
        "--name",
        "carl",
        "--make",
        "another",
        "--date",
        "2026-05-05",
    ];
    let add_to = ["twin", "add", HEALTHY, "--folder", twins.to_str().unwrap()];
    assert!(falseair(&[&add_to[..], &other].concat()).status.success());
    fs::write(twins.join("note.toml"), "vehicle = \"x.toml\"\n").unwrap();
    let named = [("codes = [", "twins = \"twins\"\ncodes = [")];
    let found = changed(&folder, "found.toml", LEAN, &named);
    let mut said = fs::read_to_string(&found).unwrap();
    said.push_str("\n[this_car]\nname = \"Benn\"\n");
    fs::write(&found, said).unwrap();
    let found = ask(&["diagnose", found.to_str().unwrap()]);
    let taken = found["baseline"]["taken"].as_array().unwrap();
    let names: Vec<&str> = taken.iter().map(|t| t["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["Ben", "Anna"], "{taken:?}");
    assert!(taken.iter().all(|t| t["of"] == "sister"));
    assert_eq!(found["baseline"]["used"], true, "{}", found["baseline"]);
    let remarks = found["remarks"].to_string();
    assert!(remarks.contains("is it Ben?"), "{remarks}");
    assert!(
        remarks.contains("note.toml") && remarks.contains("whose readings?"),
        "{remarks}"
    );
    // A folder that has nothing of the car says so.
    let none = ["diagnose", LEAN, "--twins", "scenarios/twins"];
    let remarks = ask(&none)["remarks"].to_string();
    assert!(
        remarks.contains("no record of Brindle 16 (invented)"),
        "{remarks}"
    );
}

/// What is no healthy car's does not get in: file, line and key, and why.
#[test]
fn what_is_not_healthy_is_refused() {
    let folder = scratch("refused");
    let twins = folder.join("twins");
    let add = |file: &Path, further: &[&str]| -> Vec<String> {
        let twins = twins.to_str().unwrap();
        let named = ["--name", "anna", "--date", "2026-05-03", "--folder", twins];
        let all = [
            &["twin", "add", file.to_str().unwrap()],
            &named[..],
            further,
        ]
        .concat();
        all.into_iter().map(String::from).collect()
    };
    let no = |file: &Path, words: &[&str]| {
        let owned = add(file, &[]);
        let arguments: Vec<&str> = owned.iter().map(String::as_str).collect();
        refused(&arguments, words);
        assert!(!twins.exists());
    };
    let lean = changed(
        &folder,
        "lean.toml",
        HEALTHY,
        &[("lambda = 0.902", "lambda = 1.08")],
    );
    no(&lean, &["lean.toml:", "full load", "--although"]);
    no(
        &crate::root().join(LEAN),
        &["codes are set: P0171, P2187", "they show a fault: leak"],
    );
    let stalls = [
        ("long_trim = \"-2.1 %\"\n", ""),
        ("idle = true", "idle = true\nruns = false"),
    ];
    let stalls = changed(&folder, "stalls.toml", HEALTHY, &stalls);
    no(&stalls, &["does not run at idle"]);
    let wrong = changed(&folder, "wrong.toml", HEALTHY, &[("1.97 g/s", "1.97 kPa")]);
    no(&wrong, &["wrong.toml:", "metered_air"]);
    let date = [
        "twin",
        "add",
        HEALTHY,
        "--name",
        "anna",
        "--date",
        "2026-02-29",
    ];
    refused(&date, &["2026-05-03"]);
    refused(
        &["twin", "add", HEALTHY, "--date", "2026-02-28"],
        &["which car is it?"],
    );
    refused(
        &[
            "twin",
            "add",
            HEALTHY,
            "--name",
            "-",
            "--date",
            "2026-02-28",
        ],
        &["letter or digit"],
    );
    // Whoever knows better says why; the reason is kept, and the danger is said each time.
    let owned = add(&lean, &["--although", "lean at full load by design"]);
    let arguments: Vec<&str> = owned.iter().map(String::as_str).collect();
    let done = falseair(&arguments);
    assert!(done.status.success(), "{}", text(&done.stderr));
    let who = "\n[this_car]\nname = \"anna\"\n";
    let asked = changed(&folder, "asked.toml", HEALTHY, &[("lambda = 0.902\n", "")]);
    fs::write(&asked, fs::read_to_string(&asked).unwrap() + who).unwrap();
    let asked = [asked.to_str().unwrap(), "--twins", twins.to_str().unwrap()];
    let found = ask(&[&["diagnose"], &asked[..]].concat());
    assert!(
        found["cautions"]
            .to_string()
            .contains("lean at full load by design")
    );
    assert!(found["dangers"].as_array().unwrap().is_empty());
    // Without a reason it is left aside, and the danger stands: it may be there still.
    let kept = twins.join("brindle-16-invented/anna/2026-05-03.toml");
    let said = fs::read_to_string(&kept).unwrap();
    let said = said.lines().filter(|line| !line.starts_with("although"));
    fs::write(&kept, said.collect::<Vec<_>>().join("\n")).unwrap();
    let found = ask(&[&["diagnose"], &asked[..]].concat());
    assert_eq!(found["dangers"][0]["kind"], "lean_under_boost");
    assert!(found["baseline"].is_null(), "{}", found["baseline"]);
    assert!(found["cautions"].to_string().contains("left aside"));
}

/// A drive log and a vehicle file are enough.
#[test]
fn a_drive_log_makes_a_twin() {
    let folder = scratch("log");
    let (car, log) = (
        "scenarios/vehicles/brindle-16.toml",
        "tests/logs/files/plain.csv",
    );
    let kept = ask(&[
        "twin",
        "add",
        "--vehicle",
        car,
        "--log",
        log,
        "--name",
        "anna",
        "--date",
        "2026-05-03",
        "--although",
        "made for a test of readers",
        "--folder",
        folder.to_str().unwrap(),
    ]);
    assert!(kept["readings"].as_u64().unwrap() > 5, "{kept}");
    let said = fs::read_to_string(kept["file"].as_str().unwrap()).unwrap();
    assert!(
        !said.contains("[log]") && said.contains("[condition.doubt]"),
        "{said}"
    );
    let listed = ask(&["twin", "list", folder.to_str().unwrap()]);
    assert_eq!(listed["notes"], serde_json::json!([]), "{listed}");
}
