//! Lean under boost and too much boost: said first, believed, and nobody is sent to load the
//! engine. Limits are the project's own choice (P); what lies beside them is checked.

use super::*;
use serde_json::Value;
use sim::control::BoostControl;
use sim::study::judging::diagnose::evidence::Read;
use sim::study::judging::diagnose::next::next_tests;
use sim::study::running::dangers::{Aims, Driven, Hazard, LEAN, LEANEST, OVERBOOST};
use sim::study::running::simulate::Comparison;

/// Idle and cruise of a healthy car, and full load with these readings.
fn case(codes: &str, full_load: &str) -> String {
    format!(
        "codes = [{codes}]\n\
        [[condition]]\nname = \"idle\"\nidle = true\n[condition.readings]\n\
        metered_air = \"1.97 g/s\"\nshort_trim = \"0.6 %\"\nlong_trim = \"-2.1 %\"\n\
        manifold_pressure = \"30.8 kPa abs\"\n\
        [[condition]]\nname = \"cruise\"\nspeed = \"2400 rpm\"\ntorque = \"42 N m\"\n\
        [condition.readings]\nmetered_air = \"17.1 g/s\"\nshort_trim = \"-0.4 %\"\n\
        long_trim = \"-1.9 %\"\nmanifold_pressure = \"54.9 kPa abs\"\n\
        [[condition]]\nname = \"full load\"\nspeed = \"3500 rpm\"\npedal = \"100 %\"\n\
        [condition.readings]\nmetered_air = \"93.5 g/s\"\nlong_trim = \"-1.5 %\"\n{full_load}"
    )
}

const LEAN_CASE: &str = "lambda = 1.02\nboost_sensor = \"85 kPa gauge\"\n";

/// Lean beside a hole that leaks boost.
const LEAKING: &str = "codes = []\n\
    [[condition]]\nname = \"idle\"\nidle = true\n[condition.readings]\n\
    metered_air = \"2.06 g/s\"\nlong_trim = \"-6.5 %\"\nmanifold_pressure = \"30.8 kPa abs\"\n\
    [[condition]]\nname = \"full load\"\nspeed = \"3500 rpm\"\npedal = \"100 %\"\n\
    [condition.readings]\nmetered_air = \"101.8 g/s\"\nlong_trim = \"-14.1 %\"\nlambda = 1.12\n\
    manifold_pressure = \"184.7 kPa abs\"\nboost_sensor = \"83.9 kPa gauge\"\n\
    wastegate_solenoid_duty = \"46 %\"\n";

/// The answer as a table, as JSON and as a page.
fn answers(name: &str, rest: &str) -> (String, Value, String) {
    let file = readings_file(name, rest);
    let file = file.to_str().unwrap();
    let page = scratch(&format!("{name}.html"));
    let run = falseair(&["diagnose", file, "--report", page.to_str().unwrap()]);
    assert!(run.status.success(), "{name}: {}", text(&run.stderr));
    let table = falseair(&["diagnose", file]);
    let json = falseair(&["diagnose", file, "--format", "json"]);
    (
        text(&table.stdout),
        serde_json::from_slice(&json.stdout).unwrap(),
        std::fs::read_to_string(page).unwrap(),
    )
}

