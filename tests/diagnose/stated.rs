//! A danger is one however the driver says how he drove, whatever code was typed, and where the model
//! has no answer. Situations are invented, as those of `hazards`.

use super::dangers::{NONE, judged};
use super::hazards::{CRUISE, FULL, IDLE, text_of};
use super::said::asked;
use super::*;
use rayon::prelude::*;
use serde_json::Value;
use sim::study::running::dangers::{Driven, Hazard};

/// Other ways of saying how the car was driven, and what was read there: idle, light load, load.
const STATED: [(&str, &str, [&str; 3]); 17] = [
    (
        "torque",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\ntorque = \"200 N m\"\n; lambda = 1.1",
        ],
    ),
    (
        "torque_much",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\ntorque = \"200 N m\"\n; lambda = 1.3",
        ],
    ),
    (
        "air",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\n; lambda = 1.1\nmetered_air = \"93.5 g/s\"",
        ],
    ),
    (
        "load",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\n; lambda = 1.12\nabsolute_load = \"140 %\"",
        ],
    ),
    (
        "pedal_60",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\npedal = \"60 %\"\n; lambda = 1.10",
        ],
    ),
    (
        "pedal_70",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\npedal = \"70 %\"\n; lambda = 1.12",
        ],
    ),
    (
        "pedal_80",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\npedal = \"80 %\"\n; lambda = 1.07",
        ],
    ),
    (
        "commands_lean",
        "lean_under_boost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\npedal = \"100 %\"\ncommanded_lambda = 1.2\n; lambda = 1.05\nboost_sensor = \"85 kPa gauge\"",
        ],
    ),
    (
        "commands_boost",
        "overboost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\npedal = \"100 %\"\ncommanded_boost = \"145 kPa gauge\"\n; boost_sensor = \"150 kPa gauge\"",
        ],
    ),
    (
        "torque_over",
        "overboost",
        [
            "",
            "",
            "speed = \"3500 rpm\"\ntorque = \"200 N m\"\n; boost_sensor = \"118 kPa gauge\"",
        ],
    ),
    (
        "torque_knock",
        "knock",
        [
            "",
            "",
            "speed = \"3500 rpm\"\ntorque = \"200 N m\"\n; spark_retard = \"30 deg\"",
        ],
    ),
    (
        "cruise_knock",
        "knock",
        ["", "spark_retard = \"22 deg\"", ""],
    ),
    (
        "cruise_rich",
        "raw_fuel_in_exhaust",
        ["", "lambda = 0.55", ""],
    ),
    (
        "cruise_lean",
        "raw_fuel_in_exhaust",
        ["", "lambda = 1.45", ""],
    ),
    (
        "idle_air",
        "raw_fuel_in_exhaust",
        ["idle = true\n; lambda = 2.5", "", ""],
    ),
    (
        "servo",
        "brake_servo_without_vacuum",
        [
            "speed = \"850 rpm\"\ntorque = \"0 N m\"\n; manifold_pressure = \"84 kPa abs\"",
            "",
            "",
        ],
    ),
    (
        "idle_over",
        "engine_over_speed",
        ["idle = true\n; engine_speed = \"7200 rpm\"", "", ""],
    ),
];

