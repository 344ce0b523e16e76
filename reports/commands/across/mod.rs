//! `falseair across`: readings across speed at full and light load, sound beside faulty.

mod form;
mod page;

use crate::answer::dangers::Danger;
use crate::answer::options::engine_speed;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::input::case::{Case, read};
use crate::page::Page;
use crate::say::across as say;
use form::AcrossFile;
use rayon::prelude::*;
use sim::network::Reading;
use sim::study::asking::across::{Across as Question, Load, SpeedLine, Spot};
use sim::study::running::simulate::Comparison;
use std::path::PathBuf;

pub(crate) const HELP: &str = "\
Example:
  falseair across scenarios/split-hose.toml --report across.html";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("across", schema::<Found>);

/// Options of `across`.
#[derive(Debug, clap::Args)]
pub struct Across {
    /// File that names the car, the air around it and what is wrong.
    pub scenario: PathBuf,
    /// Lowest engine speed, with its unit.
    #[arg(long, value_name = "SPEED", default_value = "1500 rpm", value_parser = engine_speed)]
    pub from: f64,
    /// Highest engine speed, with its unit.
    #[arg(long, value_name = "SPEED", default_value = "5500 rpm", value_parser = engine_speed)]
    pub to: f64,
    /// Number of speeds.
    #[arg(long, value_name = "N", default_value_t = 17, value_parser = clap::value_parser!(u16).range(2..=200))]
    pub count: u16,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// What is shown at a load.
fn shown(load: Load) -> [Reading; 6] {
    use Reading as R;
    let last = match load {
        Load::Full => R::Torque,
        Load::Light => R::Throttle,
    };
    [
        R::MeteredAir,
        R::FuelTrim,
        R::LambdaSensor,
        R::Boost,
        R::ShaftSpeed,
        last,
    ]
}

/// What was found.
struct Found {
    case: Case,
    /// One a load, in the order of [`Load::ALL`].
    lines: Vec<(Load, Vec<Spot>)>,
    map: Vec<SpeedLine>,
}

/// Its name.
fn name(load: Load) -> &'static str {
    match load {
        Load::Full => "full load",
        Load::Light => "light load",
    }
}

/// Answers `falseair across`.
///
/// # Errors
/// The scenario cannot be used, the answer cannot be written.
pub fn across(options: &Across) -> Result<Answer, Trouble> {
    if options.from >= options.to {
        let message = "--from must be below --to: both are engine speeds";
        return Err(Trouble::Other(message.into()));
    }
    let (case, _) = read(&options.scenario)?;
    let cars = Comparison::having(&case.network, case.scenario.history);
    let question = Question::new(&cars);
    let step = (options.to - options.from) / f64::from(options.count - 1);
    let speeds = (0..options.count).map(|i| options.from + step * f64::from(i));
    let wanted: Vec<(Load, f64)> = (Load::ALL.iter())
        .flat_map(|load| speeds.clone().map(|speed| (*load, speed)))
        .collect();
    let spots = wanted
        .par_iter()
        .map(|(load, at)| question.spot(*load, *at));
    let mut spots: Vec<Spot> = spots.collect();
    let light = spots.split_off(usize::from(options.count));
    let fastest = (spots.iter().chain(&light))
        .flat_map(|spot| spot.compressor.iter().flatten())
        .map(|working| working.speed)
        .fold(0.0, f64::max);
    options.asked.answer(&Found {
        map: question.map(fastest),
        lines: Load::ALL.into_iter().zip([spots, light]).collect(),
        case,
    })
}

impl Answers for Found {
    type Data<'a> = AcrossFile;

    fn data(&self) -> AcrossFile {
        AcrossFile::new(self)
    }

    fn page(&self) -> Page {
        page::page(self)
    }

    /// The worst of each kind, car and load.
    fn dangers(&self) -> Vec<Danger> {
        let mut all = Vec::new();
        for (load, spots) in &self.lines {
            for (car, faulty) in [("healthy", false), ("faulty", true)] {
                let found = spots.iter().flat_map(|spot| {
                    let at = say::at(name(*load), spot.speed * 30.0 / std::f64::consts::PI);
                    let side = match faulty {
                        false => Some(&spot.sound),
                        true => spot.faulty.as_ref(),
                    };
                    let side = side.and_then(|side| side.as_ref().ok()).into_iter();
                    let dangers = side.flat_map(|side| side.dangers.clone());
                    dangers.map(move |danger| danger.at(&at))
                });
                all.extend(Danger::all(car, "", &sim::Danger::worst(found)));
            }
        }
        all
    }

    fn failures(&self) -> Vec<String> {
        let lines = self.lines.iter();
        lines
            .flat_map(|(load, spots)| form::failures(*load, spots))
            .collect()
    }
}
