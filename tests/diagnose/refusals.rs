//! What is refused: exit code 2, with file, line, key and the nearest spelling.

use super::*;

const IDLE: &str = "
[[condition]]
name = \"idle\"
idle = true
[condition.readings]
metered_air = \"2.0 g/s\"
manifold_pressure = \"30 kPa abs\"
";

/// The message of a file that is refused, which must hold every one of `words`.
fn refused(name: &str, rest: &str, words: &[&str]) {
    let file = readings_file(name, rest);
    said(name, &file, words);
}

fn said(name: &str, file: &Path, words: &[&str]) {
    let run = falseair(&["diagnose", file.to_str().unwrap()]);
    let message = text(&run.stderr);
    assert_eq!(run.status.code(), Some(2), "{name}: {message}");
    assert!(
        run.stdout.is_empty(),
        "{name}: nothing is printed from bad input"
    );
    for word in words {
        assert!(
            message.contains(word),
            "{name}: `{word}` is missing in:\n{message}"
        );
    }
    for word in ["panicked", "RUST_BACKTRACE"] {
        assert!(!message.contains(word), "{name}:\n{message}");
    }
}

#[test]
fn a_misspelt_reading() {
    let wrong = IDLE.replace("metered_air", "meterd_air");
    let words = [
        "misspelt.toml:7:",
        "meterd_air",
        "did you mean `metered_air`?",
    ];
    refused("misspelt", &wrong, &words);
}

#[test]
fn gauge_for_absolute_and_absolute_for_gauge() {
    let wrong = IDLE.replace("30 kPa abs", "-70 kPa gauge");
    refused(
        "gauge",
        &wrong,
        &["gauge.toml:8:", "manifold_pressure", "abs"],
    );
    let wrong = IDLE.replace(
        "manifold_pressure = \"30 kPa abs\"",
        "boost = \"180 kPa abs\"",
    );
    refused("absolute", &wrong, &["absolute.toml:8:", "boost", "gauge"]);
    let wrong = IDLE.replace("30 kPa abs", "30 kPa");
    refused("neither", &wrong, &["neither.toml:8:", "manifold_pressure"]);
}

#[test]
fn values_out_of_range_or_of_another_kind() {
    let wrong = IDLE.replace("2.0 g/s", "-2.0 g/s");
    refused("negative", &wrong, &["negative.toml:7:", "metered_air"]);
    let wrong = IDLE.replace("2.0 g/s", "2.0 psi");
    refused("kind", &wrong, &["kind.toml:7:", "metered_air"]);
    for value in ["nan", "inf"] {
        let wrong = IDLE.replace("\"2.0 g/s\"", value);
        refused("not_finite", &wrong, &["not_finite.toml:7:"]);
    }
}

#[test]
fn an_unknown_code() {
    let wrong = format!("codes = [\"P0171\", \"P2178\", \"P017\"]\n{IDLE}");
    refused("code", &wrong, &["code.toml:2:", "P017", "P0171"]);
}

#[test]
fn an_unknown_check_and_what_it_cannot_find() {
    let check = |check: &str, found: &str| {
        format!("{IDLE}\n[[check]]\ncheck = \"{check}\"\nfound = \"{found}\"\n")
    };
    let words = [
        "check.toml:11:",
        "swap_meeter",
        "did you mean `swap_meter`?",
    ];
    refused("check", &check("swap_meeter", "nothing"), &words);
    let words = [
        "found.toml:12:",
        "check.0.found",
        "swap_meter",
        "meter_reads",
    ];
    refused("found", &check("swap_meter", "vacuum_line"), &words);
}

#[test]
fn a_misspelt_place_in_a_section() {
    let hole = format!("{IDLE}\n[[hole]]\nplaces = [\"cold_pip\"]\ndiameter = \"3 mm\"\n");
    refused(
        "place",
        &hole,
        &["place.toml:11:", "did you mean `cold_pipe`?"],
    );
}

#[test]
fn a_vehicle_that_is_not_there() {
    let file = scratch("missing.toml");
    std::fs::write(&file, format!("vehicle = \"nowhere.toml\"\n{IDLE}")).unwrap();
    said(
        "missing",
        &file,
        &["missing.toml:1:", "vehicle", "nowhere.toml"],
    );
    std::fs::write(&file, IDLE).unwrap();
    said("none", &file, &["missing.toml", "vehicle"]);
    let said_of = scratch("no_such_readings.toml");
    said("no file", &said_of, &["no_such_readings.toml"]);
}

#[test]
fn nothing_to_judge_by() {
    refused("empty", "", &["empty.toml", "nothing to judge by"]);
    let bare = "[[condition]]\nname = \"idle\"\nidle = true\n";
    refused("bare", bare, &["bare.toml", "nothing to judge by"]);
}

#[test]
fn conditions_that_say_too_little_or_too_much() {
    let unsaid = IDLE.replace("idle = true\n", "");
    refused("unsaid", &unsaid, &["unsaid.toml:", "condition.0"]);
    let loose =
        "[[condition]]\nname = \"x\"\nspeed = \"2000 rpm\"\n[condition.readings]\nlambda = 1.0\n";
    refused(
        "loose",
        loose,
        &["loose.toml:4:", "condition.0.speed", "how much load?"],
    );
    let both = IDLE.replace(
        "idle = true",
        "idle = true\nspeed = \"2000 rpm\"\ntorque = \"40 N m\"",
    );
    refused("both", &both, &["both.toml:", "condition.0"]);
}

#[test]
fn a_log_that_is_not_there_or_not_named() {
    let wrong = "[log]\nfile = \"nowhere.csv\"\n";
    refused("no_log", wrong, &["nowhere.csv"]);
    refused(
        "unnamed_log",
        "[log]\n",
        &["unnamed_log.toml:2:", "which log?"],
    );
    refused(
        "log_key",
        "[log]\nfil = \"nowhere.csv\"\n",
        &["log_key.toml:3:", "`file`"],
    );
}
