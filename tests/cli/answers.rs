//! Results: shape of the JSON, width of the tables, same bytes from any number of
//! threads, nothing that is not a number.

use crate::{changed, falseair, scenario, scratch, text};
use serde_json::Value;
use std::process::{Command, Stdio};

const SHIPPED: [&str; 10] = [
    "worn-meter-and-leak",
    "stuck-recirculation",
    "stuck-wastegate",
    "healthy",
    "breather-seal",
    "bowed-cover",
    "split-hose",
    "split-hose-speed-density",
    "manifold-gasket",
    "exhaust-gasket",
];

fn run(name: &str, more: &[&str]) -> String {
    let path = scenario(name);
    let mut arguments = vec!["simulate", path.to_str().unwrap()];
    arguments.extend(more);
    let output = falseair(&arguments);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{name}: {}",
        text(&output.stderr)
    );
    text(&output.stdout)
}

#[test]
fn tables_fit_80_columns_and_hold_numbers_only() {
    for name in SHIPPED {
        let table = run(name, &["--full"]);
        for line in table.lines() {
            assert!(line.chars().count() <= 80, "{name}: {line}");
        }
        for word in ["NaN", "inf", "-0.0 "] {
            assert!(!table.contains(word), "{name} prints {word}");
        }
        assert!(table.contains("(invented)"));
        assert!(table.contains("local codes"), "the usual cautions");
        for point in ["idle", "cruise", "full load 1500", "full load 5500"] {
            assert!(table.contains(point));
        }
    }
}

#[test]
fn json_has_the_promised_shape() {
    const READINGS: [&str; 17] = [
        "engine_speed_rpm",
        "metered_air_g_s",
        "engine_air_g_s",
        "metering_error_pct",
        "lambda",
        "fuel_trim_pct",
        "boost_kpa",
        "manifold_kpa",
        "intake_temp_c",
        "shaft_krpm",
        "wastegate_pct",
        "throttle_pct",
        "torque_nm",
        "power_kw",
        "fuel_g_s",
        "bsfc_g_kwh",
        "exhaust_temp_c",
    ];
    const LEDGER: [&str; 6] = [
        "metered_in_g_s",
        "unmetered_in_g_s",
        "lost_g_s",
        "recirculated_g_s",
        "engine_g_s",
        "closure_g_s",
    ];
    for name in SHIPPED {
        let answer: Value = serde_json::from_str(&run(name, &["--format", "json"])).unwrap();
        assert!(answer["scenario"].is_string() && answer["vehicle"].is_string());
        for point in answer["points"].as_array().unwrap() {
            assert!(point["name"].is_string() && point["warnings"].is_array());
            for side in [&point["healthy"], &point["faulty"]] {
                if side.is_null() {
                    assert_eq!(name, "healthy");
                    continue;
                }
                for key in READINGS {
                    let idle_work = key == "bsfc_g_kwh" && point["name"] == "idle";
                    assert!(
                        side[key].is_number() || idle_work,
                        "{name} {key}: {}",
                        side[key]
                    );
                }
                for key in LEDGER {
                    assert!(side["ledger"][key].is_number(), "{key}");
                }
                assert!(side["ledger"]["closure_g_s"].as_f64().unwrap().abs() < 1e-6);
                for leak in side["leaks"].as_array().unwrap() {
                    assert!(leak["place"].is_string() && leak["flow_g_s"].is_number());
                }
            }
        }
    }
}

#[test]
fn json_and_table_and_csv_tell_the_same() {
    let answer: Value = serde_json::from_str(&run("split-hose", &["--format", "json"])).unwrap();
    let torque = answer["points"][4]["faulty"]["torque_nm"].as_f64().unwrap();
    let csv = run("split-hose", &["--format", "csv"]);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let column = reader
        .headers()
        .unwrap()
        .iter()
        .position(|h| h == "torque_nm")
        .unwrap();
    let row = reader.records().map(Result::unwrap).nth(9).unwrap();
    assert_eq!(&row[1], "faulty");
    assert_eq!(row[column].parse::<f64>().unwrap(), torque);
    let whole = run("split-hose", &["--full"]);
    assert!(whole.contains(&format!("{torque:.1}")));
    // At a glance: on one screen, where it shows most first, and what no healthy car reads marked.
    let glance = run("split-hose", &[]);
    assert!(
        glance.lines().count() < 45 && whole.lines().count() > 250,
        "{glance}"
    );
    assert!(
        glance.contains("At full load 2500 rpm, where it shows most: "),
        "{glance}"
    );
    let row = glance
        .lines()
        .find(|line| line.starts_with("full load 2500 rpm "))
        .unwrap();
    let lambda = |side: &str| answer["points"][3][side]["lambda_sensor"].as_f64().unwrap();
    let change = lambda("faulty") - lambda("healthy");
    assert!(row.contains(&format!("{change:+.3}!")), "{row}");
    let [low, high] = [0, 1].map(|end| {
        let band = &answer["points"][3]["healthy_cars_95_pct"]["lambda_sensor"];
        band[end].as_f64().unwrap()
    });
    assert!(lambda("faulty") < low && (low..=high).contains(&lambda("healthy")));
}

