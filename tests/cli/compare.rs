//! `simulate --compare` and `diagnose --compare`: two results beside each other.

use crate::{changed, falseair, scenario, text};
use serde_json::Value;
use std::path::Path;

fn run(a: &Path, b: &Path, more: &[&str]) -> String {
    let [a, b] = [a, b].map(|path| path.to_str().unwrap());
    let output = falseair(&[&["simulate", a, "--compare", b], more].concat());
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stdout)
}

fn json(a: &Path, b: &Path) -> Value {
    serde_json::from_str(&run(a, b, &["--format", "json"])).unwrap()
}

/// Differences by point and reading.
fn differences(answer: &Value) -> Vec<(String, String, f64)> {
    let points = answer["points"].as_array().unwrap().iter();
    let all = points.flat_map(|point| {
        let name = point["name"].as_str().unwrap();
        let all = point["differences"].as_object().unwrap().iter();
        all.map(move |(key, by)| (name.to_string(), key.clone(), by.as_f64().unwrap()))
    });
    all.collect()
}

#[test]
fn a_scenario_beside_itself_shows_no_difference() {
    let split = scenario("split-hose");
    let answer = json(&split, &split);
    assert_eq!(answer["same"], true);
    let says = answer["says"].as_str().unwrap();
    assert!(says.starts_with("No difference"), "{says}");
    let all = differences(&answer);
    assert!(all.len() > 50, "{}", all.len());
    assert!(all.iter().all(|(.., by)| *by == 0.0), "{all:?}");
    // The code that this car sets is set in both.
    let printed = run(&split, &split, &[]);
    assert!(printed.contains("No difference"), "{printed}");
    assert_eq!(printed.matches("P2192").count(), 2, "{printed}");
}

/// Whichever stands first: the same point, the same reading, the sign turned round.
#[test]
fn swapped_the_differences_change_their_sign() {
    let (split, sound) = (scenario("split-hose"), scenario("healthy"));
    let [there, back] = [json(&split, &sound), json(&sound, &split)];
    let turned = differences(&back).into_iter();
    let turned: Vec<_> = turned.map(|(at, key, by)| (at, key, 0.0 - by)).collect();
    let own = differences(&there);
    let own: Vec<_> = own
        .into_iter()
        .map(|(at, key, by)| (at, key, by + 0.0))
        .collect();
    assert_eq!(own, turned);
    let [there, back] = [&there, &back].map(|answer| answer["says"].as_str().unwrap());
    let most = |says: &str| {
        says.split_once(" in A")
            .unwrap()
            .0
            .rsplit_once(' ')
            .unwrap()
            .0
            .to_string()
    };
    assert_eq!(most(there), most(back));
    // A split before the throttle makes full load rich: what it showed must be named.
    assert!(
        there.contains("full load") && there.contains("lambda"),
        "{there}"
    );
}

/// What is dangerous in either stands first, and is told of which.
#[test]
fn dangers_of_either_are_told_of_which() {
    let (stuck, split) = (scenario("stuck-wastegate"), scenario("split-hose"));
    for (a, b, of) in [(&stuck, &split, "A ("), (&split, &stuck, "B (")] {
        let answer = json(a, b);
        let dangers = answer["dangers"].as_array().unwrap();
        let boost = dangers.iter().find(|danger| danger["kind"] == "overboost");
        let told = boost.unwrap()["of"].as_str().unwrap();
        assert!(
            told.starts_with(of) && told.contains("Wastegate stuck shut"),
            "{told}"
        );
        let printed = run(a, b, &[]);
        let title = printed.find("A and B compared").unwrap();
        let danger = printed.find(&format!("DANGER  {of}Wastegate stuck shut): Lean"));
        assert!(danger.is_some_and(|at| at < title), "{printed}");
        // Made from both scenarios and their car.
        let files = answer["made_from"].as_array().unwrap();
        assert_eq!(files.len(), 3, "{files:?}");
    }
}

/// Two places: thinner air is less air at full load; a point that only one has is named.
#[test]
fn two_places_and_points_of_one_only() {
    let sea = scenario("healthy");
    let high = changed(
        "compare-places",
        "healthy",
        "pressure = \"101.3 kPa abs\"",
        "pressure = \"80 kPa abs\"",
    );
    let answer = json(&sea, &high);
    let at = |key: &str| {
        let all = differences(&answer);
        let found = all
            .iter()
            .find(|(point, known, _)| point == "idle" && known == key);
        found.unwrap().2
    };
    // The idling engine of 80 kPa breathes from the same suction: the throttle opens wider.
    assert!(at("throttle_pct") > 0.0, "{}", at("throttle_pct"));
    let other = changed(
        "compare-names",
        "healthy",
        "name = \"light cruise\"",
        "name = \"cruise\"",
    );
    let answer = json(&sea, &other);
    assert_eq!(answer["only_in_a"], serde_json::json!(["light cruise"]));
    assert_eq!(answer["only_in_b"], serde_json::json!(["cruise"]));
    let printed = run(&sea, &other, &[]);
    assert!(
        printed.contains("Only in B, and not compared: cruise"),
        "{printed}"
    );
}

