//! The program: the shape of its answer, the shipped cases, and two faults at once.

use super::*;
use serde_json::Value;

fn answer(arguments: &[&str]) -> Value {
    let run = falseair(&[&["diagnose"], arguments, &["--format", "json"]].concat());
    assert!(run.status.success(), "{arguments:?}: {}", text(&run.stderr));
    serde_json::from_slice(&run.stdout).unwrap()
}

fn shipped(name: &str) -> String {
    format!("scenarios/readings/{name}.toml")
}

fn numbers<const N: usize>(json: &Value, keys: [&str; N]) -> [f64; N] {
    keys.map(|key| {
        let number = json[key].as_f64();
        number.unwrap_or_else(|| panic!("no number `{key}` in {json:#}"))
    })
}

#[test]
fn json_has_verdict_hypotheses_groups_and_next_tests() {
    let json = answer(&[&shipped("lean-at-idle")]);
    let verdicts = [
        "no_fault_shown",
        "fault",
        "one_of_several",
        "undecided",
        "nothing_fits",
    ];
    assert!(verdicts.contains(&json["verdict"].as_str().unwrap()));
    let hypotheses = json["hypotheses"].as_array().unwrap();
    let mut total = 0.0;
    for h in hypotheses {
        let [probability, fit] = numbers(h, ["probability", "fit"]);
        assert!((0.0..=1.0).contains(&probability) && (0.0..=1.0).contains(&fit));
        total += probability;
        match h["fault"].as_str().unwrap() {
            "none" => assert!(h["size"].is_null() && h["place"].is_null()),
            fault => {
                assert_eq!(fault == "leak", h["place"].is_string(), "{h:#}");
                let [low, best, high] = numbers(&h["size"], ["low90", "best", "high90"]);
                assert!(low <= high && best.is_finite(), "{h:#}");
                assert!(h["size"]["unit"].is_string());
            }
        }
        for w in h["readings"].as_array().unwrap() {
            let [read, this, sound] = numbers(w, ["read", "this_shows", "sound_shows"]);
            assert!(read.is_finite() && this.is_finite() && sound.is_finite());
        }
    }
    assert!(
        (total - 1.0).abs() < 0.01,
        "probabilities add up to {total}"
    );
    let probabilities: Vec<f64> = hypotheses
        .iter()
        .map(|h| h["probability"].as_f64().unwrap())
        .collect();
    assert!(probabilities.windows(2).all(|pair| pair[0] >= pair[1]));
    for group in json["inseparable"].as_array().unwrap() {
        let names = group.as_array().unwrap();
        assert!(names.len() > 1);
        for name in names {
            assert!(hypotheses.iter().any(|h| h["name"] == *name), "{name}");
        }
    }
    let tests = json["next_tests"].as_array().unwrap();
    assert!(!tests.is_empty());
    for test in tests {
        let [gain, minutes] = numbers(test, ["expected_gain_bits", "minutes"]);
        assert!(gain > 0.0 && minutes > 0.0 && test["test"].is_string());
    }
}

/// The shipped cases say what their comments promise.
#[test]
fn the_shipped_cases_are_answered_as_told() {
    let json = answer(&[&shipped("lean-at-idle")]);
    let first = &json["hypotheses"][0];
    assert_eq!(json["verdict"], "one_of_several", "{}", json["says"]);
    let size = &first["size"];
    assert!((size["best"].as_f64().unwrap() - 2.2).abs() < 0.2, "{size}");

    let json = answer(&[&shipped("boost-leak")]);
    let place = json["hypotheses"][0]["place"].as_str().unwrap_or("none");
    let boosted = ["hot_pipe", "cooler_tank", "cold_pipe"];
    assert!(boosted.contains(&place), "{}", json["says"]);

    let json = answer(&[&shipped("dirty-meter")]);
    let first = &json["hypotheses"][0];
    assert_eq!(first["fault"], "meter_reads", "{}", json["says"]);
    let tests = json["next_tests"].as_array().unwrap();
    assert!(
        tests
            .iter()
            .take(3)
            .any(|test| test["test"] == "swap_meter")
    );

    let json = answer(&[&shipped("healthy-car")]);
    assert_eq!(json["verdict"], "no_fault_shown", "{}", json["says"]);
}

