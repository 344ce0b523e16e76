//! Hazardous situations, each put to every command that can meet it: the danger is named before all
//! else, no test that makes it worse is suggested, and the JSON says the same. Situations are
//! invented; limits are those of `study::running::dangers`.

use super::said::asked;
use super::*;
use rayon::prelude::*;
use serde_json::Value;

/// Readings of a healthy car at idle, cruise and full load; a situation replaces or adds lines.
pub(super) const IDLE: &str = "metered_air = \"1.97 g/s\"\nlong_trim = \"-2.1 %\"\n";
pub(super) const CRUISE: &str = "metered_air = \"17.1 g/s\"\nlong_trim = \"-1.9 %\"\n";
pub(super) const FULL: &str = "metered_air = \"93.5 g/s\"\nlong_trim = \"-1.5 %\"\n";

/// What is read (`idle`, `full`: further lines) and the danger that it is; codes.
const READ: [(&str, &str, &str, &str, &str); 16] = [
    ("lean", "lean_under_boost", "", "lambda = 1.02", ""),
    (
        "lean_much",
        "lean_under_boost",
        "",
        "lambda = 1.2\nboost_sensor = \"70 kPa gauge\"",
        "",
    ),
    (
        "lean_code",
        "lean_under_boost",
        "",
        "lambda = 0.9",
        "\"P2191\"",
    ),
    (
        "over",
        "overboost",
        "",
        "boost_sensor = \"118 kPa gauge\"",
        "",
    ),
    (
        "over_gauge",
        "overboost",
        "",
        "boost = \"112 kPa gauge\"",
        "",
    ),
    (
        "over_manifold",
        "overboost",
        "",
        "manifold_pressure = \"215 kPa abs\"",
        "",
    ),
    (
        "over_code",
        "overboost",
        "",
        "boost_sensor = \"85 kPa gauge\"",
        "\"P0234\"",
    ),
    (
        "turbo",
        "turbo_over_speed",
        "",
        "turbo_speed = \"212 krpm\"",
        "",
    ),
    (
        "engine",
        "engine_over_speed",
        "",
        "engine_speed = \"7100 rpm\"",
        "",
    ),
    (
        "exhaust",
        "exhaust_too_hot",
        "",
        "exhaust_temperature = \"1020 degC\"",
        "",
    ),
    (
        "catalyst",
        "catalyst_too_hot",
        "",
        "catalyst_temperature = \"990 degC\"",
        "",
    ),
    ("knock", "knock", "", "spark_retard = \"24 deg\"", ""),
    ("misfire", "raw_fuel_in_exhaust", "lambda = 1.5", "", ""),
    ("flooded", "raw_fuel_in_exhaust", "lambda = 0.55", "", ""),
    (
        "crankcase",
        "crankcase_pressure",
        "crankcase_pressure = \"4.5 kPa gauge\"",
        "",
        "",
    ),
    (
        "servo",
        "brake_servo_without_vacuum",
        "manifold_pressure = \"84 kPa abs\"",
        "",
        "",
    ),
];

/// What is wrong in the model, and the dangers that it brings at full load.
const MODEL: [(&str, &[&str]); 4] = [
    ("fuel_delivery = \"70 %\"", &["lean_under_boost"]),
    ("meter_reads = \"70 %\"", &["lean_under_boost"]),
    (
        "wastegate_stuck_shut = \"0 %\"",
        &[
            "overboost",
            "turbo_over_speed",
            "exhaust_too_hot",
            "catalyst_too_hot",
            "knock",
        ],
    ),
    ("boost_sensor = \"-35 kPa\"", &["overboost"]),
];

#[test]
fn dangers_that_were_read_are_named_first() {
    READ.par_iter().for_each(|(name, kind, idle, full, codes)| {
        let file = readings_file(
            &format!("hazard_{name}"),
            &format!(
                "codes = [{codes}]\n\
                [[condition]]\nname = \"idle\"\nidle = true\n[condition.readings]\n{IDLE}{idle}\n\
                [[condition]]\nname = \"cruise\"\nspeed = \"2400 rpm\"\ntorque = \"42 N m\"\n\
                [condition.readings]\n{CRUISE}\n\
                [[condition]]\nname = \"full load\"\nspeed = \"3500 rpm\"\npedal = \"100 %\"\n\
                [condition.readings]\n{FULL}{full}\n"
            ),
        );
        let said = asked(
            &format!("diagnose {name}"),
            &["diagnose", file.to_str().unwrap()],
        );
        said.names(kind);
        said.sends_nobody();
        assert_eq!(said.json["dangers"][0]["kind"], *kind, "{name}");
    });
}