/// A danger is one however the driver says how he drove: by torque, by the air alone, by any pedal,
/// by what the car commands.
#[test]
fn dangers_are_named_however_the_load_was_stated() {
    STATED
        .par_iter()
        .for_each(|(name, kind, [idle, light, load])| {
            let of = |own: &'static str, usual: (&'static str, &'static str)| match own
                .split_once(';')
            {
                Some((driven, read)) => (driven.to_string(), read.to_string()),
                None => (usual.0.to_string(), format!("{}{own}", usual.1)),
            };
            let all = [
                ("idle", of(idle, ("idle = true\n", IDLE))),
                (
                    "cruise",
                    of(
                        light,
                        ("speed = \"2400 rpm\"\ntorque = \"42 N m\"\n", CRUISE),
                    ),
                ),
                (
                    "load",
                    of(load, ("speed = \"3500 rpm\"\npedal = \"100 %\"\n", FULL)),
                ),
            ];
            let all = all.map(|(at, (driven, read))| {
                format!("[[condition]]\nname = \"{at}\"\n{driven}[condition.readings]\n{read}\n")
            });
            let file = format!("codes = []\n{}", all.concat());
            let file = readings_file(&format!("stated_{name}"), &file);
            let said = asked(
                &format!("diagnose {name}"),
                &["diagnose", file.to_str().unwrap()],
            );
            said.names(kind);
            said.sends_nobody();
        });
}

/// A code as the scan tool shows it: that of a cylinder, that of the knock sensor, in small letters; and
/// one that nobody judges is kept and said to be so.
#[test]
fn any_code_may_be_typed() {
    for (code, kind) in [
        ("P0302", Some("raw_fuel_in_exhaust")),
        ("p0300", Some("raw_fuel_in_exhaust")),
        ("P0325", Some("knock")),
        ("P0420", None),
    ] {
        let file = readings_file(
            &format!("typed_{code}"),
            &format!(
                "codes = [\"{code}\"]\n[[condition]]\nname = \"idle\"\nidle = true\n\
                [condition.readings]\n{IDLE}\n"
            ),
        );
        let said = asked(
            &format!("diagnose {code}"),
            &["diagnose", file.to_str().unwrap()],
        );
        let code = code.to_uppercase();
        match kind {
            Some(kind) => {
                said.names(kind);
                said.sends_nobody();
                assert_eq!(said.json["dangers"][0]["code"], code.as_str());
            }
            None => {
                assert_eq!(said.json["dangers"], Value::Array(Vec::new()));
                let remarks = said.json["remarks"].to_string();
                assert!(
                    remarks.contains(&code) && remarks.contains("none of those"),
                    "{remarks}"
                );
            }
        }
    }
}

/// An engine that was driven over its limit runs in no model: the danger is named all the same.
#[test]
fn a_refusal_names_the_danger_first() {
    let file = readings_file(
        "over_revved",
        &format!(
            "codes = []\n[[condition]]\nname = \"idle\"\nidle = true\n[condition.readings]\n{IDLE}\n\
            [[condition]]\nname = \"full load\"\nspeed = \"7600 rpm\"\npedal = \"100 %\"\n\
            [condition.readings]\n{FULL}\n"
        ),
    );
    let done = falseair(&["diagnose", file.to_str().unwrap()]);
    let said = text_of(&done);
    assert_eq!(done.status.code(), Some(2), "{said}");
    let danger = said.find("DANGER: Engine over its speed limit at full load");
    let refused = said.find("does not run");
    assert!(danger.is_some() && danger < refused, "{said}");
}

/// Boost that only the model knows of is a pull: its procedure has the limits of one.
#[test]
fn readings_under_boost_are_a_full_load_test_however_stated() {
    let file = readings_file(
        "boosted_by_torque",
        &format!(
            "codes = []\n[[condition]]\nname = \"idle\"\nidle = true\n[condition.readings]\n{IDLE}\n\
            [[condition]]\nname = \"hill\"\nspeed = \"3500 rpm\"\ntorque = \"200 N m\"\n\
            [condition.readings]\nlong_trim = \"-1.5 %\"\n"
        ),
    );
    let said = asked("diagnose hill", &["diagnose", file.to_str().unwrap()]);
    let tests = said.json["next_tests"].as_array().unwrap();
    let hill = tests
        .iter()
        .filter(|t| t["test"].as_str().unwrap().ends_with("_hill"));
    assert!(hill.clone().count() > 0, "{tests:#?}");
    for test in hill {
        assert_eq!(test["risk"], "full_load", "{test:#}");
        let procedure = test["procedure"].to_string();
        assert!(
            procedure.contains("One pull of at most five seconds"),
            "{procedure}"
        );
        assert!(!procedure.contains("light load"), "{procedure}");
    }
}