#[test]
fn the_table_names_the_fault_the_next_test_and_the_cautions() {
    let run = falseair(&["diagnose", &shipped("lean-at-idle"), "--full"]);
    let table = text(&run.stdout);
    let flat = table.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "manifold gasket",
        "which these readings do not tell apart",
        "next test",
        "mm",
        "exhaust is hot and poisonous",
    ] {
        assert!(flat.contains(words), "`{words}` is missing in:\n{table}");
    }
    let wide = table.lines().find(|line| line.chars().count() > 80);
    assert_eq!(wide, None);
}

/// What cannot be told apart is argued for once: in the table every reading's line stands once a
/// group.
#[test]
fn twins_are_argued_for_once() {
    let run = falseair(&["diagnose", &shipped("lean-at-idle"), "--full"]);
    let table = text(&run.stdout);
    let begins = |line: &&str| line.starts_with("for ") || line.starts_with("against ");
    let mut lines: Vec<&str> = table.lines().filter(begins).collect();
    let all = lines.len();
    assert!(all > 0, "{table}");
    lines.sort_unstable();
    lines.dedup();
    assert_eq!(lines.len(), all, "{table}");
}

#[test]
fn two_runs_give_the_same_bytes() {
    for form in ["table", "json"] {
        let run = || falseair(&["diagnose", &shipped("lean-at-idle"), "--format", form]);
        assert_eq!(run().stdout, run().stdout, "{form}");
    }
}

/// One condition as text, with the readings of `found`.
pub(crate) fn toml(found: &Evidence) -> String {
    let heads = [
        "name = \"idle\"\nidle = true",
        "name = \"cruise\"\nspeed = \"250 rad/s\"\ntorque = \"42 N m\"\ntorque_doubt = \"3.9 N m\"",
        "name = \"full load\"\nspeed = \"366.5 rad/s\"\npedal = \"100 %\"",
    ];
    let mut text = String::new();
    for (c, head) in heads.iter().enumerate() {
        text += &format!("\n[[condition]]\n{head}\n[condition.readings]\n");
        for read in found.reads.iter().filter(|read| read.condition == c) {
            let value = read.value;
            text += &match read.reading {
                R::EngineSpeed => format!("engine_speed = \"{value:.0} rpm\"\n"),
                R::MeteredAir => format!("metered_air = \"{value:.2} g/s\"\n"),
                R::ShortTrim => format!("short_trim = \"{value:.1} %\"\n"),
                R::LongTrim => format!("long_trim = \"{value:.1} %\"\n"),
                R::LambdaSensor => format!("lambda = {value:.3}\n"),
                R::Manifold => format!("manifold_pressure = \"{value:.1} kPa abs\"\n"),
                R::BoostSensor => format!("boost_sensor = \"{value:.1} kPa gauge\"\n"),
                R::WastegateDuty => format!("wastegate_solenoid_duty = \"{value:.0} %\"\n"),
                // An instrument that reads below its stop shows the stop.
                R::Throttle => format!("throttle = \"{:.1} %\"\n", value.max(0.0)),
                R::IntakeTemperature => format!("intake_temperature = \"{value:.0} degC\"\n"),
                other => panic!("{other:?} has no line"),
            };
        }
    }
    text
}

/// Two faults made by simulation, trims within their range, and smoke at the gasket.
#[test]
fn pairs_find_a_dirty_meter_together_with_a_vacuum_leak() {
    let (json, alone) = two_faults("pair", 0.88, 1.2e-3, 33);
    let first = &json["hypotheses"][0];
    let keys = [first["fault"].as_str(), first["second"]["fault"].as_str()];
    assert!(
        keys.contains(&Some("meter_reads")) && keys.contains(&Some("leak")),
        "{}",
        json["says"]
    );
    let places = [&first["place"], &first["second"]["place"]];
    assert!(
        places.iter().any(|place| *place == "manifold_gasket"),
        "{}",
        json["says"]
    );
    assert!(first["fit"].as_f64().unwrap() > 0.05, "{}", json["says"]);
    // One fault alone leaves more unexplained.
    let single = alone["hypotheses"].as_array().unwrap();
    assert!(
        single.iter().all(|h| h["second"].is_null()),
        "{}",
        alone["says"]
    );
    let fit = |json: &Value| json["hypotheses"][0]["fit"].as_f64().unwrap();
    assert!(fit(&alone) < fit(&json), "{}", alone["says"]);
}

