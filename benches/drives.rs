//! Logs of drives of cars that the model did not make (`off_model`), known by their plates: healthy,
//! with a hole at the manifold or in the pipes, with a look-alike; alone and beside a log of the
//! same car while healthy. Run: `cargo bench --bench drives [-- CARS]` (12 of each unless told)
//! `[further | furthest]`.

#[path = "off_model/asked.rs"]
mod asked;
#[path = "off_model/drive.rs"]
mod drive;
#[path = "off_model/engine.rs"]
mod engine;
#[path = "off_model/path.rs"]
mod path;
#[path = "off_model/plate.rs"]
mod plate;
#[path = "off_model/types.rs"]
mod types;

use engine::Wrong;
use falseair::input::Source;
use falseair::input::log::{Mapping, read_bytes};
use rayon::prelude::*;
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::garage::Chance;
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use sim::{Vehicle, size};
use std::path::Path;
use std::time::Instant;

const CASES: [(&str, Wrong, &[&str]); 11] = [
    ("healthy", Wrong::Nothing, &[]),
    (
        "manifold 3 mm",
        Wrong::Hole(3, 3e-3),
        &["manifold_gasket", "vacuum_line"],
    ),
    ("cold pipe 3 mm", Wrong::Hole(2, 3e-3), PIPES),
    ("cold pipe 5 mm", Wrong::Hole(2, 5e-3), PIPES),
    ("cold pipe 8 mm", Wrong::Hole(2, 8e-3), PIPES),
    (
        "meter low",
        Wrong::Meter(0.86),
        &["meter_reads_low", "manifold_sensor_low"],
    ),
    ("fuel low", Wrong::Fuel(0.86), &["fuel_delivery_low"]),
    (
        "wastegate open",
        Wrong::GateOpen(0.7),
        &["wastegate_stuck_open"],
    ),
    (
        "bypass open",
        Wrong::Recirculation(1.5e-4),
        &["recirculation_stuck_open", "recirculation_seat"],
    ),
    ("tired", Wrong::Tired(0.88), &["tired_engine"]),
    ("misfire", Wrong::Dead(0.25), &["misfiring_cylinder"]),
];
const PIPES: &[&str] = &["hot_pipe", "cooler_tank", "cold_pipe"];

/// What came out.
struct Outcome {
    case: usize,
    twin: bool,
    accused: bool,
    cleared: bool,
    definite: bool,
    /// The truth is first, or not told from what is.
    right: bool,
    used: f64,
    seconds: f64,
    first: String,
}

fn file(text: &str) -> Result<ReadingsFile, String> {
    let source = Source::from_text(Path::new("readings"), text);
    source.parse().map_err(|e| e.render(false))
}

/// A log as a readings file, and the share of its time that is judged by.
fn logged(text: &str, vehicle: &Vehicle, entry: &str) -> Result<(ReadingsFile, f64), String> {
    let log = read_bytes(Path::new("log"), text.as_bytes(), &Mapping::default());
    let log = log.map_err(|e| e.render(false))?;
    let mut judged = log.drive().judged();
    let mut file = file(&format!("vehicle = \"x\"\n{entry}"))?;
    file.condition = judged.conditions.clone();
    file.ambient.pressure = Some(log.ambient);
    let all = file.condition.len();
    let drivable = file.drivable(vehicle, 0..all).map_err(|m| m.message)?;
    judged.without(&drivable.out);
    Ok((file, judged.used() / log.warm))
}