/// An engine that stalls at idle is loaded by nobody.
#[test]
fn an_engine_that_stalls_is_not_loaded() {
    let file = readings_file(
        "stalls",
        &format!(
            "codes = []\n[[condition]]\nname = \"idle\"\nidle = true\nruns = false\n\
            [[condition]]\nname = \"cruise\"\nspeed = \"2400 rpm\"\ntorque = \"42 N m\"\n\
            [condition.readings]\n{CRUISE}\n"
        ),
    );
    let said = asked("diagnose stalls", &["diagnose", file.to_str().unwrap()]);
    said.sends_nobody();
    let flat = said.table.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("while it stalls at idle"), "{}", said.table);
}

/// What a car commands allows no more than its file states: the command may be what is wrong.
/// Where nobody has stated it, at full load nothing leaner than 1 and its swing.
#[test]
fn a_command_loosens_no_limit() {
    let lean = [Hazard::LeanUnderBoost];
    let asked = |estimated, lambda, commanded| {
        let reads = [(R::LambdaSensor, lambda), (R::BoostSensor, 85.0)];
        judged(estimated, &reads, |d| d.commanded.lambda = Some(commanded))
    };
    assert_eq!(asked(false, 0.95, 1.2), NONE);
    assert_eq!(asked(false, 0.951, 1.2), lean);
    assert_eq!(asked(true, 1.02, 1.2), NONE);
    assert_eq!(asked(true, 1.021, 1.2), lean);
    // Held at 1 at full load, it swings about it.
    assert_eq!(asked(true, 1.01, 1.0), NONE);
    assert_eq!(asked(true, 1.03, 1.0), lean);
    // A car that commands less is held to that.
    assert_eq!(asked(false, 0.86, 0.8), lean);
    let boost = |boost, commanded| {
        judged(false, &[(R::BoostSensor, boost)], |d| {
            d.commanded.boost = Some(commanded);
        })
    };
    assert_eq!(boost(150.0, 145e3), [Hazard::Overboost]);
    assert_eq!(boost(100.0, 145e3), NONE);
    assert_eq!(boost(76.0, 60e3), [Hazard::Overboost]);
}

/// Without a reading of boost: more air than fills the cylinders, or what the healthy car has there.
#[test]
fn where_no_boost_was_read_air_and_prediction_tell_it() {
    let lean = [Hazard::LeanUnderBoost];
    let at = |more: &[(R, f64)], change: fn(&mut Driven)| {
        let reads = [&[(R::LambdaSensor, 1.06)], more].concat();
        judged(false, &reads, |driven| {
            driven.pedal = None;
            change(driven);
        })
    };
    assert_eq!(at(&[], |_| ()), NONE);
    assert_eq!(at(&[(R::AbsoluteLoad, 99.0)], |_| ()), NONE);
    assert_eq!(at(&[(R::AbsoluteLoad, 101.0)], |_| ()), lean);
    // 1.6 litres at 3500 rpm hold 55 g/s of the standard's air (F).
    assert_eq!(at(&[(R::MeteredAir, 54.0)], |_| ()), NONE);
    assert_eq!(at(&[(R::MeteredAir, 57.0)], |_| ()), lean);
    assert_eq!(at(&[], |d| d.expected = Some(9.9e3)), NONE);
    assert_eq!(at(&[], |d| d.expected = Some(10.1e3)), lean);
    // What was read goes before what was predicted, and what moved is not what was predicted.
    assert_eq!(
        at(&[(R::BoostSensor, 5.0)], |d| d.expected = Some(60e3)),
        NONE
    );
    assert_eq!(
        at(&[], |d| (d.expected, d.moving) = (Some(60e3), true)),
        NONE
    );
}