#[test]
fn its_table_has_a_row_a_point_and_reading() {
    let (split, sound) = (scenario("split-hose"), scenario("healthy"));
    let text = run(&split, &sound, &["--format", "csv"]);
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let answer = json(&split, &sound);
    let told = differences(&answer).into_iter();
    let mut told = told.filter(|(at, key, _)| at == "full load 2500 rpm" && key == "torque_nm");
    let (.., told) = told.next().unwrap();
    let records = rows.records().map(Result::unwrap);
    let mut found = records.filter(|row| &row[0] == "full load 2500 rpm" && &row[1] == "torque_nm");
    let row = found.next().unwrap();
    let value = |i: usize| row[i].parse::<f64>().unwrap();
    assert_eq!(value(5), told);
    assert!((value(4) - value(3) - told).abs() < 1e-9);
    assert!(value(6) < value(7), "{row:?}");
}

fn diagnosed(a: &str, b: &str, more: &[&str]) -> String {
    let [a, b] = [a, b].map(|name| format!("scenarios/readings/{name}.toml"));
    let output = falseair(&[&["diagnose", &a, "--compare", &b], more].concat());
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stdout)
}

fn diagnosed_json(a: &str, b: &str) -> Value {
    serde_json::from_str(&diagnosed(a, b, &["--format", "json"])).unwrap()
}

/// Before and after: each is judged as it is alone, and what moved stands first.
#[test]
fn two_diagnoses_say_what_each_comes_to_and_what_moved() {
    let (before, after) = ("lean-at-idle", "healthy-car");
    let answer = diagnosed_json(before, after);
    for (key, name) in [("a", before), ("b", after)] {
        let file = format!("scenarios/readings/{name}.toml");
        let alone = falseair(&["diagnose", &file, "--format", "json"]);
        let alone: Value = serde_json::from_slice(&alone.stdout).unwrap();
        for told in ["verdict", "says", "hypotheses", "next_tests"] {
            assert_eq!(
                answer[key]["diagnosis"][told], alone[told],
                "{name}: {told}"
            );
        }
    }
    let readings = answer["readings"].as_array().unwrap();
    let number = |one: &Value, key: &str| one[key].as_f64().unwrap();
    let far = |one: &Value| number(one, "difference").abs() / number(one, "doubt");
    assert!(
        readings
            .windows(2)
            .all(|pair| far(&pair[0]) >= far(&pair[1]))
    );
    for one in readings {
        let apart = number(one, "b") - number(one, "a");
        assert!((number(one, "difference") - apart).abs() < 1e-6, "{one}");
    }
    // The trim at idle was what the leak moved; after the repair it is a healthy car's.
    let most = &readings[0];
    assert_eq!(
        (&most["reading"], &most["condition"]),
        (&"long_trim_pct".into(), &"idle".into())
    );
    assert!(number(most, "a_off_by_deviations").abs() > 2.0, "{most}");
    assert!(number(most, "b_off_by_deviations").abs() < 2.0, "{most}");
    let says = answer["says"].as_str().unwrap();
    for words in ["A: one of leak", "B: no fault shown", "25.0 % in A"] {
        assert!(says.contains(words), "{words}: {says}");
    }
}

#[test]
fn a_diagnosis_beside_itself_shows_no_difference() {
    let answer = diagnosed_json("healthy-car", "healthy-car");
    let readings = answer["readings"].as_array().unwrap();
    assert!(readings.iter().all(|one| one["difference"] == 0.0));
    let says = answer["says"].as_str().unwrap();
    let none = format!("None of the {} readings", readings.len());
    assert!(says.contains(&none), "{says}");
}

/// A danger of one of them stands first, told of which.
#[test]
fn a_danger_of_either_diagnosis_stands_first() {
    let root = crate::root();
    let well = root.join("scenarios/readings/healthy-car.toml");
    let text_of_well = std::fs::read_to_string(&well).unwrap();
    let car = root.join("scenarios/vehicles/brindle-16.toml");
    let lean = text_of_well
        .replace("../vehicles/brindle-16.toml", car.to_str().unwrap())
        .replace("lambda = 0.902", "lambda = 1.08")
        .replace("Check before a long journey", "Lean at full load");
    assert!(lean.contains("lambda = 1.08"));
    let path = std::env::temp_dir().join(format!("falseair-lean-{}.toml", std::process::id()));
    std::fs::write(&path, lean).unwrap();
    for (a, b, of) in [(&path, &well, "A (Lean"), (&well, &path, "B (Lean")] {
        let [a, b] = [a, b].map(|path| path.to_str().unwrap());
        let output = falseair(&["diagnose", a, "--compare", b, "--format", "json"]);
        let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
        let dangers = answer["dangers"].as_array().unwrap();
        assert!(!dangers.is_empty());
        for danger in dangers {
            assert!(danger["of"].as_str().unwrap().starts_with(of), "{danger}");
        }
        let printed = text(&falseair(&["diagnose", a, "--compare", b]).stdout);
        let danger = printed.find(&format!("DANGER  {of}"));
        let title = printed.find("A and B compared").unwrap();
        assert!(danger.is_some_and(|at| at < title), "{printed}");
    }
    std::fs::remove_file(&path).unwrap();
}
