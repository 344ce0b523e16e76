//! From a drive to a log to a fault.

use super::*;
use serde_json::Value;

/// The log of a scenario's drive, both cars in it.
fn logged(scenario: &str, name: &str) {
    let log = scratch(name);
    let log = log.to_str().unwrap();
    let run = falseair(&[
        "simulate", scenario, "--time", "--format", "csv", "--out", log,
    ]);
    assert!(run.status.success(), "{}", text(&run.stderr));
}

#[test]
fn a_split_hose_is_found_in_the_log_of_a_drive() {
    logged("scenarios/drive-log.toml", "drive.csv");
    let file = readings_file(
        "from_log",
        "[ambient]\npressure = \"98.5 kPa abs\"\ntemperature = \"18 degC\"\n[log]\nfile = \"drive.csv\"\nonly = { column = \"side\", is = \"faulty\" }\n",
    );
    let run = falseair(&["diagnose", file.to_str().unwrap(), "--format", "json"]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    let says = &answer["says"];
    assert!(
        ["fault", "one_of_several"].contains(&answer["verdict"].as_str().unwrap()),
        "{says}"
    );
    let first = &answer["hypotheses"][0];
    assert_eq!(first["fault"], "leak", "{says}");
    let place = first["place"].as_str().unwrap();
    assert!(
        ["hot_pipe", "cold_pipe", "cooler_tank"].contains(&place),
        "{says}"
    );
    // The hole of the scenario: 5 mm.
    let size = |key: &str| first["size"][key].as_f64().unwrap();
    assert!(size("low90") <= 5.0 && 5.0 <= size("high90"), "{says}");
    assert_eq!(first["size"]["unit"], "mm");
    // The page draws the log, and every condition of it stands in the answer with what it gave.
    let judged = answer["judged"].as_array().unwrap();
    assert!(
        judged
            .iter()
            .any(|one| one["condition"] == "full load 3500 rpm")
    );
    let far = |one: &Value, side: &str| one[side]["deviations"].as_f64().unwrap().abs();
    let farthest = |side: &str| judged.iter().map(|one| far(one, side)).fold(0.0, f64::max);
    // The fault that explains the log leaves less unexplained than no fault.
    assert!(
        farthest("sound") > 4.0 && farthest("this") < 3.0,
        "{judged:?}"
    );
    let page = scratch("from_log.html");
    let path = page.to_str().unwrap();
    let drawn = falseair(&["diagnose", file.to_str().unwrap(), "--report", path]);
    assert!(drawn.status.success(), "{}", text(&drawn.stderr));
    let page = std::fs::read_to_string(page).unwrap();
    for id in ["id=\"log\"", "id=\"residuals\"", "full-load pull"] {
        assert!(page.contains(id), "{id}");
    }
    assert!(page.len() < 3_000_000);
    // The pull ran lean under boost: what its danger asks for comes first, engine not loaded.
    let next = answer["next_tests"][0]["test"].as_str().unwrap();
    assert!(["fuel_pressure", "gas_analyser"].contains(&next), "{next}");

    // The sound side of the same log is not called leaky.
    let file = readings_file(
        "from_log_sound",
        "[ambient]\npressure = \"98.5 kPa abs\"\ntemperature = \"18 degC\"\n[log]\nfile = \"drive.csv\"\nonly = { column = \"side\", is = \"healthy\" }\n",
    );
    let run = falseair(&["diagnose", file.to_str().unwrap(), "--format", "json"]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(answer["verdict"], "no_fault_shown", "{}", answer["says"]);
    assert_eq!(answer["dangers"], Value::Array(Vec::new()));
}

/// A drive without boost cannot show what only boost opens: that is said, and how it could be.
#[test]
fn what_the_log_did_not_test_is_said() {
    let drive = "title = \"town\"\nvehicle = \"brindle-16.toml\"\n\
        [[drive]]\nname = \"idle\"\nduration = \"15 s\"\npedal = \"0 %\"\ncoupling = \"neutral\"\n\
        [[drive]]\nname = \"slow\"\nduration = \"15 s\"\npedal = \"20 %\"\ncoupling = \"held\"\n\
        speed = \"1800 rpm\"\n";
    let car = std::fs::read_to_string(vehicle()).unwrap();
    std::fs::write(scratch("brindle-16.toml"), car).unwrap();
    std::fs::write(scratch("town.toml"), drive).unwrap();
    logged(scratch("town.toml").to_str().unwrap(), "town.csv");
    let file = readings_file(
        "town_read",
        "[log]\nfile = \"town.csv\"\nonly = { column = \"side\", is = \"healthy\" }\n",
    );
    let run = falseair(&["diagnose", file.to_str().unwrap(), "--format", "json"]);
    let answer: Value = serde_json::from_slice(&run.stdout).unwrap();
    assert_eq!(answer["verdict"], "no_fault_shown", "{}", answer["says"]);
    let remarks = answer["remarks"].to_string();
    assert!(
        remarks.contains("No boost above 20 kPa in this log"),
        "{remarks}"
    );
    assert!(remarks.contains("a second person reading"), "{remarks}");
    // What hardly any air goes through without boost would be missed at sizes that a pull shows.
    let largest = |answer: &Value, place: &str| {
        let mut all = answer["missed"].as_array().unwrap().iter();
        let one = all.find(|one| one["place"] == place);
        one.unwrap_or_else(|| panic!("{place}"))["hole_mm"]
            .as_f64()
            .unwrap()
    };
    logged("scenarios/drive-log.toml", "boosted.csv");
    let file = readings_file(
        "boosted_read",
        "[log]\nfile = \"boosted.csv\"\nonly = { column = \"side\", is = \"healthy\" }\n",
    );
    let run = falseair(&["diagnose", file.to_str().unwrap(), "--format", "json"]);
    let boosted: Value = serde_json::from_slice(&run.stdout).unwrap();
    for place in ["cold_pipe", "hot_pipe", "cooler_tank"] {
        let [town, boosted] = [&answer, &boosted].map(|answer| largest(answer, place));
        assert!(
            boosted < 0.7 * town,
            "{place}: {boosted} with boost, {town} without"
        );
    }
    // At idle the manifold sucks as well in both.
    let [town, boosted] = [&answer, &boosted].map(|answer| largest(answer, "manifold_gasket"));
    assert!(town < 1.5 * boosted + 0.5, "{town} {boosted}");
    let table = falseair(&["diagnose", file.to_str().unwrap()]);
    let table = text(&table.stdout);
    assert!(
        table.contains("What this log tested, and what not"),
        "{table}"
    );
}
