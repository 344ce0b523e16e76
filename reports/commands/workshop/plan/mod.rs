//! `falseair workshop plan`.

mod page;

use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::before::give;
use crate::commands::workshop::before::{ending, row};
use crate::commands::workshop::cautions::TEST;
use crate::input::case::car;
use crate::text::words::{heading, paragraph};
use serde::Serialize;
use sim::study::workshop::in_car::normal_boost;
use sim::study::workshop::plan::{Stage, TIGHT, Tight, plan};
use sim::units::round;
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop plan scenarios/vehicles/brindle-16.toml
  falseair workshop plan my-car.toml --format json --out plan.json

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// Options of `workshop plan`.
#[derive(Debug, clap::Args)]
pub struct Plan {
    /// The car.
    vehicle: PathBuf,
    #[command(flatten)]
    asked: Asked,
}

#[derive(Serialize)]
struct Hole {
    diameter_mm: f64,
    flow_g_s: f64,
    /// At 20 degC and 101.325 kPa abs.
    flow_l_min: f64,
    half_pressure_s: Option<f64>,
}

#[derive(Serialize)]
struct Spot {
    place: &'static str,
    holes: Vec<Hole>,
}

#[derive(Serialize)]
struct Step {
    step: usize,
    name: &'static str,
    pressure_kpa: f64,
    pressure_psi: f64,
    why: String,
    volume_l: Option<f64>,
    prepare: Vec<String>,
    read: Vec<String>,
    tight: String,
    tight_half_pressure_s: Option<f64>,
    tight_hole_mm: Option<f64>,
    places: Vec<Spot>,
}

#[derive(Serialize)]
struct File {
    says: String,
    vehicle: String,
    normal_boost_kpa: f64,
    steps: Vec<Step>,
    warnings: Vec<String>,
    cautions: Vec<&'static str>,
}

const KPA_PER_PSI: f64 = 6.894_757_293_168;
/// kg/m³ of air at 20 degC and 101.325 kPa abs, R = 287.05 J/(kg K).
const DENSITY: f64 = 1.204_1;

const MORE: [&str; 3] = [
    "Regulator and relief valve between supply and car, the relief set just above the step's \
     pressure: a workshop line has ten times what a hose bears.",
    "Smoke fluid: only what the machine's maker names, fresh air, no flames; not near an open fuel \
     line, fuel vapour burns. The engine is never run with these plugs in.",
    "Afterwards: plugs and tape out, hoses and clamps back, count them; sealant only if safe for \
     oxygen sensors; then start and look for codes, outdoors or with the exhaust drawn off.",
];

pub(super) fn run(options: &Plan) -> Result<Answer, Trouble> {
    let network = car(&options.vehicle)?;
    let stages = plan(&network.vehicle, &network.ambient);
    let boost = normal_boost(&network.vehicle);
    let firmest = stages
        .iter()
        .map(|stage| stage.pressure)
        .fold(0.0, f64::max);
    let file = File {
        says: format!(
            "{} steps for {}: smoke at {} kPa first, pressure up to {} kPa where \
             the pipes see boost (normal boost {} kPa), never more than {} kPa where it can reach \
             the crankcase's seals.",
            stages.len(),
            network.vehicle.name,
            round(stages[0].pressure / 1e3, 3),
            round(firmest / 1e3, 3),
            round(boost / 1e3, 3),
            round(stages[0].pressure / 1e3, 3),
        ),
        vehicle: network.vehicle.name.clone(),
        normal_boost_kpa: boost / 1e3,
        steps: stages
            .iter()
            .enumerate()
            .map(|(i, s)| Step::new(i + 1, s))
            .collect(),
        warnings: Vec::new(),
        cautions: TEST.into_iter().chain(MORE).collect(),
    };
    give(
        &options.asked,
        || page::page(&file),
        || table(&file, &stages),
        &file,
    )
}

impl Step {
    fn new(step: usize, stage: &Stage) -> Self {
        let holes = || {
            let holes = stage.holes.iter().map(|hole| Hole {
                diameter_mm: hole.diameter * 1e3,
                flow_g_s: hole.flow * 1e3,
                flow_l_min: hole.flow / DENSITY * 6e4,
                half_pressure_s: hole.half,
            });
            holes.collect()
        };
        let (half, hole) = match stage.tight {
            Tight::Rings(half) => (Some(half), None),
            Tight::Holds(hole) => (None, Some(hole * 1e3)),
            Tight::NoSmoke => (None, None),
        };
        Self {
            step,
            name: stage.name,
            pressure_kpa: stage.pressure / 1e3,
            pressure_psi: stage.pressure / 1e3 / KPA_PER_PSI,
            why: stage.why.clone(),
            volume_l: stage.volume.map(|v| v * 1e3),
            prepare: stage.prepare.clone(),
            read: stage.read.clone(),
            tight: tight(stage),
            tight_half_pressure_s: half,
            tight_hole_mm: hole,
            places: (stage.places.iter())
                .map(|place| Spot {
                    place: place.word(),
                    holes: holes(),
                })
                .collect(),
        }
    }
}

fn tight(stage: &Stage) -> String {
    match stage.tight {
        Tight::NoSmoke => "no smoke, and no flow that the meter tells once filled".into(),
        Tight::Holds(hole) => format!(
            "falls by less than {} kPa in {:.0} s (then no hole is above {} mm)",
            round(TIGHT.0 / 1e3, 3),
            TIGHT.1,
            round(hole * 1e3, 2)
        ),
        Tight::Rings(half) => format!(
            "valves and rings let out air: a sound engine keeps half the pressure for {} s or longer",
            round(half, 2)
        ),
    }
}

fn table(file: &File, stages: &[Stage]) -> String {
    let mut text = String::new();
    paragraph(&mut text, "", &file.says);
    paragraph(
        &mut text,
        "",
        "Holes are round and sharp; times are until half the pressure is left.",
    );
    for (step, stage) in file.steps.iter().zip(stages) {
        heading(&mut text, &format!("{} {}", step.step, step.name));
        let pressure = format!(
            "{} kPa gauge ({} psi) at most: {}",
            round(step.pressure_kpa, 3),
            round(step.pressure_psi, 2),
            step.why
        );
        paragraph(&mut text, "pressure  ", &pressure);
        for line in &step.prepare {
            paragraph(&mut text, "[ ] ", line);
        }
        for line in &step.read {
            paragraph(&mut text, "    ", line);
        }
        if let Some(volume) = step.volume_l {
            row(&mut text, "volume", &format!("{} L", round(volume, 3)));
        }
        row(&mut text, "tight", &step.tight);
        for hole in &stage.holes {
            let mut words = format!(
                "{} g/s, {} L/min",
                round(hole.flow * 1e3, 3),
                round(hole.flow / DENSITY * 6e4, 3)
            );
            if let Some(half) = hole.half {
                words += &format!(", {} s", round(half, 2));
            }
            row(
                &mut text,
                &format!("{} mm hole", round(hole.diameter * 1e3, 2)),
                &words,
            );
        }
        let places: Vec<String> = (stage.places.iter())
            .map(|place| place.word().replace('_', " "))
            .collect();
        paragraph(&mut text, "at: ", &places.join(", "));
    }
    ending(&mut text, &file.warnings, &file.cautions);
    text
}