#[test]
fn same_bytes_from_any_number_of_threads() {
    for more in [
        &["--format", "json"][..],
        &["--time", "--format", "csv"][..],
    ] {
        let with = |threads| run("split-hose", &[more, &["--threads", threads][..]].concat());
        let one = with("1");
        assert_eq!(one, with("2"));
        assert_eq!(one, with("8"));
    }
}

#[test]
fn a_drive_gives_a_trace_and_a_picture() {
    let folder = scratch("drive");
    let picture = folder.join("drive.svg");
    let glance = run("split-hose", &["--time"]);
    assert!(glance.contains("The faulty car is furthest from the healthy one at "));
    assert!(glance.contains("No compressor"));
    let options = ["--time", "--full", "--svg", folder.to_str().unwrap()];
    let table = run("split-hose", &options);
    for piece in ["cruise", "tip-in", "pull", "lift-off", "idle"] {
        assert!(table.contains(piece));
    }
    assert!(table.lines().all(|line| line.chars().count() <= 80));
    let svg = std::fs::read_to_string(&picture).unwrap();
    assert!(svg.starts_with("<svg") && !svg.contains("NaN") && svg.contains("boost (gauge), kPa"));
    std::fs::remove_dir_all(folder).unwrap();
}

#[test]
fn every_sentence_comes_from_the_ledger() {
    let why = |name: &str, point: usize| -> String {
        let answer: Value = serde_json::from_str(&run(name, &["--format", "json"])).unwrap();
        answer["points"][point]["why"].as_str().unwrap().to_string()
    };
    assert!(why("manifold-gasket", 0).contains("comes in behind the meter"));
    assert!(why("split-hose", 4).contains("lost before the engine"));
    assert!(why("split-hose", 4).contains("richer"));
    assert!(!why("split-hose-speed-density", 4).contains("richer"));
    assert!(why("bowed-cover", 4).contains("goes round"));
    assert!(why("exhaust-gasket", 0).contains("gets into the exhaust"));
}

#[test]
fn a_reader_who_has_seen_enough_is_no_error() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_falseair"))
        .args(["simulate", scenario("split-hose").to_str().unwrap()])
        .args(["--time", "--format", "json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty(), "{}", text(&output.stderr));
}

#[test]
fn every_form_of_a_drive_has_every_sample() {
    // 24 s at 0.25 s: 97 samples of each car, the first and the last included.
    let json = run(
        "split-hose",
        &["--time", "--interval", "250 ms", "--format", "json"],
    );
    let answer: Value = serde_json::from_str(&json).unwrap();
    for side in ["healthy", "faulty"] {
        let samples = answer[side].as_array().unwrap();
        assert_eq!(samples.len(), 97);
        assert!(samples.iter().all(|s| s["boost_kpa"].is_number()));
    }
    assert_eq!(answer["pieces"][1]["name"], "tip-in");
    let csv = run(
        "split-hose",
        &["--time", "--interval", "0.25 s", "--format", "csv"],
    );
    assert_eq!(csv.lines().count(), 1 + 2 * 97);
    let csv = run(
        "healthy",
        &["--time", "--interval", "1 s", "--format", "csv"],
    );
    assert_eq!(csv.lines().count(), 1 + 25);
}

#[test]
fn every_shipped_drive_runs_to_its_end() {
    for name in SHIPPED {
        let text = std::fs::read_to_string(scenario(name)).unwrap();
        if text.contains("[[drive]]") {
            let csv = run(name, &["--time", "--format", "csv"]);
            assert!(!csv.contains("NaN"), "{name}");
        }
    }
}

/// A healthy car lifted off at speed is in no danger: what little gas an engine without fuel pumps leaves as
/// warm as its walls, not at the 1300 °C that the pumping work alone would make of it.
#[test]
fn the_drive_of_a_healthy_car_shows_no_danger() {
    let answer = run("healthy", &["--time", "--format", "json"]);
    let answer: serde_json::Value = serde_json::from_str(&answer).unwrap();
    assert_eq!(answer["dangers"], serde_json::json!([]));
}

/// Made anew by `falseair codes scenarios/vehicles/brindle-16.toml --format markdown --out reports/codes.md`.
#[test]
fn the_table_of_codes_is_up_to_date() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let car = root.join("scenarios/vehicles/brindle-16.toml");
    let output = falseair(&["codes", car.to_str().unwrap(), "--format", "markdown"]);
    let kept = std::fs::read_to_string(root.join("reports/codes.md")).unwrap();
    assert!(
        text(&output.stdout) == kept,
        "reports/codes.md is stale: run the command above"
    );
}