/// The same where the trim is at its stop, which a plain sum of what each fault shows does not
/// know: the likeliest pair is the true one, its sizes hold the true ones. In the second car one
/// fault alone fits too (a meter 10 % low is three deviations of what sound meters and fuel
/// delivery differ together), and so leads.
#[test]
fn pairs_are_found_with_the_trim_at_its_stop() {
    for (scale, hole, seed, leads) in [
        (0.85, 3e-3, 31, true),
        (0.9, 2e-3, 32, false),
        (0.9, 4e-3, 33, true),
    ] {
        let (json, _) = two_faults("stop", scale, hole, seed);
        let says = format!("{scale} {hole}: {}", json["says"]);
        let all = json["hypotheses"].as_array().unwrap();
        let first = all.iter().position(|h| !h["second"].is_null()).unwrap();
        assert_eq!(first == 0, leads, "{says}");
        let pair = &all[first];
        for (fault, key, size) in [
            ("leak", "place", hole * 1e3),
            ("meter_reads", "fault", scale),
        ] {
            let part = [pair, &pair["second"]];
            let part = part.into_iter().find(|part| part["fault"] == fault);
            let part = part.unwrap_or_else(|| panic!("{says}: {}", pair["name"]));
            assert!(
                part[key] == "manifold_gasket" || fault == part[key],
                "{says}"
            );
            let [low, high] = numbers(&part["size"], ["low90", "high90"]);
            assert!((low..=high).contains(&size), "{says}: {low} to {high}");
        }
        assert!(pair["fit"].as_f64().unwrap() > 0.05, "{says}");
    }
}

/// A low boost and a lean idle are no single fault and no bad reading: that is found without being
/// asked for two faults.
#[test]
fn what_no_single_fault_explains_is_tried_with_two() {
    let faults = [
        ("leak: manifold gasket", 3e-3),
        ("wastegate stuck open", 0.5),
    ];
    let found = read(&car(), &faults, 41);
    let file = readings_file("two-at-once", &toml(&found));
    let json = answer(&[file.to_str().unwrap()]);
    let first = &json["hypotheses"][0];
    let says = format!("{}: {}", json["says"], first["name"]);
    assert!(!first["second"].is_null(), "{says}");
    assert!(first["bad_reading"].is_null(), "{says}");
    assert!(
        first["name"].as_str().unwrap().contains("wastegate"),
        "{says}"
    );
    assert!(
        !json["says"].as_str().unwrap().contains("read it again"),
        "{says}"
    );
}

/// The answers with and without pairs on a dirty meter and a leaking gasket.
fn two_faults(name: &str, scale: f64, hole: f64, seed: u64) -> (Value, Value) {
    let faults = [
        ("mass air flow sensor reads low", scale),
        ("leak: manifold gasket", hole),
    ];
    let found = read(&car(), &faults, seed);
    let smoke = "\n[[check]]\ncheck = \"smoke_intake\"\nfound = \"manifold_gasket\"\n";
    let file = readings_file(name, &(toml(&found) + smoke));
    let file = file.to_str().unwrap();
    (answer(&[file, "--pairs"]), answer(&[file]))
}

/// A file says the same as the library is told.
#[test]
fn a_file_is_read_as_it_is_meant() {
    let found = read(&car(), &[("leak: breather union", 7e-3)], 32);
    let inside = diagnose(&Evidence {
        codes: Vec::new(),
        ..found.clone()
    });
    let file = readings_file("as_meant", &toml(&found));
    let json = answer(&[file.to_str().unwrap()]);
    for h in json["hypotheses"].as_array().unwrap() {
        let (name, p) = (
            h["name"].as_str().unwrap(),
            h["probability"].as_f64().unwrap(),
        );
        // The file holds rounded values.
        let apart = (probability(&inside, name) - p).abs();
        assert!(apart < 0.1, "{name}: {p}, {}", summary(&inside));
    }
}
