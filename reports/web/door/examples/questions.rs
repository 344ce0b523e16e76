//! Jobs drawn by chance, with the program's own answers, as JSON: what the bay page's engine must
//! agree with.
//!   questions VEHICLE.toml HOW_MANY

use falseair::ask::ask;
use page_engine::point::steady;
use serde_json::{Value, json};
use sim::study::judging::diagnose::garage::Chance;

const FAULTS: [(&str, f64, f64); 4] = [
    ("meter_reads", 0.85, 1.1),
    ("fuel_delivery", 0.85, 1.1),
    ("clogged_filter", 2.0, 12.0),
    ("tired_engine", 0.85, 0.98),
];
const PLACES: [&str; 8] = [
    "inlet_duct",
    "hot_pipe",
    "cold_pipe",
    "manifold_gasket",
    "vacuum_line",
    "recirculation_cover",
    "ventilation_valve",
    "exhaust_manifold",
];
/// The key in a readings file, the program's reading, its unit, digits, and how far it is off, a share.
const READ: [(&str, &str, &str, usize, f64); 5] = [
    ("metered_air", "metered_air_g_s", " g/s", 2, 0.01),
    ("long_trim", "long_trim_pct", " %", 1, 0.03),
    ("manifold_pressure", "manifold_kpa", " kPa abs", 1, 0.005),
    ("boost_sensor", "boost_sensor_kpa", " kPa gauge", 1, 0.005),
    ("lambda", "lambda_sensor", "", 3, 0.003),
];

fn trouble(chance: &mut Chance) -> Value {
    let place = PLACES[chance.below(PLACES.len())];
    let mm = format!("{:.2} mm", chance.between(0.6, 6.0));
    let leak = json!({ "place": place, "round_hole": { "diameter": mm } });
    let (fault, low, high) = FAULTS[chance.below(FAULTS.len())];
    let fault = json!({ fault: chance.between(low, high) });
    match chance.below(4) {
        0 => json!({}),
        1 => json!({ "fault": [fault] }),
        _ => json!({ "leak": [leak] }),
    }
}

/// A readings file of one drawn car; none where it does not run.
fn readings(vehicle: &str, chance: &mut Chance) -> Option<String> {
    let speed = 100.0 * chance.between(20.0, 45.0).round();
    let mut scenario = trouble(chance);
    scenario["title"] = "drawn".into();
    scenario["vehicle"] = "drawn".into();
    scenario["point"] = json!([
        { "name": "idle", "idle": true },
        { "name": "full load", "speed": format!("{speed} rpm"), "pedal": "100 %" },
    ]);
    let shown: Value = serde_json::from_str(&steady(vehicle, &scenario.to_string()).ok()?).ok()?;
    let mut text = String::from("title = \"drawn\"\nvehicle = \"car.toml\"\n");
    for point in shown["points"].as_array()? {
        let side = match &point["faulty"] {
            Value::Null => &point["healthy"],
            faulty => faulty,
        };
        let name = point["name"].as_str()?;
        text += &format!("\n[[condition]]\nname = \"{name}\"\n");
        text += &match name {
            "idle" => "idle = true\n".to_string(),
            _ => format!("speed = \"{speed} rpm\"\npedal = \"100 %\"\n"),
        };
        text += "[condition.readings]\n";
        for (key, reading, unit, digits, share) in READ {
            let value = side[reading].as_f64()? * (1.0 + share * chance.normal());
            text += &match unit {
                "" => format!("{key} = {value:.digits$}\n"),
                unit => format!("{key} = \"{value:.digits$}{unit}\"\n"),
            };
        }
    }
    Some(text)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let usage = "give a vehicle file and how many jobs";
    let path = std::env::args().nth(1).ok_or(usage)?;
    let count: usize = std::env::args().nth(2).ok_or(usage)?.parse()?;
    let car = std::fs::read_to_string(path)?;
    let read = ask(
        r#"{ "ask": "read", "file": "car.toml" }"#,
        &json!({ "car.toml": car }).to_string(),
        &mut |_| {},
    );
    let read: Value = serde_json::from_str(&read)?;
    let vehicle = read["answer"].as_str().ok_or("no vehicle")?;
    let mut chance = Chance::new(20_261_128);
    let mut cases = Vec::new();
    while cases.len() < count {
        let Some(job) = readings(vehicle, &mut chance) else {
            continue;
        };
        let question = r#"{ "ask": "diagnose", "readings": "job.toml" }"#;
        let files = json!({ "job.toml": job, "car.toml": car }).to_string();
        let answer: Value = serde_json::from_str(&ask(question, &files, &mut |_| {}))?;
        cases.push(json!({ "question": question, "files": files, "answer": answer }));
    }
    println!("{}", Value::Array(cases));
    Ok(())
}
