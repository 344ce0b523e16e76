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
        ("idle", "crankcase_kpa", 4.5, 0.2, "crankcase_pressure"),
        ("idle", "lambda_sensor", 1.5, 0.02, "raw_fuel_in_exhaust"),
        (
            "full load 3500 rpm",
            "shaft_krpm",
            212.0,
            2.0,
            "turbo_over_speed",
        ),
        (
            "full load 3500 rpm",
            "exhaust_temp_c",
            1020.0,
            9.0,
            "exhaust_too_hot",
        ),
        (
            "full load 3500 rpm",
            "catalyst_temp_c",
            990.0,
            9.0,
            "catalyst_too_hot",
        ),
        ("full load 3500 rpm", "spark_retard_deg", 24.0, 1.0, "knock"),
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

pub(super) fn text_of(done: &Output) -> String {
    text(&done.stderr)
}

/// A column of a log and its value, as a reading of a file says it.
fn column(line: &str) -> (&'static str, f64) {
    let (key, value) = line.split_once(" = ").unwrap();
    let number = value.trim_matches('"').split(' ').next().unwrap();
    let key = match key {
        "lambda" => "lambda_sensor",
        "metered_air" => "metered_air_g_s",
        "long_trim" => "long_trim_pct",
        "boost_sensor" => "boost_sensor_kpa",
        "boost" => "boost_kpa",
        "manifold_pressure" => "manifold_kpa",
        "turbo_speed" => "shaft_krpm",
        "engine_speed" => "engine_speed_rpm",
        "exhaust_temperature" => "exhaust_temp_c",
        "catalyst_temperature" => "catalyst_temp_c",
        "spark_retard" => "spark_retard_deg",
        "crankcase_pressure" => "crankcase_kpa",
        key => panic!("{key}"),
    };
    (key, number.parse().unwrap())
}

/// A log of a minute each of idle and cruise, and a pull; with what is read there.
fn log_of(name: &str, idle: &str, full: &str) -> PathBuf {
    let stretches: [(f64, [f64; 2], [f64; 2], String); 3] = [
        (60.0, [800.0; 2], [0.0, 0.0], format!("{IDLE}{idle}")),
        (60.0, [2400.0; 2], [18.0, 62.0], CRUISE.into()),
        (
            8.0,
            [3000.0, 4600.0],
            [100.0, 62.0],
            format!("{FULL}{full}"),
        ),
    ];
    let read = |text: &str| -> Vec<(&str, f64)> { text.lines().map(column).collect() };
    let mut heads = vec!["engine_speed_rpm", "pedal_pct", "vehicle_speed_km_h"];
    for (.., text) in &stretches {
        let more = read(text).into_iter().map(|(key, _)| key);
        more.for_each(|key| {
            if !heads.contains(&key) {
                heads.push(key)
            }
        });
    }
    let mut csv = format!("time_s,{}\n", heads.join(","));
    let mut time = 0.0;
    for (seconds, speeds, [pedal, road], text) in stretches {
        let read = read(&text);
        for i in 0..=(seconds / 0.25) as usize {
            let share = 0.25 * i as f64 / seconds;
            let cells = heads.iter().map(|head| {
                let told = read
                    .iter()
                    .find(|(key, _)| key == head)
                    .map(|(_, value)| *value);
                let own = match *head {
                    "engine_speed_rpm" => Some(speeds[0] + share * (speeds[1] - speeds[0])),
                    "pedal_pct" => Some(pedal),
                    "vehicle_speed_km_h" => {
                        Some(road * (1.0 + share * (speeds[1] / speeds[0] - 1.0)))
                    }
                    _ => None,
                };
                told.or(own)
                    .map(|value| value.to_string())
                    .unwrap_or_default()
            });
            csv += &format!("{time:.2},{}\n", cells.collect::<Vec<_>>().join(","));
            time += 0.25;
        }
    }
    let path = scratch(&format!("hazard-{name}.csv"));
    std::fs::write(&path, csv).unwrap();
    path
}

/// The same situations in a log: judged beside its car, and without one as far as any car is alike.
#[test]
fn dangers_in_a_log_are_named_first() {
    // Each way to look at a log once, for it takes long: how else a danger may be told is tried above.
    let tried = ["lean", "over", "misfire", "crankcase", "servo", "engine"];
    let read = READ.par_iter().filter(|(name, ..)| tried.contains(name));
    read.for_each(|(name, kind, idle, full, _)| {
        let log = log_of(name, idle, full);
        let file = readings_file(
            &format!("hazard_log_{name}"),
            &format!("log = {{ file = {log:?} }}\n"),
        );
        let what = format!("diagnose log {name}");
        let said = asked(&what, &["diagnose", file.to_str().unwrap()]);
        said.names(kind);
        said.sends_nobody();
        // What a car is aimed at and bears only its file says.
        let own = [
            "overboost",
            "turbo_over_speed",
            "engine_over_speed",
            "exhaust_too_hot",
        ];
        if !own.contains(kind) {
            asked(&format!("log {name}"), &["log", log.to_str().unwrap()]).names(kind);
        }
    });
}
