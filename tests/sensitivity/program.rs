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
        "fuelling.delivery",
        "meter.meter_scale",
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
            "did you mean `turbine.throat_area`?",
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
