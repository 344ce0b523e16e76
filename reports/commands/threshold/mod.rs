//! `falseair threshold`: from which size on a leak shows, place by place; and how
//! large a gap may be that must not.

mod form;
mod page;

use crate::answer::dangers::Danger;
use crate::answer::options::engine_speed;
use crate::answer::{Answer, Answers, Asked, Every, SchemaOf, Trouble, schema};
use crate::input::case::car;
use crate::page::Page;
use crate::say::threshold as say;
use form::ThresholdFile;
use rayon::prelude::*;
use sim::control::Command;
use sim::network::{Defect, Leak};
use sim::study::asking::threshold::{HOLES, Symptom, Thresholds, Watch, tolerance};
use sim::study::running::dangers::Hazard;
use std::f64::consts::PI;
use std::path::PathBuf;

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("threshold", schema::<Found>);

/// Options of `threshold`.
#[derive(Debug, clap::Args)]
pub struct Threshold {
    /// Vehicle file.
    pub vehicle: PathBuf,
    /// What to watch for; may be given again. `fuel_trim_pct > 10`, a change
    /// from the healthy car (`boost_kpa down 5`, `torque_nm down 3 %`, `lambda off
    /// 0.03`), `shaft_krpm > limit`, a code (`P0171`), `code` for any.
    #[arg(long = "symptom", value_name = "SYMPTOM", value_parser = Symptom::read)]
    pub symptoms: Vec<Symptom>,
    /// Where to watch: `idle`, `cruise`, or full load at an engine speed, `3500 rpm`.
    #[arg(long, value_name = "POINT", value_delimiter = ',', value_parser = point)]
    pub points: Vec<At>,
    /// The other way round: a leak, written as in a scenario file, of which the largest gap is wanted
    /// that shows none of the symptoms; the gap that you write is the largest tried.
    #[arg(long, value_name = "LEAK", value_parser = tolerated)]
    pub tolerance: Option<Defect>,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked<Every>,
}

/// A point to watch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum At {
    /// Pedal released, engine free.
    Idle,
    /// Light cruise.
    Cruise,
    /// Full load at a speed, rad/s.
    FullLoad(f64),
}

/// What was found.
struct Found {
    /// The car's name.
    car: String,
    /// What is watched for.
    symptoms: Vec<Symptom>,
    /// Where.
    points: Vec<String>,
    /// One row each.
    rows: Vec<(Defect, Thresholds)>,
}

fn point(text: &str) -> Result<At, String> {
    match text.trim() {
        "idle" => Ok(At::Idle),
        "cruise" => Ok(At::Cruise),
        speed => match engine_speed(speed) {
            Ok(speed) => Ok(At::FullLoad(speed)),
            Err(why) => Err(format!("write `idle`, `cruise` or {why}")),
        },
    }
}

#[derive(serde::Deserialize)]
struct Given {
    leak: Leak<f64>,
}

fn tolerated(text: &str) -> Result<Defect, String> {
    let inline = format!("leak = {{ {text} }}");
    let read: Given = toml::from_str(&inline).map_err(|e| e.message().to_string())?;
    tolerance(read.leak)
}

/// Answers `falseair threshold`.
///
/// # Errors
/// The vehicle file cannot be used, the car runs at none of the points, the answer
/// cannot be written.
pub fn threshold(options: &Threshold) -> Result<Answer, Trouble> {
    let car = car(&options.vehicle)?;
    let mut points = Watch::usual_points(&car);
    if !options.points.is_empty() {
        let cruise = points[1].1;
        let chosen = options.points.iter().map(|at| match at {
            At::Idle => ("idle".into(), Command::IDLE),
            At::Cruise => ("cruise".into(), cruise),
            At::FullLoad(speed) => (
                format!("full load {:.0}", speed * 30.0 / PI),
                Command::full_load(*speed),
            ),
        });
        points = chosen.collect();
    }
    let watch = Watch::at(&car, points);
    let points: Vec<String> = watch.points().map(String::from).collect();
    if points.is_empty() {
        let message = "the healthy car runs at none of these points".to_string();
        return Err(Trouble::Other(message));
    }
    let symptoms = match options.symptoms.is_empty() {
        true => Symptom::usual(),
        false => options.symptoms.clone(),
    };
    let (all, least) = match options.tolerance {
        Some(Defect::Leak(leak)) => (vec![Defect::Leak(leak)], leak.shape.measure().least),
        _ => (Defect::holes(HOLES.1), HOLES.0),
    };
    let rows = all.par_iter();
    let rows = rows.map(|worst| (*worst, watch.thresholds(*worst, least, &symptoms)));
    options.asked.answer(&Found {
        rows: rows.collect(),
        car: car.vehicle.name,
        symptoms,
        points,
    })
}

impl Answers for Found {
    type Data<'a> = ThresholdFile;

    fn data(&self) -> ThresholdFile {
        form::file(self)
    }

    fn dangers(&self) -> Vec<Danger> {
        let all = Hazard::all().filter_map(|hazard| {
            let by = self.rows.iter().flat_map(|(worst, found)| {
                let mut found = found.dangers.iter();
                let found = found.find(|(known, ..)| *known == hazard);
                found.map(|(_, point, size)| say::danger_from(worst.label(), size * 1e3, point))
            });
            let by: Vec<String> = by.collect();
            (!by.is_empty()).then(|| Danger::brought(hazard, &by))
        });
        all.collect()
    }

    fn page(&self) -> Page {
        match self.rows.as_slice() {
            [(worst @ Defect::Leak(leak), found)] => page::tolerance(self, worst, leak, found),
            _ => page::page(self),
        }
    }

    fn csv(&self) -> Result<String, Trouble> {
        form::csv(&self.data())
    }
}
