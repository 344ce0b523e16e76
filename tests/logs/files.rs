//! One drive, written in many ways, reads the same.

use super::*;
use sim::study::knowing::log::Kind;

/// How far means may lie apart for the rounding of units and steps: key, share, least.
const CLOSE: &[(&str, f64, f64)] = &[
    ("engine_speed_rpm", 0.0, 3.0),
    ("vehicle_speed_km_h", 0.0, 0.6),
    ("metered_air_g_s", 0.004, 0.01),
    ("manifold_kpa", 0.003, 0.4),
    ("boost_sensor_kpa", 0.003, 0.25),
    ("intake_temp_c", 0.0, 0.7),
    ("coolant_temp_c", 0.0, 0.4),
    ("short_trim_pct", 0.0, 0.5),
    ("long_trim_pct", 0.0, 0.5),
    ("lambda_sensor", 0.003, 0.0),
    ("wastegate_solenoid_duty_pct", 0.0, 0.6),
];

fn same_drive(log: &Log, name: &str) {
    let plain = super::log("plain.csv");
    let kinds = |log: &Log| -> Vec<Kind> { log.windows.iter().map(|w| w.kind).collect() };
    assert_eq!(kinds(log), kinds(&plain), "{name}");
    for (found, wanted) in log.windows.iter().zip(&plain.windows) {
        for (key, share, least) in CLOSE {
            let (Some(a), Some(b)) = (mean(found, key), mean(wanted, key)) else {
                continue;
            };
            let close = (share * b.abs()).max(*least);
            assert!(
                (a - b).abs() <= close,
                "{name}, {}, {key}: {a} not {b}",
                wanted.name()
            );
        }
    }
    assert_eq!(log.pulls.len(), 1, "{name}");
    let [low, high] = log.pulls[0].speeds();
    assert!(low < 2100.0 && high > 4300.0, "{name}: {low} to {high}");
}

#[test]
fn the_plain_log_holds_idle_cruises_and_full_load() {
    let log = super::log("plain.csv");
    let names: Vec<String> = log.windows.iter().map(Window::name).collect();
    assert_eq!(
        names,
        [
            "idle",
            "part load 1799 rpm",
            "part load 3001 rpm",
            "full load 3501 rpm"
        ]
    );
    assert!(log.mapping.iter().all(|m| m.taken != Taken::LeftOut));
    let full = &log.windows[3];
    let boost = full.get(channel("boost_sensor_kpa")).unwrap();
    // 85 kPa is the target of the car; the drive is not quite settled there.
    assert!(
        (boost.mean - 84.8).abs() < 0.5 && boost.doubt < 0.5 && boost.count >= 20,
        "{boost:?}"
    );
    assert!(full.pedal.unwrap() > 0.99 && log.windows[0].pedal.unwrap() < 0.01);
    let read = log.pulls[0].at(3500.0).unwrap();
    let boost = read
        .iter()
        .find(|a| a.channel == channel("boost_sensor_kpa"))
        .unwrap();
    assert!((boost.mean - 85.0).abs() < 6.0, "{boost:?}");
}

#[test]
fn every_way_of_writing_reads_the_same() {
    for name in [
        "semicolon-comma-latin1.csv",
        "tab-units-row.txt",
        "imperial-bom.csv",
        "preamble-absolute-boost.csv",
        "clock-midnight.csv",
        "milliseconds-gaps-remarks.csv",
        "standard-names.csv",
        "no-units.csv",
        "boost-behind-throttle.csv",
        "header-again-ragged.csv",
        "cold-then-again.csv",
    ] {
        same_drive(&super::log(name), name);
    }
}

/// The same drive three times as slow, so the engine has not settled where it is read.
#[test]
fn one_signal_a_row_gives_the_same_conditions() {
    let (log, plain) = (super::log("one-signal-a-row.csv"), super::log("plain.csv"));
    assert_eq!(log.windows.len(), plain.windows.len());
    for (found, wanted) in log.windows.iter().zip(&plain.windows) {
        assert_eq!(found.kind, wanted.kind);
        let [a, b] = [found, wanted].map(|w| mean(w, "metered_air_g_s").unwrap());
        assert!((a / b - 1.0).abs() < 0.03, "{a} {b}");
        let each = found.get(channel("lambda_sensor")).unwrap();
        assert!((4..30).contains(&each.count), "{each:?}");
    }
}

#[test]
fn units_are_found_after_the_name_in_brackets_and_below() {
    let after = super::log("semicolon-comma-latin1.csv");
    assert_eq!(taken(&after, "Air flow kg/h").1, "kg/h");
    assert_eq!(taken(&after, "Intake temp °C").1, "degC");
    assert_eq!(taken(&after, "Boost pressure bar rel.").1, "bar gauge");
    let below = super::log("tab-units-row.txt");
    assert_eq!(taken(&below, "Boost").1, "kPa gauge");
    let inside = super::log("imperial-bom.csv");
    assert_eq!(taken(&inside, "MAF (lb/min)").1, "lb/min");
    assert_eq!(taken(&inside, "Time, sec").0, Taken::Time);
    assert_eq!(taken(&inside, "Wideband AFR").1, "air/fuel");
}