/// A danger of this kind stands first in every form, and nothing asks to load the engine.
fn endangered(name: &str, rest: &str, kind: &str, words: &[&str]) -> Value {
    let (table, json, page) = answers(name, rest);
    let danger = &json["dangers"][0];
    assert_eq!(danger["kind"], kind, "{name}: {json:#}");
    let said = danger["words"].as_str().unwrap();
    assert!(said.contains("Do not run it under load until"), "{said}");
    assert!(table.starts_with("DANGER"), "{name}:\n{table}");
    let head = &page[page.find("<h1>").unwrap()..page.find("</header>").unwrap()];
    assert!(head.contains("Danger:"), "{name}: {head}");
    let flat = table.split_whitespace().collect::<Vec<_>>().join(" ");
    for word in words.iter().chain(&["not run it under load until"]) {
        for (form, text) in [("json", said), ("table", &flat), ("page", head)] {
            assert!(
                text.contains(word),
                "{name}, {form}: `{word}` not in {text}"
            );
        }
    }
    assert_ne!(json["verdict"], "no_fault_shown", "{}", json["says"]);
    let healthy = ["are those of a healthy car", "are those of a healthy car"];
    assert!(healthy.iter().all(|words| !flat.contains(words)), "{table}");
    // Readings taken at idle may be taken again.
    let mut doubtful = flat.split(" fits nothing");
    let mut before = doubtful.next().unwrap_or_default();
    for after in doubtful {
        let past = after.find("read it again once the danger is past");
        let calm = before.ends_with("at idle") || past.is_some_and(|at| at < 40);
        assert!(calm, "{name}:\n{table}");
        before = after;
    }
    assert!(json["dangers"].as_array().unwrap().len() < 3, "{json:#}");
    let beyond = danger["readings"].as_array().unwrap();
    for h in json["hypotheses"].as_array().unwrap() {
        assert!(!beyond.contains(&h["bad_reading"]), "{name}: {}", h["name"]);
    }
    unloaded(name, &json);
    json
}

fn unloaded(name: &str, json: &Value) {
    let tests = json["next_tests"].as_array().unwrap();
    assert!(!tests.is_empty(), "{name}: what to do at all?");
    let first = match json["dangers"][0]["kind"].as_str() {
        Some("overboost") => ["wastegate_hand_pump", "sensors_standing"],
        _ => ["fuel_pressure", "gas_analyser"],
    };
    assert!(
        tests[..2]
            .iter()
            .all(|test| first.contains(&test["test"].as_str().unwrap()))
    );
    for test in tests {
        // The turbo's speed may be read at idle.
        let key = test["test"].as_str().unwrap().replace("krpm", "");
        let what = test["what"].as_str().unwrap();
        for loads in [
            "full_load",
            "cruise",
            "pull",
            "rpm",
            "back_pressure",
            "cooler_pressures",
        ] {
            assert!(!key.contains(loads), "{name}: {key}");
        }
        assert!(!what.contains("full load"), "{name}: {what}");
    }
}

#[test]
fn lean_at_full_load_is_said_first() {
    let words = ["ean under boost at full load", "1.020", "0.900", "0.950"];
    let json = endangered("lean", &case("", LEAN_CASE), "lean_under_boost", &words);
    let danger = &json["dangers"][0];
    assert_eq!(danger["condition"], "full load");
    assert_eq!(danger["aim_from"], "vehicle_file");
    for (key, value) in [("read", 1.02), ("aim", 0.9), ("most", 0.95)] {
        assert_eq!(danger[key].as_f64(), Some(value), "{danger:#}");
    }
}

#[test]
fn lean_beside_a_leak_is_said_first_and_not_set_aside() {
    endangered("lean_leak", LEAKING, "lean_under_boost", &["1.120"]);
}

#[test]
fn overboost_is_said_first() {
    let read = "lambda = 0.9\nboost_sensor = \"140 kPa gauge\"\n";
    let words = ["boost 140.0 kPa", "85.0 kPa", "100.0 kPa", "P0234"];
    endangered("over", &case("\"P0234\"", read), "overboost", &words);
}

/// A code alone, and with all readings in order.
#[test]
fn a_code_that_tells_of_a_danger_is_one() {
    let well = "lambda = 0.9\nboost_sensor = \"85 kPa gauge\"\n";
    for (code, kind) in [("P0234", "overboost"), ("P2191", "lean_under_boost")] {
        let quoted = format!("\"{code}\"");
        let json = endangered(code, &case(&quoted, well), kind, &[code]);
        assert_eq!(json["dangers"][0]["condition"], Value::Null);
    }
}

