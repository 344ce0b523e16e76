//! Two hundred operating points drawn by chance, with the program's own answers, as JSON:
//! what the page's engine must agree with.

use page_engine::point::steady;
use serde_json::{Value, json};
use sim::study::judging::diagnose::garage::Chance;

const CASES: usize = 200;
const PLACES: [&str; 16] = [
    "before_meter",
    "inlet_duct",
    "breather_union",
    "recirculation_seat",
    "recirculation_diaphragm",
    "recirculation_cover",
    "hot_pipe",
    "cooler_tank",
    "cold_pipe",
    "manifold_gasket",
    "vacuum_line",
    "wastegate_signal",
    "crankcase",
    "ventilation_valve",
    "exhaust_manifold",
    "before_oxygen_sensor",
];

fn leak(chance: &mut Chance) -> Value {
    let place = PLACES[chance.below(PLACES.len())];
    let mm = |value: f64| format!("{value} mm");
    let shape = match chance.below(4) {
        0 => json!({ "round_hole": { "diameter": mm(chance.between(0.5, 4.0)) } }),
        1 => json!({ "slot": {
            "gap": mm(chance.between(0.05, 0.5)), "length": "20 mm", "depth": "3 mm",
        } }),
        2 => json!({ "bowed_cover": {
            "gap": mm(chance.between(0.05, 0.5)), "spans": 4, "span_length": "20 mm",
            "depth": "3 mm",
        } }),
        _ => json!({ "ring_gap": {
            "pipe_diameter": "10 mm", "bore_diameter": mm(chance.between(10.05, 10.6)),
            "depth": "2 mm",
        } }),
    };
    let mut leak = shape;
    leak["place"] = place.into();
    leak
}

fn point(chance: &mut Chance) -> Value {
    let speed = format!("{} rpm", chance.between(1500.0, 5500.0).round());
    match chance.below(3) {
        0 => json!({ "name": "idle", "idle": true }),
        1 => json!({ "name": "part load", "speed": speed,
            "torque": format!("{} N m", chance.between(20.0, 90.0)) }),
        _ => json!({ "name": "full load", "speed": speed, "pedal": "100 %" }),
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = std::env::args().nth(1).ok_or("give a vehicle as JSON")?;
    let vehicle = std::fs::read_to_string(path)?;
    let mut chance = Chance::new(20_260_101);
    let mut cases = Vec::new();
    for _ in 0..CASES {
        let scenario = json!({
            "title": "drawn", "vehicle": "drawn",
            "ambient": {
                "temperature": format!("{} degC", chance.between(-10.0, 40.0)),
                "altitude": format!("{} m", chance.between(0.0, 2000.0)),
            },
            "leak": [leak(&mut chance)],
            "point": [point(&mut chance)],
        });
        let answer: Value = serde_json::from_str(&steady(&vehicle, &scenario.to_string())?)?;
        cases.push(json!({ "scenario": scenario, "answer": answer }));
    }
    println!("{}", json!({ "vehicle": vehicle, "cases": cases }));
    Ok(())
}