#[test]
fn a_file_from_out_is_what_the_terminal_would_show() {
    let out = scratch("out.txt");
    std::fs::create_dir_all(out.parent().unwrap()).unwrap();
    let shown = run("breather-seal", &["--out", out.to_str().unwrap()]);
    assert_eq!(shown, "");
    assert_eq!(
        std::fs::read_to_string(&out).unwrap(),
        run("breather-seal", &[])
    );
    std::fs::remove_file(out).unwrap();
}

#[test]
fn names_from_a_file_do_not_reach_the_terminal_as_orders() {
    let path = changed(
        "escape",
        "healthy",
        "title = \"Nothing wrong",
        "title = \"\\u001b[31mNothing wrong",
    );
    let output = falseair(&["simulate", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0));
    assert!(!output.stdout.contains(&0x1b));
}

#[test]
fn a_drive_says_when_the_speed_limiter_cut_the_fuel() {
    let folder = scratch("limiter");
    std::fs::create_dir_all(&folder).unwrap();
    let car = crate::root().join("scenarios/vehicles/brindle-16.toml");
    let file = folder.join("revved.toml");
    let mut said = format!(
        "title = \"Revved\"\nvehicle = {:?}\n",
        car.to_str().unwrap()
    );
    for (name, duration, pedal) in [("idle", 1, 0), ("revved", 3, 100), ("released", 6, 0)] {
        said += &format!(
            "[[drive]]\nname = {name:?}\nduration = \"{duration} s\"\npedal = \"{pedal} %\"\n\
             coupling = \"neutral\"\n"
        );
    }
    said += "[[point]]\nname = \"too fast\"\nspeed = \"8000 rpm\"\npedal = \"100 %\"\n";
    std::fs::write(&file, said).unwrap();
    let file = file.to_str().unwrap();
    let output = falseair(&["simulate", file, "--time"]);
    let table = text(&output.stdout);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stderr));
    assert!(
        table.contains("Fuel cut, healthy: speed limit of 6800 rpm, from 1."),
        "{table}"
    );
    assert!(
        !table.contains("Trouble codes") && !table.contains("drives the engine"),
        "{table}"
    );
    let output = falseair(&["simulate", file, "--time", "--format", "json"]);
    let json: Value = serde_json::from_str(&text(&output.stdout)).unwrap();
    let cut = &json["speed_limit_cuts"][0];
    assert!(
        (6800.0..7004.0).contains(&cut["highest_rpm"].as_f64().unwrap()),
        "{cut}"
    );
    assert!(cut["from_s"].as_f64() < cut["to_s"].as_f64(), "{cut}");
    let output = falseair(&["simulate", file]);
    assert_eq!(output.status.code(), Some(1));
    let why = text(&output.stderr) + &text(&output.stdout);
    let why = why.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        why.contains("8000 rpm is over the engine's speed limit of 6800 rpm"),
        "{why}"
    );
}

/// A solenoid cannot be driven for less than none of the time: not in a reading, not in the band of
/// healthy cars, not in what a fault would show.
#[test]
fn a_duty_never_reads_below_0() {
    fn duties(value: &Value, all: &mut Vec<f64>) {
        match value {
            Value::Array(list) => list.iter().for_each(|value| duties(value, all)),
            Value::Object(map) => {
                let of_duty = map.get("reading") == Some(&"wastegate_solenoid_duty_pct".into());
                let shown = ["read", "this_shows", "sound_shows"].map(|key| map.get(key));
                let shown = shown.into_iter().flatten().filter(|_| of_duty);
                all.extend(shown.filter_map(Value::as_f64));
                for (key, value) in map {
                    match (key == "wastegate_solenoid_duty_pct", value) {
                        (true, Value::Array(band)) => {
                            all.extend(band.iter().filter_map(Value::as_f64))
                        }
                        (true, Value::Number(read)) => all.extend(read.as_f64()),
                        _ => duties(value, all),
                    }
                }
            }
            _ => {}
        }
    }
    let [split, lean] = ["split-hose", "readings/lean-at-idle"].map(scenario);
    let mut all = Vec::new();
    for (command, file) in [
        ("across", &split),
        ("simulate", &split),
        ("diagnose", &lean),
    ] {
        let output = falseair(&[command, file.to_str().unwrap(), "--format", "json"]);
        let answer = serde_json::from_slice(&output.stdout).unwrap();
        let before = all.len();
        duties(&answer, &mut all);
        assert!(all.len() > before, "{command} shows no duty");
    }
    assert!(
        all.contains(&0.0) && all.iter().all(|duty| *duty >= 0.0),
        "{all:?}"
    );
}