#[test]
fn without_a_danger_the_array_is_there_and_empty() {
    let well = "lambda = 0.9\nboost_sensor = \"85 kPa gauge\"\n";
    let (table, json, page) = answers("no_danger", &case("", well));
    assert_eq!(json["dangers"], Value::Array(Vec::new()));
    assert_eq!(json["remarks"], Value::Array(Vec::new()));
    assert!(!table.contains("DANGER") && !page.contains("Danger:"));
}

/// What the car itself commands goes before what its file says.
#[test]
fn what_is_commanded_by_the_car_is_the_aim() {
    let rich = "lambda = 0.9\nboost_sensor = \"85 kPa gauge\"\n";
    let commanded = |aims: &str| {
        case("", rich).replace("pedal = \"100 %\"\n", &format!("pedal = \"100 %\"\n{aims}"))
    };
    let lambda = commanded("commanded_lambda = 0.84\n");
    let json = endangered("commanded", &lambda, "lean_under_boost", &["0.840"]);
    assert_eq!(json["dangers"][0]["aim_from"], "read_from_the_car");
    let boost = commanded("commanded_boost = \"60 kPa gauge\"\n");
    endangered("commanded_boost", &boost, "overboost", &["60.0 kPa"]);
}

/// An estimate states no aim: lambda counts from 1.00, and that is said once.
#[test]
fn where_no_aim_is_known_it_is_said_once() {
    let note = "Nobody has stated what lambda and boost this car aims at";
    let estimated = |lambda: &str| {
        let read = format!("lambda = {lambda}\nboost_sensor = \"85 kPa gauge\"\n");
        format!("car = \"estimated\"\n{}", case("", &read))
    };
    let (table, json, page) = answers("estimated", &estimated("1.00"));
    assert_eq!(json["dangers"], Value::Array(Vec::new()));
    let flat = table.split_whitespace().collect::<Vec<_>>().join(" ");
    assert_eq!(flat.matches(note).count(), 1, "{table}");
    assert_eq!(page.matches(note).count(), 1);
    assert_eq!(json["remarks"].as_array().unwrap().len(), 1);
    let words = ["1.010", "not known"];
    let json = endangered("guess", &estimated("1.01"), "lean_under_boost", &words);
    assert_eq!(json["dangers"][0]["aim"], Value::Null);
    let stated = estimated("1.03").replace(
        "pedal = \"100 %\"\n",
        "pedal = \"100 %\"\ncommanded_lambda = 0.97\n",
    );
    // What the car commands is heard; at full load nothing leaner than 1 and its swing is allowed all the
    // same.
    endangered("stated_lean", &stated, "lean_under_boost", &["1.030"]);
    let stated = stated.replace("lambda = 1.03", "lambda = 1.01");
    let (_, json, _) = answers("stated", &stated);
    assert_eq!(json["dangers"], Value::Array(Vec::new()));
    assert_eq!(json["remarks"], Value::Array(Vec::new()));
}

/// No danger.
pub(super) const NONE: [Hazard; 0] = [];

/// The car at full load and 3500 rpm, or as `change` has it.
pub(super) fn judged(
    estimated: bool,
    reads: &[(R, f64)],
    change: impl FnOnce(&mut Driven),
) -> Vec<Hazard> {
    let car = car();
    let mut driven = Driven {
        name: "point".into(),
        speed: Some(366.5),
        pedal: Some(1.0),
        reads: reads.to_vec(),
        ..Driven::default()
    };
    change(&mut driven);
    let aims = Aims {
        vehicle: Some(&car.vehicle),
        ambient: car.ambient.pressure,
        estimated,
    };
    let found = aims.dangers(&driven).into_iter();
    found.map(|danger| danger.hazard).collect()
}

