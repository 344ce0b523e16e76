//! `sensitivity` and `threshold` as a user meets them.

use std::process::{Command, Output};

fn falseair(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("runs")
}

fn text(arguments: &[&str]) -> String {
    let output = falseair(arguments);
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{said}");
    String::from_utf8(output.stdout).unwrap()
}

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

#[test]
fn tables_fit_80_columns() {
    let tables = [
        text(&[
            "sensitivity",
            "scenarios/worn-meter-and-leak.toml",
            "--top",
            "30",
        ]),
        text(&["threshold", CAR, "--points", "idle,3500 rpm"]),
    ];
    for table in tables {
        assert!(table.contains("local codes"), "the usual cautions");
        for line in table.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn the_faults_own_numbers_lead_where_they_should() {
    let csv = text(&[
        "sensitivity",
        "scenarios/worn-meter-and-leak.toml",
        "--of",
        "fuel_trim_pct",
        "--top",
        "1",
        "--format",
        "csv",
    ]);
    let cell = |line: &str, column: usize| line.split(',').nth(column).unwrap().to_owned();
    let heads = csv.lines().next().unwrap();
    let quantity = heads.split(',').position(|head| head == "quantity");
    let row = csv.lines().find(|line| line.starts_with("light cruise"));
    let key = cell(row.unwrap(), quantity.unwrap());
    // Fuel delivered over fuel commanded, or counted air over air: the trim is their ratio (F).
    let leads = [
        "vehicle.fuelling.delivery",
        "vehicle.meter.meter_scale",
        "fault.0.meter_reads",
    ];
    assert!(leads.contains(&key.as_str()), "{key}");
}

#[test]
fn only_what_was_asked_for_is_said() {
    let json = text(&[
        "sensitivity",
        "scenarios/worn-meter-and-leak.toml",
        "--of",
        "P0171",
        "--by",
        "leak.0",
        "--by",
        "fault",
        "--format",
        "json",
    ]);
    let file: serde_json::Value = serde_json::from_str(&json).unwrap();
    let readings = file["points"][0]["readings"].as_array().unwrap();
    assert_eq!(readings.len(), 1);
    let keys: Vec<&str> = (readings[0]["by"].as_array().unwrap().iter())
        .map(|line| line["quantity"].as_str().unwrap())
        .collect();
    assert!(keys.contains(&"fault.0.meter_reads"), "{keys:?}");
    let known = |key: &&str| key.starts_with("leak.0.") || key.starts_with("fault.0.");
    assert!(keys.iter().all(known), "{keys:?}");
}

#[test]
fn a_tolerance_is_given_in_millimetres_and_thou() {
    let leak = r#"place = "recirculation_cover", bowed_cover = { gap = "1 mm", spans = 4, span_length = "20 mm", depth = "3 mm" }"#;
    let arguments = [
        "threshold",
        CAR,
        "--symptom",
        "boost_kpa down 2",
        "--tolerance",
        leak,
    ];
    let said = text(&arguments);
    let line = said
        .lines()
        .find(|line| line.starts_with("At most"))
        .unwrap();
    assert!(line.contains(" mm (") && line.contains("thou)"), "{line}");
}

#[test]
fn mistakes_are_answered_with_what_may_be_written() {
    let cases: [(&[&str], &str); 5] = [
        (
            &["sensitivity", "scenarios/healthy.toml", "--of", "boost_kp"],
            "did you mean `boost_kpa`?",
        ),
        (
            &[
                "sensitivity",
                "scenarios/healthy.toml",
                "--by",
                "turbine.throat",
            ],
            "did you mean `vehicle.turbine.throat_area`?",
        ),
        (
            &["threshold", CAR, "--symptom", "boost_kpa low"],
            "too short",
        ),
        (
            &["threshold", CAR, "--points", "idling"],
            "`cruise` or an engine speed",
        ),
        (
            &[
                "threshold",
                CAR,
                "--tolerance",
                "place = \"hot_pipe\", hose_off = { bore = \"30 mm\" }",
            ],
            "hose_off",
        ),
    ];
    for (arguments, says) in cases {
        let output = falseair(arguments);
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains(says), "{arguments:?}: {said}");
    }
}

/// What a reader asks first: what counts, in words, on one screen; all readings with `--full`.
#[test]
fn sensitivity_answers_on_one_screen_and_in_words() {
    let case = "scenarios/split-hose.toml";
    let (glance, whole) = (
        text(&["sensitivity", case]),
        text(&["sensitivity", case, "--full"]),
    );
    assert!(glance.lines().count() < 45, "{glance}");
    assert!(whole.lines().count() > 2 * glance.lines().count());
    assert!(glance.contains("Of what is wrong, this counts most: cold pipe, split: "));
    for raw in ["fuel_trim_pct", "closed_opening", "e-"] {
        assert!(!glance.contains(&format!(" {raw}")), "{raw}: {glance}");
    }
    // The sentence's number is that of the result for programs: 1 % of a quantity, by its slope.
    let json = text(&[
        "sensitivity",
        case,
        "--of",
        "lambda",
        "--by",
        "leak",
        "--format",
        "json",
    ]);
    let file: serde_json::Value = serde_json::from_str(&json).unwrap();
    let by = &file["points"][3]["readings"][0]["by"];
    let one = by.as_array().unwrap().iter();
    let one = { one }
        .find(|by| by["value_si"].as_f64() != Some(0.0))
        .unwrap();
    let number = |key: &str| one[key].as_f64().unwrap();
    let slope = number("slope_per_si") * 0.01 * number("value_si");
    assert!((number("by_1_pct") - slope).abs() < 1e-12 * slope.abs().max(1e-3));
}

/// A symptom is said as people say it; programs keep what was written.
#[test]
fn symptoms_are_said_in_words() {
    let watched = [
        "threshold",
        CAR,
        "--points",
        "idle",
        "--symptom",
        "fuel_trim_pct off 10",
    ];
    let said = text(&watched);
    assert!(said.contains("From 1.09 mm on a hole shows: "), "{said}");
    assert!(
        said.contains("fuel trim off by 10 %") && !said.contains("fuel_trim_pct"),
        "{said}"
    );
    let json = text(&[&watched[..], &["--format", "json"]].concat());
    let file: serde_json::Value = serde_json::from_str(&json).unwrap();
    let line = &file["rows"][0]["thresholds"][0];
    assert_eq!(line["symptom"], "fuel_trim_pct off 10");
    assert_eq!(line["symptom_in_words"], "fuel trim off by 10 %");
}

/// Every answer says from which files it was made; the digits are those of `sha256sum` (FIPS 180-4).
#[test]
fn answers_say_what_they_are_made_from() {
    let json = text(&[
        "threshold",
        CAR,
        "--points",
        "idle",
        "--symptom",
        "P0171",
        "--format",
        "json",
    ]);
    let file: serde_json::Value = serde_json::from_str(&json).unwrap();
    let made = file["made_from"].as_array().unwrap();
    assert_eq!(made.len(), 1);
    assert_eq!(made[0]["file"], "brindle-16.toml");
    let digits = made[0]["sha256"].as_str().unwrap();
    let tool = Command::new("sha256sum")
        .arg(CAR)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output();
    if let Ok(tool) = tool {
        assert!(String::from_utf8_lossy(&tool.stdout).starts_with(digits));
    }
    assert_eq!(digits.len(), 64);
}
