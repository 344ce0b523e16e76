//! `simulate --compare`: two scenarios beside each other.

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
