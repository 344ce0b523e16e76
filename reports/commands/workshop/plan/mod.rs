//! `falseair workshop plan`.

mod page;

use crate::answer::how::How;
use crate::answer::{Answer, Asked, SchemaOf, Trouble, schema};
use crate::input::case::car;
use crate::page::record::{digits, fixed};
use crate::record;
use crate::say::{workshop, workshop_plan as say};
use sim::study::workshop::in_car::normal_boost;
use sim::study::workshop::plan::{Stage, TIGHT, Tight, plan};
use sim::study::workshop::procedures::Protection;
use sim::units::round;
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Examples:
  falseair workshop plan scenarios/vehicles/brindle-16.toml
  falseair workshop plan my-car.toml --format json --out plan.json

Exit codes: 0 an answer, 2 input that cannot be used, with the reason.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("workshop-plan", schema::<File>);

/// Options of `workshop plan`.
#[derive(Debug, clap::Args)]
pub struct Plan {
    /// Vehicle file.
    pub(super) vehicle: PathBuf,
    #[command(flatten)]
    pub(super) asked: Asked,
}

record! {
    /// A round, sharp-edged hole.
    struct Hole {
        /// Of the hole.
        diameter_mm: f64 = "hole" "mm" fixed(1);
        /// At the step's pressure.
        flow_g_s: f64 = "flow" "g/s" digits(3);
        /// At 20 degC and 101.325 kPa abs.
        flow_l_min: f64 = "flow" "L/min" digits(3);
        /// Until half the pressure is left.
        half_pressure_s: Option<f64> = "half the pressure left after" "s" digits(2);
    }

    /// A place with what holes there show.
    struct Spot {
        /// Its name.
        place: &'static str;
        /// From small to large.
        holes: Vec<Hole>;
    }

    /// A test.
    struct Step {
        /// From 1.
        step: usize;
        /// Its name.
        name: &'static str;
        /// Highest, gauge.
        pressure_kpa: f64;
        /// The same.
        pressure_psi: f64;
        /// Why no more.
        why: String;
        /// Of all that is shut in.
        volume_l: Option<f64>;
        /// How it is done.
        procedure: How;
        /// What a tight car shows.
        tight: String;
        /// Until half the pressure is left, where valves and rings let out air.
        tight_half_pressure_s: Option<f64>;
        /// Largest hole that hides behind the limit.
        tight_hole_mm: Option<f64>;
        /// What the step reaches.
        places: Vec<Spot>;
    }

    /// Tests in their order.
    struct File {
        /// The answer in a sentence.
        says: String;
        /// The car's name.
        vehicle: String;
        /// Gauge.
        normal_boost_kpa: f64;
        /// In order.
        steps: Vec<Step>;
        /// What stays open.
        warnings: Vec<String>;
        /// For every such test.
        cautions: Vec<&'static str>;
    }
}

const KPA_PER_PSI: f64 = 6.894_757_293_168;
/// kg/m³ of air at 20 degC and 101.325 kPa abs, R = 287.05 J/(kg K).
const DENSITY: f64 = 1.204_1;

pub(super) fn run(options: &Plan) -> Result<Answer, Trouble> {
    let network = car(&options.vehicle)?;
    let stages = plan(&network.vehicle, &network.ambient);
    let boost = normal_boost(&network.vehicle);
    let pressures = stages.iter().map(|stage| stage.pressure);
    let firmest = pressures.fold(0.0, f64::max);
    let [smoke, firmest, normal] =
        [stages[0].pressure, firmest, boost].map(|pressure| round(pressure / 1e3, 3));
    let name = &network.vehicle.name;
    let steps = stages.iter().enumerate();
    let file = File {
        says: says(&stages, name, &[smoke, firmest, normal]),
        vehicle: name.clone(),
        normal_boost_kpa: boost / 1e3,
        steps: steps.map(|(i, stage)| Step::new(i + 1, stage)).collect(),
        warnings: Vec::new(),
        cautions: workshop::TEST.into_iter().chain(say::MORE).collect(),
    };
    options.asked.answer(&file)
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
            procedure: How::new(&stage.procedure),
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

/// The plan in a sentence: which steps shut the crankcase in, and which are safe only with it open.
fn says(stages: &[Stage], name: &str, [smoke, firmest, normal]: &[String; 3]) -> String {
    let those = |protection: Protection| {
        let numbers = stages.iter().zip(1..).filter_map(|(stage, i): (_, usize)| {
            let with = stage.procedure.protection.contains(&protection);
            with.then(|| i.to_string())
        });
        listed(&numbers.collect::<Vec<_>>())
    };
    let (shut, open) = (those(Protection::MachineRelief), those(Protection::CapOff));
    say::steps(stages.len(), name, smoke, firmest, normal, shut, open)
}

/// `3, 4 and 8`.
fn listed(all: &[String]) -> String {
    match all {
        [rest @ .., last] if !rest.is_empty() => format!("{} and {last}", rest.join(", ")),
        _ => all.join(""),
    }
}

fn tight(stage: &Stage) -> String {
    match stage.tight {
        Tight::NoSmoke => say::NO_SMOKE.into(),
        Tight::Holds(hole) => say::holds(
            round(TIGHT.0 / 1e3, 3),
            TIGHT.1,
            round((hole * 1e3).max(0.01), 2),
        ),
        Tight::Rings(half) => say::rings(round(half, 2)),
    }
}
