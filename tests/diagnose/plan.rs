//! What to drive next: the manoeuvre that shows what is open, and never one that could hurt.

use super::*;
use serde_json::Value;
use std::fmt::Write;

/// What is planned for a car of which this was read.
fn planned(name: &str, readings: &str) -> Value {
    let file = readings_file(name, readings);
    let run = falseair(&[
        "diagnose",
        "plan",
        file.to_str().unwrap(),
        "--format",
        "json",
    ]);
    assert!(
        run.status.success(),
        "{}",
        String::from_utf8_lossy(&run.stderr)
    );
    serde_json::from_slice(&run.stdout).unwrap()
}

fn names(answer: &Value) -> Vec<&str> {
    let all = answer["manoeuvres"].as_array().unwrap().iter();
    all.map(|one| one["manoeuvre"].as_str().unwrap()).collect()
}

fn settles(answer: &Value, name: &str) -> f64 {
    let mut all = answer["manoeuvres"].as_array().unwrap().iter();
    let one = all.find(|one| one["manoeuvre"] == name);
    one.map_or(0.0, |one| one["settles_pct"].as_f64().unwrap())
}

/// Readings of the model's own healthy car at these conditions, as a readings file says them.
fn healthy(conditions: &[(&str, &str, sim::Command)]) -> String {
    let cars = sim::Comparison::new(&car());
    let mut text = String::new();
    for (name, keys, command) in conditions {
        let point = cars.point(name, *command);
        let side = point.healthy.unwrap();
        let read = |reading| side.readings.get(reading).unwrap();
        writeln!(
            text,
            "[[condition]]\nname = \"{name}\"\n{keys}\n[condition.readings]\n\
             metered_air = \"{:.3} g/s\"\nlong_trim = \"{:.2} %\"\nshort_trim = \"{:.2} %\"\n\
             lambda = {:.3}\nmanifold_pressure = \"{:.2} kPa abs\"",
            read(R::MeteredAir),
            read(R::LongTrim),
            read(R::ShortTrim),
            read(R::LambdaSensor),
            read(R::Manifold),
        )
        .unwrap();
    }
    text
}

/// Idle and cruise are those of a healthy car: what is open then is what boost opens.
#[test]
fn what_only_boost_shows_asks_for_a_pull() {
    let cruise = sim::Command::torque(250.0, 40.0);
    let read = healthy(&[
        ("idle", "idle = true", sim::Command::IDLE),
        (
            "cruise",
            "speed = \"2387.3 rpm\"\ntorque = \"40 N m\"",
            cruise,
        ),
    ]);
    let answer = planned("plan_boost", &read);
    // A pull tells more than any steady light load, and stands before driving idle again.
    let (pull, light) = (
        settles(&answer, "gentle_pull"),
        settles(&answer, "steady_cruise"),
    );
    let pull = pull.max(settles(&answer, "full_pull"));
    assert!(pull > 2.0 * light && pull > 10.0, "{answer:#}");
    let first = names(&answer)[0];
    assert!(
        ["gentle_pull", "full_pull", "steady_load"].contains(&first),
        "{first}"
    );
}

/// Nothing is known: an idle tells a hole behind the throttle for the least danger and time. And
/// whatever is offered stays within what a loaded test is broken off at.
#[test]
fn what_sucks_at_idle_asks_for_an_idle_and_nothing_is_beyond_the_limits() {
    let answer = planned("plan_bare", "");
    assert_eq!(names(&answer)[0], "warm_idle", "{answer:#}");
    let limit = sim::study::workshop::procedures::OfCar::new(&car().vehicle).abort_boost() / 1e3;
    let all = answer["manoeuvres"].as_array().unwrap();
    assert!(all.len() > 3, "{:?}", names(&answer));
    for one in all {
        let boost = one["boost_kpa"].as_f64().unwrap();
        assert!(boost <= limit, "{}: {boost} of {limit}", one["manoeuvre"]);
        let loads = one["risk"] != "idling";
        let stop = one["stop"].to_string();
        assert_eq!(loads, stop.contains("boost passes"), "{stop}");
        let cautions = one["procedure"]["cautions"].to_string();
        assert_eq!(loads, cautions.contains("second person"), "{cautions}");
    }
    // Of the two ways to pull, the one at full load counts four times its minutes.
    let full = all.iter().find(|one| one["manoeuvre"] == "full_pull");
    assert!(full.is_none_or(|full| full["danger_weight"] == 4.0));
}

/// Lean under boost: nothing that loads the engine.
#[test]
fn while_a_danger_is_open_nothing_is_loaded() {
    let answer = planned(
        "plan_lean",
        "[[condition]]\nname = \"pull\"\nspeed = \"3500 rpm\"\npedal = \"100 %\"\n\
         commanded_lambda = 0.9\n[condition.readings]\nmetered_air = \"95 g/s\"\n\
         lambda = 1.05\nboost_sensor = \"80 kPa gauge\"\n",
    );
    assert!(
        !answer["dangers"].as_array().unwrap().is_empty(),
        "{answer:#}"
    );
    for one in answer["manoeuvres"].as_array().unwrap() {
        assert_eq!(one["risk"], "idling", "{one:#}");
    }
    let held: Vec<&str> = (answer["withheld"].as_array().unwrap().iter())
        .map(|one| one["manoeuvre"].as_str().unwrap())
        .collect();
    for loaded in [
        "gentle_pull",
        "full_pull",
        "steady_load",
        "steady_cruise",
        "overrun",
    ] {
        assert!(held.contains(&loaded), "{loaded}: {held:?}");
    }
}