fn scenario(name: &str, fault: &str) -> PathBuf {
    let path = scratch(&format!("{name}.toml"));
    let points = [2500, 3500, 5000].map(|rpm| {
        format!(
            "[[point]]\nname = \"full load {rpm} rpm\"\nspeed = \"{rpm} rpm\"\npedal = \"100 %\"\n"
        )
    });
    let text = format!(
        "title = \"hazard\"\nvehicle = {:?}\n[[fault]]\n{fault}\n\
        [[point]]\nname = \"idle\"\nidle = true\n{}\
        [[drive]]\nname = \"cruise\"\nduration = \"12 s\"\npedal = \"25 %\"\ncoupling = \"held\"\n\
        speed = \"2000 rpm\"\n\
        [[drive]]\nname = \"pull\"\nduration = \"9 s\"\npedal = \"100 %\"\nramp = \"0.2 s\"\n\
        coupling = \"in_gear\"\n",
        vehicle(),
        points.concat()
    );
    std::fs::write(&path, text).unwrap();
    path
}

#[test]
fn dangers_of_the_model_are_named_first() {
    MODEL.par_iter().enumerate().for_each(|(i, (fault, kinds))| {
        let name = format!("model_{i}");
        let path = scenario(&name, fault);
        let path = path.to_str().unwrap();
        let all_named = |command: &[&str]| {
            let said = asked(&format!("{} {name}", command.join(" ").replace('/', "-")), command);
            kinds.iter().for_each(|kind| said.names(kind));
        };
        all_named(&["simulate", path]);
        all_named(&["across", path]);
        all_named(&["sensitivity", path]);
        all_named(&["branches", path]);
        let car = vehicle();
        let repair = format!(
            "vehicle = {car:?}\n[[repair]]\nname = \"it\"\nstate = \"confirmed\"\ntime = \"1 h\"\n\
            fault = {{ {fault} }}\n"
        );
        let file = scratch(&format!("{name}-payback.toml"));
        std::fs::write(&file, repair).unwrap();
        let file = file.to_str().unwrap();
        all_named(&["workshop", "payback", file]);
        // A drive shows it as far as the computer lets it last.
        asked(&format!("drive {name}"), &["simulate", path, "--time"]).names(kinds[0]);
        sweep(&name, fault, kinds);
    });
}

/// A study of the same: its table of results names the danger in every row that has it, its
/// summary counts them.
fn sweep(name: &str, fault: &str, kinds: &[&str]) {
    let study = scratch(&format!("{name}-study.toml"));
    let text = format!(
        "title = \"hazard\"\nvehicle = {:?}\n[[fault]]\n{fault}\n\
        [[axis]]\nkey = \"ambient.temperature\"\nvalues = [\"15 degC\", \"25 degC\"]\n\
        [[point]]\nname = \"full load\"\nspeed = \"3500 rpm\"\npedal = \"100 %\"\n",
        vehicle()
    );
    std::fs::write(&study, text).unwrap();
    let out = scratch(&format!("{name}-sweep"));
    let _ = std::fs::remove_dir_all(&out);
    let (study, folder) = (study.to_str().unwrap(), out.to_str().unwrap());
    let page = out.with_extension("html");
    let page = page.to_str().unwrap();
    // Without a page first: people and programs are told all the same.
    let bare = falseair(&["sweep", study, "--out", folder, "--full"]);
    assert!(bare.status.success(), "{name}: {}", text_of(&bare));
    let said = printed(&bare);
    assert!(
        said.starts_with("DANGER") && said.contains("2 of 2 rows"),
        "{said}"
    );
    assert!(out.join("summary.json").exists(), "{name}: no summary");
    let arguments = ["sweep", study, "--out", folder, "--report", page];
    let done = falseair(&arguments);
    assert!(done.status.success(), "{name}: {}", text_of(&done));
    assert!(printed(&done).starts_with("DANGER"), "{}", printed(&done));
    let summary = std::fs::read_to_string(out.join("summary.json")).unwrap();
    let summary: Value = serde_json::from_str(&summary).unwrap();
    let table = std::fs::read_to_string(out.join("results.csv")).unwrap();
    let dangers = summary["dangers"].as_array().unwrap();
    for kind in kinds {
        let counted = &summary["points"][0]["dangers"];
        assert_eq!(
            counted[kind].as_u64(),
            Some(2),
            "{name} {kind}: {counted:#}"
        );
        let rows = table.lines().filter(|line| line.contains(kind)).count();
        assert_eq!(rows, 2, "{table}");
        let named = dangers.iter().any(|danger| danger["kind"] == *kind);
        assert!(named, "{dangers:#?}");
    }
    assert!(std::fs::read_to_string(page).unwrap().contains("Danger:"));
}

