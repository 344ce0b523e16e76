//! Every fault of a parameter file at its line, column and key.

use crate::readers::{GOOD, read};

/// A change to [`GOOD`], and the line, column, key and first line of the fault.
#[track_caller]
fn fault(from: &str, to: &str, line: usize, column: usize, key: &str, message: &str) {
    assert!(GOOD.contains(from));
    let error = read(&GOOD.replacen(from, to, 1)).expect_err("a fault");
    let found = (error.line(), error.column(), error.key());
    assert_eq!(found, (Some(line), Some(column), Some(key)), "{error}");
    assert_eq!(error.message().lines().next(), Some(message));
    assert_eq!(error.exit_code(), 2);
}

#[test]
fn every_fault_has_its_place() {
    // Unknown keys: in `quantities!`, in `tables!`, in a derived struct.
    fault(
        "diameter",
        "diametre",
        8,
        1,
        "engine.throttle.diametre",
        "unknown key `diametre`; did you mean `diameter`?",
    );
    fault(
        "[engine.throttle]",
        "[engine.throtle]",
        7,
        9,
        "engine.throtle",
        "unknown key `throtle`; did you mean `throttle`?",
    );
    fault(
        "[engine.throttle]",
        "[[spars]]\n[engine.throttle]",
        7,
        3,
        "spars",
        "unknown key `spars`; did you mean `spare`?",
    );
    // Values: unit, range, word, kind.
    fault(
        "58 mm",
        "58 m/s",
        8,
        12,
        "engine.throttle.diameter",
        "`m/s` is for a speed; a length such as `\"0.38 mm\"` is needed",
    );
    fault(
        "58 mm",
        "580 mm",
        8,
        12,
        "engine.throttle.diameter",
        "out of range: found 580 mm, allowed 10 mm to 150 mm",
    );
    fault(
        "\"58 mm\"",
        "58",
        8,
        12,
        "engine.throttle.diameter",
        "`58` has no unit; a length is needed, e.g. `\"0.38 mm\"`",
    );
    fault(
        "\"58 mm\"",
        "true",
        8,
        12,
        "engine.throttle.diameter",
        "found boolean `true`, expected a length such as `\"0.38 mm\"`",
    );
    fault(
        "\"speed_density\"",
        "\"speed\"",
        4,
        12,
        "engine.metering",
        "unknown word `speed`; did you mean `speed_density`?",
    );
    fault(
        "\"speed_density\"",
        "3",
        4,
        12,
        "engine.metering",
        "found integer `3`, expected one of the words air_flow_meter, speed_density",
    );
    // A string where a table is needed, a table where a string is.
    fault(
        "[engine.throttle]\ndiameter",
        "throttle",
        7,
        12,
        "engine.throttle",
        "found string \"58 mm\", expected a table with diameter, closed_angle",
    );
    fault(
        "displacement = \"1.6 L\"",
        "displacement.size = \"1.6 L\"",
        3,
        1,
        "engine.displacement",
        "found a table, expected a volume such as `\"1.6 L\"`",
    );
    // Missing keys, at the table that lacks them.
    fault(
        "diameter = \"58 mm\"",
        "",
        7,
        1,
        "engine.throttle",
        "missing key `diameter`",
    );
    fault(
        "displacement = \"1.6 L\"",
        "",
        2,
        1,
        "engine",
        "missing key `displacement`",
    );
    fault(
        "[engine.throttle]\ndiameter = \"58 mm\"",
        "",
        2,
        1,
        "engine",
        "missing key `throttle`",
    );
    // Curves.
    fault(
        "\"3000 rpm\"",
        "\"900 rpm\"",
        5,
        41,
        "engine.target.1",
        "the first numbers of a curve's points must increase from point to point",
    );
    fault(
        "\"80 kPa gauge\"",
        "\"80 kPa abs\"",
        5,
        54,
        "engine.target.1.1",
        "`80 kPa abs` counts from vacuum; here a gauge pressure is needed, \
         e.g. `-21.33 kPa gauge` at standard ambient",
    );
    fault(
        ", \"80 kPa gauge\"",
        "",
        5,
        41,
        "engine.target.1",
        "a point has two numbers",
    );
    fault(
        "[\"1000 rpm\", \"20 kPa gauge\"], ",
        "",
        5,
        10,
        "engine.target",
        "a curve has 2 to 8 points; found 1",
    );
    // A derived choice among tables.
    fault(
        "# An engine.",
        "[[part]]\nthrotle = {}",
        2,
        1,
        "part.0.throtle",
        "unknown word `throtle`; did you mean `throttle`?",
    );
    fault(
        "# An engine.",
        "[[part]]\nthrottle.diameter = \"1 s\"",
        2,
        21,
        "part.0.throttle.diameter",
        "`s` is for a time; a length such as `\"0.38 mm\"` is needed",
    );
    // Lists of tables.
    fault(
        "# An engine.",
        "[[spare]]\ndiameter = \"50 mm\"\n[[spare]]\ndiameter = \"5 mm\"",
        4,
        12,
        "spare.1.diameter",
        "out of range: found 5 mm, allowed 10 mm to 150 mm",
    );
}