fn one(
    vehicle: &Vehicle,
    kind: usize,
    case: usize,
    twin: bool,
    seed: u64,
) -> Result<Outcome, String> {
    let mut chance = Chance::new(seed);
    let car = types::drawn(&types::kind(kind), &mut chance);
    let rate = [1, 5, 10][seed as usize % 3];
    let mut logs = |wrong| {
        drive::log(&car, wrong, rate, 1, &mut chance).ok_or("the car does not run".to_string())
    };
    let now = logs(CASES[case].1)?;
    let entry = "[[baseline]]\nreadings = \"healthy\"\nof = \"this_car\"\n";
    let start = Instant::now();
    let (now, used) = logged(&now, vehicle, if twin { entry } else { "" })?;
    let twins = match twin {
        true => vec![(0, logged(&logs(Wrong::Nothing)?, vehicle, "")?.0)],
        false => Vec::new(),
    };
    let beside = Beside {
        twins,
        ..Beside::default()
    };
    let prepared = now.prepared(vehicle.clone(), |car| Ok(now.doubt(car)), beside);
    let (ladders, evidence) = prepared.map_err(|m| m.message)?;
    let diagnosis = Diagnosis::new(&ladders, &evidence, false).map_err(|e| e.to_string())?;
    let means = |i: &usize| {
        let faults = &diagnosis.hypotheses[*i].posterior.faults;
        let key = faults.first().map(|f| ladders.suspects[*f].key());
        let split = |key: &str| key.trim_end_matches("_split").to_string();
        match case {
            0 => key.is_none(),
            _ => key.is_some_and(|key| CASES[case].2.contains(&split(&key).as_str())),
        }
    };
    let definite = matches!(diagnosis.verdict, Verdict::Fault | Verdict::OneOfSeveral);
    Ok(Outcome {
        case,
        twin,
        accused: definite || diagnosis.verdict == Verdict::NothingFits,
        cleared: diagnosis.verdict == Verdict::NoFaultShown,
        definite,
        right: diagnosis.group(0).iter().any(means),
        used,
        seconds: start.elapsed().as_secs_f64(),
        first: diagnosis.hypotheses[0].name(&ladders),
    })
}

fn main() {
    let count = std::env::args().filter_map(|a| a.parse().ok()).next_back();
    let count: usize = count.unwrap_or(12);
    let asked = asked::types();
    let most = asked.len();
    let cars = asked.filter_map(|kind| {
        let plate = plate::plate(&types::kind(kind))?;
        Some((kind, size(&plate).ok()?.vehicle))
    });
    let cars: Vec<(usize, Vehicle)> = cars.collect();
    println!("{} of {most} plates give a car", cars.len());
    let todo: Vec<(usize, bool, usize)> = [false, true]
        .into_iter()
        .flat_map(|twin| (0..CASES.len()).map(move |case| (twin, case)))
        .flat_map(|(twin, case)| (0..count).map(move |i| (case, twin, i)))
        .collect();
    let outcomes = todo.par_iter().map(|(case, twin, i)| {
        let (kind, vehicle) = &cars[i % cars.len()];
        one(vehicle, *kind, *case, *twin, (*i + 1) as u64)
    });
    let outcomes: Vec<Result<Outcome, String>> = outcomes.collect();
    for why in outcomes.iter().filter_map(|o| o.as_ref().err()) {
        println!("no answer: {why}");
    }
    let all: Vec<&Outcome> = outcomes.iter().flatten().collect();
    println!(
        "case, judged beside: accused, cleared, definite, truth first, time used %, s a diagnosis"
    );
    for twin in [false, true] {
        for (case, (name, ..)) in CASES.iter().enumerate() {
            let of: Vec<&&Outcome> = (all.iter())
                .filter(|o| o.case == case && o.twin == twin)
                .collect();
            let count = |what: fn(&Outcome) -> bool| of.iter().filter(|o| what(o)).count();
            let mean = |what: fn(&Outcome) -> f64| {
                of.iter().map(|o| what(o)).sum::<f64>() / of.len().max(1) as f64
            };
            println!(
                "{name:16} {:8} {:3} {:3} {:3} {:3} of {:3}  {:4.0} {:6.2}",
                if twin { "healthy" } else { "plate" },
                count(|o| o.accused),
                count(|o| o.cleared),
                count(|o| o.definite),
                count(|o| o.right),
                of.len(),
                100.0 * mean(|o| o.used),
                mean(|o| o.seconds),
            );
            for o in of.iter().filter(|o| o.definite && !o.right) {
                println!("    wrong: {}", o.first);
            }
        }
    }
}