fn printed(done: &Output) -> String {
    text(&done.stdout)
}

pub(super) fn text_of(done: &Output) -> String {
    text(&done.stderr)
}

/// What faults any car may have: the commands that ask of one car without a scenario.
#[test]
fn codes_and_atlas_name_what_leaks_and_faults_bring() {
    let car = vehicle();
    let codes = asked("codes", &["codes", &car]);
    codes.names("lean_under_boost");
    codes.names("overboost");
    let atlas = asked("atlas", &["atlas", &car]);
    for kind in ["lean_under_boost", "overboost", "turbo_over_speed"] {
        atlas.names(kind);
    }
    asked("threshold", &["threshold", &car]).names("overboost");
}

/// A repair after which the car is lean under boost, or its servo without vacuum.
#[test]
fn verify_names_what_is_dangerous_after_the_repair() {
    let shipped = std::fs::read_to_string(root().join("scenarios/workshop/verify.toml")).unwrap();
    let shipped = shipped.replace("../vehicles/brindle-16.toml", &vehicle());
    for (at, reading, value, doubt, kind) in [
        (
            "full load 3500 rpm",
            "lambda_sensor",
            1.05,
            0.02,
            "lean_under_boost",
        ),
        (
            "full load 3500 rpm",
            "boost_sensor_kpa",
            130.0,
            2.0,
            "overboost",
        ),
        (
            "idle",
            "manifold_kpa",
            85.0,
            2.0,
            "brake_servo_without_vacuum",
        ),
    ] {
        let more = format!(
            "[[after]]\nat = {at:?}\nreading = {reading:?}\nvalue = {value}\ndoubt = {doubt}\n\
            model_doubt = {doubt}\n\n[before_decay]"
        );
        let file = scratch(&format!("verify-{reading}.toml"));
        std::fs::write(&file, shipped.replace("[before_decay]", &more)).unwrap();
        let file = file.to_str().unwrap();
        asked(&format!("verify {reading}"), &["workshop", "verify", file]).names(kind);
        // Whoever drives the car home is told, before anything else.
        let record = scratch(&format!("record-{reading}.html"));
        let record = record.to_str().unwrap();
        let done = falseair(&["workshop", "verify", file, "--record", record]);
        assert!(done.status.success(), "{}", text_of(&done));
        let record = std::fs::read_to_string(record).unwrap();
        let at = |words: &str| {
            record
                .find(words)
                .unwrap_or_else(|| panic!("{words}: {record}"))
        };
        let not = match kind {
            "brake_servo_without_vacuum" => "Do not drive it until",
            _ => "Do not drive it hard",
        };
        assert!(
            at("Danger. ") < at(not) && at(not) < at("class=\"says\""),
            "{reading}"
        );
        // The same before the repair is past.
        std::fs::write(
            file,
            shipped.replace("[before_decay]", &more.replace("after", "before")),
        )
        .unwrap();
        let json = falseair(&["workshop", "verify", file, "--format", "json"]);
        let json: Value = serde_json::from_slice(&json.stdout).unwrap();
        assert_eq!(json["dangers"], Value::Array(Vec::new()), "{reading}");
    }
}

/// A log of a drive whose engine runs out of fuel: without a car, and with one.
#[test]
fn a_log_names_what_was_driven() {
    let path = scenario("logged", "fuel_delivery = \"70 %\"");
    let log = scratch("hazard-log.csv");
    let (path, log) = (path.to_str().unwrap(), log.to_str().unwrap());
    let run = falseair(&["simulate", path, "--time", "--format", "csv", "--out", log]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let only = ["log", log, "--only", "side=faulty"];
    asked("log lean", &only).names("lean_under_boost");
    let healthy = falseair(&["log", log, "--only", "side=healthy", "--format", "json"]);
    let healthy: Value = serde_json::from_slice(&healthy.stdout).unwrap();
    assert_eq!(healthy["dangers"], Value::Array(Vec::new()));
}
