//! The plan of tests: safe pressures, every place, predicted readings.

use crate::{close, json, number};
use serde_json::Value;
use std::collections::BTreeSet;

const CARS: [&str; 2] = [
    "scenarios/vehicles/brindle-16.toml",
    "scenarios/vehicles/tamsel-20.toml",
];

fn steps(plan: &Value) -> &Vec<Value> {
    plan["steps"].as_array().unwrap()
}

#[test]
fn pressures_are_safe_and_every_place_is_reached() {
    for car in CARS {
        let plan = json(&["plan", car]);
        let boost = number(&plan, "normal_boost_kpa");
        let mut reached = BTreeSet::new();
        for step in steps(&plan) {
            let pressure = number(step, "pressure_kpa");
            assert!(pressure > 0.0 && pressure <= boost + 1e-9, "{step:#}");
            // P: intakes at most 20 psi; S: smoke machines 0.5 to 1.5 psi.
            assert!(pressure <= 138.0);
            let places: Vec<&str> = (step["places"].as_array().unwrap().iter())
                .map(|spot| spot["place"].as_str().unwrap())
                .collect();
            if places.contains(&"crankcase") {
                assert!(pressure <= 0.5 * 6.894757, "{step:#}");
            }
            if places.contains(&"inlet_duct") {
                assert!(pressure <= 5.0 * 6.894757);
            }
            if step["name"].as_str().unwrap().contains("smoke") {
                assert!(pressure <= 1.5 * 6.894757);
            }
            assert!(!step["procedure"]["set_up"].as_array().unwrap().is_empty());
            reached.extend(places.into_iter().map(String::from));
        }
        let all = sim::network::Place::WORDS
            .iter()
            .map(|(word, ..)| word.to_string());
        assert_eq!(reached, all.collect(), "{car}");
        let cautions = plan["cautions"].to_string();
        for word in [
            "eye protection",
            "crankcase vent",
            "Smoke fluid",
            "oxygen sensors",
            "licence",
        ] {
            assert!(cautions.contains(word), "{word}");
        }
    }
}

/// A car whose boost is below a step's own limit is tested at its boost, no higher.
#[test]
fn a_gentle_car_is_tested_gently() {
    let car = crate::root().join(CARS[0]);
    let said = std::fs::read_to_string(car).unwrap();
    let said = ["45", "85", "75", "60"].iter().fold(said, |said, kpa| {
        said.replace(&format!("\"{kpa} kPa gauge\""), "\"28 kPa gauge\"")
    });
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("gentle.toml");
    std::fs::write(&path, said).unwrap();
    let plan = json(&["plan", path.to_str().unwrap()]);
    assert_eq!(number(&plan, "normal_boost_kpa"), 28.0);
    assert!(
        steps(&plan)
            .iter()
            .all(|step| number(step, "pressure_kpa") <= 28.0)
    );
}

/// Flows by the nozzle formula with Perry's coefficient (F at the S polynomial), times as
/// `decay` predicts them for the same volume.
#[test]
fn predicted_readings() {
    let plan = json(&["plan", CARS[0]]);
    let step = &steps(&plan)[1];
    let (pressure, volume) = (number(step, "pressure_kpa"), number(step, "volume_l"));
    // Hot pipe 1.6 L and cold pipe 3.2 L.
    close("volume, L", volume, 4.8, 1e-12);
    let (up, r) = (101.325 + pressure, 101.325 / (101.325 + pressure));
    let cd = 0.8414 - 0.1002 * r + 0.8415 * r * r - 3.9 * r.powi(3) + 4.6001 * r.powi(4)
        - 1.6827 * r.powi(5);
    let psi = (2.0 * 1.4 / 0.4 * (r.powf(2.0 / 1.4) - r.powf(2.4 / 1.4))).sqrt();
    for (i, mm) in [1.0, 2.0, 3.0].into_iter().enumerate() {
        let area = std::f64::consts::PI / 4.0 * mm * mm * 1e-6;
        let flow = cd * area * up * 1e6 * psi / (287.05_f64 * 293.15).sqrt();
        let at = |key: &str| number(step, &format!("places.0.holes.{i}.{key}"));
        close("flow, g/s", at("flow_g_s"), flow, 2e-4);
        close("L/min", at("flow_l_min"), flow * 6e4 / 1e3 / 1.2041, 1e-3);
        let decay = json(&[
            "decay",
            "--volume",
            &format!("{volume} L"),
            "--bore",
            "40 mm",
            "--start-pressure",
            &format!("{pressure} kPa gauge"),
            "--end-pressure",
            &format!("{} kPa gauge", 0.5 * pressure),
            "--leak",
            &format!("round_hole diameter={mm} mm"),
        ]);
        close(
            "time",
            at("half_pressure_s"),
            number(&decay, "predicted.time_likely_s"),
            1e-6,
        );
    }
    // Tight: 1 kPa in 60 s of 4.8 L is V Δp/(R T Δt) = 0.95070e-6 kg/s (F), and its hole.
    let hole = number(step, "tight_hole_mm") * 1e-3;
    let flow = cd * std::f64::consts::PI / 4.0 * hole * hole * up * 1e3 * psi
        / (287.05_f64 * 293.15).sqrt();
    close("tight", flow, 4.8e-3 * 1e3 / (287.05 * 293.15 * 60.0), 2e-3);
    assert!(number(&steps(&plan)[2], "tight_half_pressure_s") > 3.0);
}
