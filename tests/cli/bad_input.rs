//! Bad input: file, line, key, what was found, what is allowed; exit code 2, and
//! 1 for physics without an answer.

use crate::{changed, falseair, scenario, scratch, text};

/// Runs the changed scenario; the message must hold every one of `words`.
fn refused(test: &str, name: &str, from: &str, to: &str, words: &[&str]) {
    let path = changed(test, name, from, to);
    let output = falseair(&["simulate", path.to_str().unwrap()]);
    let message = text(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{message}");
    assert!(
        output.stdout.is_empty(),
        "nothing is printed from bad input"
    );
    for word in words {
        assert!(message.contains(word), "`{word}` is missing in:\n{message}");
    }
}

#[test]
fn unknown_key() {
    refused(
        "key",
        "bowed-cover",
        "spans = 4",
        "spanns = 4",
        &["case.toml:19:", "spanns", "did you mean `spans`?"],
    );
    refused(
        "table",
        "healthy",
        "[ambient]",
        "[ambiant]",
        &["case.toml:7:", "did you mean `ambient`?"],
    );
}

#[test]
fn unknown_place_and_shape() {
    refused(
        "place",
        "manifold-gasket",
        "manifold_gasket",
        "manifold_gaskett",
        &["case.toml:13:", "did you mean `manifold_gasket`?"],
    );
    refused(
        "shape",
        "manifold-gasket",
        "slot = {",
        "slott = {",
        &["case.toml:15:", "did you mean `slot`?"],
    );
}

#[test]
fn wrong_unit_and_no_unit() {
    refused(
        "unit",
        "bowed-cover",
        "gap = \"15 thou\"",
        "gap = \"15 kg\"",
        &["case.toml:19:23", "leak.0.bowed_cover.gap", "mass", "thou"],
    );
    refused(
        "bare",
        "bowed-cover",
        "gap = \"15 thou\"",
        "gap = 15",
        &["case.toml:19:", "no unit"],
    );
}

#[test]
fn gauge_where_absolute_is_needed() {
    refused(
        "gauge",
        "healthy",
        "101.3 kPa abs",
        "0 kPa gauge",
        &["case.toml:9:", "ambient.pressure", "absolute pressure"],
    );
}

#[test]
fn negative_size_and_out_of_range() {
    refused(
        "negative",
        "bowed-cover",
        "gap = \"15 thou\"",
        "gap = \"-15 thou\"",
        &[
            "case.toml:19:",
            "out of range",
            "-15 thou",
            "0 thou to 196 thou",
        ],
    );
}

#[test]
fn missing_vehicle_file() {
    refused(
        "vehicle",
        "healthy",
        "brindle-16",
        "brindel-16",
        &["case.toml:5:", "vehicle", "did you mean", "brindle-16.toml"],
    );
}

#[test]
fn contradictory_point() {
    refused(
        "point",
        "healthy",
        "idle = true",
        "idle = true\nspeed = \"900 rpm\"",
        &["case.toml:14:", "point.0.idle"],
    );
    refused(
        "missing",
        "healthy",
        "torque = \"45 N m\"",
        "",
        &["point.1", "pedal"],
    );
}

#[test]
fn files_that_are_none() {
    for path in ["no-such-scenario.toml", "/"] {
        let output = falseair(&["simulate", path]);
        assert_eq!(output.status.code(), Some(2));
        assert!(text(&output.stderr).starts_with("error: "));
    }
    assert_eq!(falseair(&["simulate"]).status.code(), Some(2));
    assert_eq!(falseair(&["simulat"]).status.code(), Some(2));
}

#[test]
fn torque_that_the_engine_cannot_reach() {
    let path = changed("reach", "healthy", "45 N m", "450 N m");
    let output = falseair(&["simulate", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output.stderr).contains("cannot reach 450.0 N m"),
        "{}",
        text(&output.stderr)
    );
    // The other points are answered all the same.
    assert!(text(&output.stdout).contains("full load 5500 rpm"));
}

/// Grown slowly, the engine runs on with this hole, roughly.
fn at_once(path: &std::path::Path) {
    let text = std::fs::read_to_string(path).unwrap();
    std::fs::write(path, format!("history = \"sudden\"\n{text}")).unwrap();
}

#[test]
fn leak_so_large_that_the_engine_stalls() {
    let slot = "slot = { gap = \"0.1 mm\", length = \"30 mm\", depth = \"6 mm\" }";
    let path = changed(
        "stall",
        "manifold-gasket",
        slot,
        "round_hole = { diameter = \"9 mm\" }",
    );
    at_once(&path);
    let output = falseair(&["simulate", path.to_str().unwrap(), "--format", "json"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output.stderr).contains("stalls: at lambda"),
        "{}",
        text(&output.stderr)
    );
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(answer["points"][0]["faulty"].is_null());
    assert!(answer["points"][0]["healthy"]["torque_nm"].is_number());
    assert!(
        answer["points"][0]["warnings"][0]
            .as_str()
            .unwrap()
            .contains("stalls")
    );
}

#[test]
fn a_drive_that_cannot_start_or_go_on() {
    let slot = "slot = { gap = \"0.1 mm\", length = \"30 mm\", depth = \"6 mm\" }";
    let hole = "round_hole = { diameter = \"9 mm\" }";
    let path = changed("ends", "manifold-gasket", slot, hole);
    at_once(&path);
    let output = falseair(&["simulate", path.to_str().unwrap(), "--time"]);
    assert_eq!(output.status.code(), Some(1));
    let message = text(&output.stderr);
    assert!(
        message.contains("faulty: the drive ends after"),
        "{message}"
    );
    assert!(message.contains("stalls"), "{message}");

    // The same from idle: the faulty engine does not even start, the healthy one is shown.
    let shipped = std::fs::read_to_string(&path).unwrap();
    let held = "pedal = \"18 %\"\ncoupling = \"held\"\nspeed = \"2000 rpm\"";
    assert!(shipped.contains(held));
    let idle = shipped.replacen(held, "pedal = \"0 %\"\ncoupling = \"neutral\"", 1);
    std::fs::write(&path, idle).unwrap();
    let output = falseair(&[
        "simulate",
        path.to_str().unwrap(),
        "--time",
        "--format",
        "json",
    ]);
    assert_eq!(output.status.code(), Some(1));
    let message = text(&output.stderr);
    assert!(
        message.contains("faulty: no steady running to start from"),
        "{message}"
    );
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(answer["faulty"].is_null() && answer["healthy"].is_array());
    assert!(answer["failures"][0].as_str().unwrap().contains("stalls"));
}

#[test]
fn options_that_make_no_sense() {
    let healthy = scenario("healthy");
    let cases: [(&[&str], &str); 6] = [
        (&["--interval", "1 s"], "--time"),
        (&["--time", "--interval", "0.05"], "0.05"),
        (&["--time", "--interval", "2 kg"], "mass"),
        (&["--time", "--interval", "0 s"], "0.001 s to 10 s"),
        (&["--threads", "0"], "1..=256"),
        (&["--format", "html"], "table, json, csv"),
    ];
    for (options, word) in cases {
        let mut arguments = vec!["simulate", healthy.to_str().unwrap()];
        arguments.extend(options);
        let output = falseair(&arguments);
        assert_eq!(output.status.code(), Some(2));
        let message = text(&output.stderr);
        assert!(message.contains(word), "`{word}` is missing in:\n{message}");
    }
}

#[test]
fn a_drive_of_too_many_samples() {
    let path = changed(
        "long",
        "healthy",
        "duration = \"6.5 s\"",
        "duration = \"600 s\"",
    );
    let path = path.to_str().unwrap();
    let output = falseair(&["simulate", path, "--time", "--interval", "1 ms"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output.stderr).contains("more than 100000 samples"));
}

#[test]
fn nothing_is_half_written() {
    let out = scratch("no-such-folder/result.txt");
    let output = falseair(&[
        "simulate",
        scenario("healthy").to_str().unwrap(),
        "--out",
        out.to_str().unwrap(),
    ]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        text(&output.stderr).contains("there is no folder"),
        "{}",
        text(&output.stderr)
    );
    assert!(!out.exists());
}