#[test]
fn gauge_or_absolute_is_told_by_the_standing_engine() {
    let log = super::log("preamble-absolute-boost.csv");
    assert_eq!(taken(&log, "boost (bar)").1, "bar abs");
    assert!(why(&log, "boost (bar)").contains("standing"));
    assert!((log.ambient - 98_500.0).abs() < 50.0, "{}", log.ambient);
    assert_eq!(
        taken(&log, "lambda").0,
        Taken::Reading(channel("lambda_sensor"))
    );
}

#[test]
fn a_boost_gauge_behind_the_throttle_is_the_manifold() {
    let log = super::log("boost-behind-throttle.csv");
    assert_eq!(
        taken(&log, "Boost (psi)"),
        (Taken::Reading(channel("manifold_kpa")), "psi gauge")
    );
    assert!(why(&log, "Boost (psi)").contains("behind the throttle"));
}

#[test]
fn what_is_not_understood_is_named_and_left_out() {
    let log = super::log("standard-names.csv");
    for (column, word) in [
        ("Short Term Fuel Trim - Bank 2 (%)", "second bank"),
        ("Absolute Throttle Position B (%)", "`b` is not"),
        ("Control Module Voltage (V)", "no reading"),
    ] {
        assert_eq!(taken(&log, column).0, Taken::LeftOut, "{column}");
        assert!(why(&log, column).contains(word), "{}", why(&log, column));
    }
    // 7 at idle may be kg/h of a small engine or g/s of a large one.
    let bare = super::log("no-units.csv");
    assert_eq!(taken(&bare, "MAF").0, Taken::LeftOut);
    assert_eq!(taken(&bare, "ECT").1, "degF");
    assert_eq!(taken(&bare, "MAP").1, "psi abs");
    assert_eq!(taken(&bare, "Pedal").1, "share of 1");
}

#[test]
fn a_mapping_says_what_the_guess_cannot() {
    let bare = read(&shipped("needs-a-mapping.csv"), &Mapping::default()).unwrap_err();
    assert!(bare.message().contains("engine's speed"), "{bare}");
    assert!(
        bare.message().contains("`Turbo P` (`turbo` is understood"),
        "{bare}"
    );
    let mapping: Mapping = falseair::input::read_toml(&shipped("needs-a-mapping.toml")).unwrap();
    let log = read(&shipped("needs-a-mapping.csv"), &mapping).unwrap();
    assert_eq!(taken(&log, "Turbo P").1, "psi gauge");
    assert_eq!(taken(&log, "Cylinder 3").0, Taken::LeftOut);
    assert!(why(&log, "Cylinder 3").contains("as the mapping says"));
    // What the computer aims at is not what is read.
    for (column, key) in [
        ("Boost target [kPa]", "commanded_boost_kpa"),
        ("Lambda set", "commanded_lambda"),
    ] {
        assert_eq!(taken(&log, column).0, Taken::Reading(channel(key)));
    }
    same_drive(&log, "needs-a-mapping.csv");
}

/// One letter off is read, and said; another word of the trade is not taken for it.
#[test]
fn a_spelling_one_letter_off_is_read_and_said() {
    let plain = std::fs::read_to_string(shipped("plain.csv")).unwrap();
    let off = plain
        .replacen("Engine speed", "Engnie speed", 1)
        .replacen("Manifold pressure", "Manifold presure", 1)
        .replacen("Wastegate duty", "Wastegate dutty", 1)
        .replacen("Coolant temperature", "Cooler temperature", 1);
    let log = bytes("one-off.csv", off.as_bytes()).unwrap();
    for (column, key) in [
        ("Engnie speed [rpm]", "engine_speed_rpm"),
        ("Manifold presure [kPa abs]", "manifold_kpa"),
    ] {
        assert_eq!(taken(&log, column).0, Taken::Reading(channel(key)));
        assert!(
            why(&log, column).contains("but for the spelling of"),
            "{column}"
        );
    }
    // Four letters are too few to tell, and a cooler is no coolant.
    for column in ["Wastegate dutty [%]", "Cooler temperature [°C]"] {
        assert_eq!(taken(&log, column).0, Taken::LeftOut, "{column}");
    }
    same_drive(&log, "one-off.csv");
}

#[test]
fn what_was_passed_over_is_counted() {
    let has = |log: &Log, words: &str| log.notes.iter().any(|note| note.contains(words));
    let ragged = super::log("header-again-ragged.csv");
    assert!(
        has(&ragged, "rows of words passed over: 2"),
        "{:?}",
        ragged.notes
    );
    assert!(has(&ragged, "fewer cells"), "{:?}", ragged.notes);
    assert!(
        has(&ragged, "values set aside") && has(&ragged, ": 1"),
        "{:?}",
        ragged.notes
    );
    let again = super::log("cold-then-again.csv");
    assert!(has(&again, "runs back"), "{:?}", again.notes);
    assert!(has(&again, "the engine was cold"), "{:?}", again.notes);
    assert_eq!(again.windows[0].pieces, 1, "the cold idle counts not");
    let clock = super::log("clock-midnight.csv");
    assert!(
        has(&clock, "rows with the time of the row above"),
        "{:?}",
        clock.notes
    );
    assert!((clock.seconds - 63.0).abs() < 1.5, "{}", clock.seconds);
}