/// Both sides of every limit, the limit itself being allowed.
#[test]
fn limits_hold_from_both_sides() {
    let lean = [Hazard::LeanUnderBoost];
    let over = [Hazard::Overboost];
    let lambda = |estimated, lambda| {
        let reads = [(R::LambdaSensor, lambda), (R::BoostSensor, 85.0)];
        judged(estimated, &reads, |_| ())
    };
    assert_eq!(lambda(false, 0.9 + LEAN), NONE);
    assert_eq!(lambda(false, 0.9 + LEAN + 0.001), lean);
    assert_eq!(lambda(true, LEANEST), NONE);
    assert_eq!(lambda(true, LEANEST + 0.001), lean);
    let most = 85.0 + OVERBOOST * 1e-3;
    for reading in [R::Boost, R::BoostSensor] {
        assert_eq!(judged(false, &[(reading, most)], |_| ()), NONE);
        assert_eq!(judged(false, &[(reading, most + 0.1)], |_| ()), over);
        // Twice as far above an estimate.
        assert_eq!(judged(true, &[(reading, 115.0)], |_| ()), NONE);
        assert_eq!(judged(true, &[(reading, 115.1)], |_| ()), over);
    }
    // The manifold tells it too, from the air around.
    let manifold = |gauge: f64| [(R::Manifold, 101.325 + gauge)];
    assert_eq!(judged(false, &manifold(99.9), |_| ()), NONE);
    assert_eq!(judged(false, &manifold(100.1), |_| ()), over);
}

/// Under boost is what was read; without a reading, full load.
#[test]
fn lean_counts_under_boost_only() {
    let lean = [Hazard::LeanUnderBoost];
    let at = |boost: Option<f64>, lambda: f64, pedal: Option<f64>| {
        let mut reads = vec![(R::LambdaSensor, lambda)];
        reads.extend(boost.map(|kilo| (R::BoostSensor, kilo)));
        judged(false, &reads, |driven| driven.pedal = pedal)
    };
    assert_eq!(at(None, 1.02, Some(1.0)), lean);
    assert_eq!(at(None, 1.2, Some(0.5)), NONE);
    assert_eq!(at(Some(9.9), 1.02, Some(1.0)), NONE);
    assert_eq!(at(Some(10.1), 1.02, Some(1.0)), lean);
    // Part load aims at 1 by closed loop.
    assert_eq!(at(Some(30.0), 1.05, Some(0.5)), NONE);
    assert_eq!(at(Some(30.0), 1.051, Some(0.5)), lean);
    // No pedal told, but the boost of full load; and less.
    assert_eq!(at(Some(85.0), 1.02, None), lean);
    assert_eq!(at(Some(40.0), 1.02, None), NONE);
}

/// Healthy cars of the shipped makes at full load, however their boost is controlled.
#[test]
fn healthy_cars_at_full_load_are_in_no_danger() {
    for make in ["brindle-16", "tamsel-20"] {
        let path = root().join(format!("scenarios/vehicles/{make}.toml"));
        let vehicle: sim::network::Vehicle<f64> = falseair::input::read_toml(&path).unwrap();
        for (_, control, _) in BoostControl::WORDS {
            let mut vehicle = vehicle.clone();
            vehicle.boost.control = *control;
            for rpm in [2000.0, 3500.0, 5000.0, 6000.0] {
                let speed = rpm * std::f64::consts::PI / 30.0;
                let command = sim::control::Command::full_load(speed);
                let air = sim::scenario::Surroundings::STANDARD.ambient();
                let car = Network::new(vehicle.clone(), Vec::new(), air, command);
                let side = Comparison::new(&car).point("full load", command).healthy;
                let side = side.unwrap();
                let all = [R::LambdaSensor, R::Boost, R::BoostSensor, R::Manifold];
                let reads = all.map(|reading| (reading, side.readings.get(reading).unwrap()));
                let aims = Aims {
                    vehicle: Some(&vehicle),
                    ambient: air.pressure,
                    estimated: false,
                };
                let found = aims.dangers(&Driven {
                    name: "full load".into(),
                    speed: Some(speed),
                    pedal: Some(1.0),
                    reads: reads.to_vec(),
                    ..Driven::default()
                });
                assert!(found.is_empty(), "{make} {control} {rpm}: {found:?}");
            }
        }
    }
}