#[test]
fn text_that_is_not_toml() {
    fault(
        "diameter = \"58 mm\"",
        "diameter = \"58 mm\"\ndiameter = \"59 mm\"",
        9,
        1,
        "engine.throttle.diameter",
        "`diameter` is given twice",
    );
    fault(
        "[engine.throttle]",
        "[engine]",
        7,
        2,
        "engine",
        "`engine` is given twice",
    );
    fault(
        "\"58 mm\"",
        "58 mm",
        8,
        12,
        "engine.throttle.diameter",
        "text must be quoted",
    );
    fault(
        "\"58 mm\"",
        "0,058",
        8,
        13,
        "engine.throttle.diameter",
        "unexpected key or value, expected newline, `#`",
    );
    fault(
        "\"58 mm\"",
        "\"58 mm",
        8,
        18,
        "engine.throttle.diameter",
        "invalid basic string, expected `\"`",
    );
    fault(
        "\"58 mm\"",
        "",
        8,
        12,
        "engine.throttle.diameter",
        "string values must be quoted, expected literal string",
    );
}

#[test]
fn the_report_as_shown() {
    let text = GOOD.replace("58 mm", "580 mm");
    let error = read(&text).unwrap_err();
    assert_eq!(
        error.to_string(),
        "error: out of range: found 580 mm, allowed 10 mm to 150 mm\n \
         --> engine.toml:8:12\n  \
         |\n\
         8 | diameter = \"580 mm\"\n  \
         |            ^^^^^^^^ `engine.throttle.diameter`\n  \
         |\n  \
         = help: Bore."
    );
    assert!(error.render(true).contains("\u{1b}["));
}

#[test]
fn hostile_text_neither_panics_nor_takes_long() {
    let start = std::time::Instant::now();
    let big = "x".repeat(1_000_000);
    for text in [
        format!("engine = {}", "[".repeat(100_000)),
        format!("engine = {}", "{a=".repeat(100_000)),
        format!("{}=1", "a.".repeat(100_000)),
        format!("engine = \"{big}\""),
        format!("{big} = 1"),
        format!("[engine]\nmetering = \"{big}\u{1b}[31m\""),
        "\u{0}".into(),
        "a = \"\\u0000\"\r\nb".into(),
        "[engine]\r\nmetering = \"x\\u001b[31m\"\r\n".into(),
    ] {
        let shown = read(&text).unwrap_err().to_string();
        assert!(
            !shown.contains('\u{1b}') && shown.len() < 20_000,
            "{} long",
            shown.len()
        );
    }
    assert!(start.elapsed().as_secs() < 20, "{:?}", start.elapsed());
}