/// Drawn healthy cars with scattered instruments.
#[test]
fn healthy_readings_raise_no_danger() {
    for seed in 1..=20 {
        let found = diagnose(&read(&car(), &[], seed)).dangers;
        assert!(found.is_empty(), "{seed}: {found:?}");
    }
}

/// Whatever the dangerous value and whatever else is read, no hypothesis sets it aside, the car
/// is not called healthy, and no test loads it.
#[test]
fn a_dangerous_reading_is_never_the_bad_one() {
    for (reading, values) in [
        (R::LambdaSensor, [0.98, 1.02, 1.12, 1.4]),
        (R::BoostSensor, [103.0, 115.0, 140.0, 250.0]),
    ] {
        for (i, value) in values.into_iter().enumerate() {
            for faults in [&[][..], &[("leak: cold pipe", 5e-3)]] {
                let mut found = read(&car(), faults, 70 + i as u64);
                let is = |read: &Read| read.reading == reading && read.condition == 2;
                let index = found.reads.iter().position(is).unwrap();
                found.reads[index].value = value;
                let answer = diagnose(&found);
                let said = format!("{reading:?} {value}: {}", summary(&answer));
                // A mixture that does not burn is two: lean, and raw fuel.
                assert_eq!(
                    answer.dangers.len(),
                    1 + usize::from(value == 1.4),
                    "{said}"
                );
                assert_ne!(answer.verdict, Verdict::NoFaultShown, "{said}");
                let mut all = answer.hypotheses.iter();
                assert!(all.all(|h| h.posterior.fit.bad != Some(index)), "{said}");
                for test in next_tests(ladders(), &found, &answer) {
                    let loads = ["full_load", "cruise", "back_pressure", "cooler_pressures"];
                    let calm = loads.iter().all(|word| !test.test.contains(word));
                    assert!(calm, "{}: {said}", test.test);
                }
            }
        }
    }
}

/// A pull that runs out of fuel high up, beyond the speeds at which a pull is judged.
#[test]
fn a_pull_that_runs_lean_raises_the_danger() {
    let short = std::fs::read_to_string(vehicle()).unwrap();
    let limited = "[fuelling]\ninjector_limit = \"8.9 g/s\"\n";
    let car = scratch("short-of-fuel.toml");
    std::fs::write(&car, short.replace("[fuelling]\n", limited)).unwrap();
    let drive = "title = \"pull\"\nvehicle = \"short-of-fuel.toml\"\n\
        [[drive]]\nname = \"idle\"\nduration = \"20 s\"\npedal = \"0 %\"\ncoupling = \"neutral\"\n\
        [[drive]]\nname = \"slow\"\nduration = \"12 s\"\npedal = \"25 %\"\ncoupling = \"held\"\n\
        speed = \"2000 rpm\"\n\
        [[drive]]\nname = \"pull\"\nduration = \"14 s\"\npedal = \"100 %\"\nramp = \"0.2 s\"\n\
        coupling = \"in_gear\"\n";
    let scenario = scratch("pull.toml");
    std::fs::write(&scenario, drive).unwrap();
    let log = scratch("pull.csv");
    let [scenario, log] = [&scenario, &log].map(|path| path.to_str().unwrap());
    let run = falseair(&[
        "simulate", scenario, "--time", "--format", "csv", "--out", log,
    ]);
    assert!(run.status.success(), "{}", text(&run.stderr));
    let json = endangered(
        "pulled",
        "[log]\nfile = \"pull.csv\"\n",
        "lean_under_boost",
        &["ean under boost at pull"],
    );
    let at = json["dangers"][0]["condition"].as_str().unwrap();
    let rpm: f64 = at.split(' ').nth(1).unwrap().parse().unwrap();
    assert!(rpm > 4600.0, "{at}");
}
