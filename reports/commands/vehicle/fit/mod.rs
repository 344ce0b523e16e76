//! `falseair vehicle fit`: a healthy log or readings of this very car to its numbers.

mod beside;
mod page;
mod picture;

use crate::answer::options::within;
use crate::answer::write::{OutFile, Output};
use crate::answer::written::{Digits, vehicle_file};
use crate::answer::{Answer, Answers, Form, Pictures, Plain, SchemaOf, Trouble, schema};
use crate::input::beside::beside;
use crate::input::log::{self, Log, Mapped, Only, Taken, mapping, only, rate, read};
use crate::input::{Source, read_toml};
use crate::say::vehicle_fit as say;
use clap::ValueEnum;
use clap::ValueHint;
use page::File;
use sim::control::Command;
use sim::network::{self, Ambient, Network, Reading, Vehicle};
use sim::scenario::{Mistake, Surroundings};
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::knowing::doubt::CarDoubt;
use sim::study::knowing::log::Channel;
use sim::study::making::fit::{Fit, Watched, fit, watched};
use sim::units::Dimension;
use std::path::{Path, PathBuf};

pub(super) const HELP: &str = "\
Examples:
  falseair vehicle fit my-car.toml --log healthy.csv --out fitted.toml
  falseair vehicle fit my-car.toml --readings healthy.toml --out fitted.toml

The log or the readings are those of the car while nothing is wrong with it:
idle, some cruises, full load. What the engine computer aims at is taken first,
then volumetric efficiency, meter, wastegate, heat. Beside FITTED.toml stands
FITTED.doubt.toml: what stays uncertain, for a diagnosis. What the fitted car
does not follow is named; no number is bent to hide it.

Exit codes: 0 a fit that follows every reading, 1 one that does not, or none,
2 input that cannot be used.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("vehicle-fit", schema::<page::File>);

/// Options of `vehicle fit`.
#[derive(Debug, clap::Args)]
pub struct FitArgs {
    /// Vehicle file.
    pub file: PathBuf,
    /// Log of the car while it is healthy.
    #[arg(long, value_name = "LOG.csv", required_unless_present = "readings")]
    pub log: Option<PathBuf>,
    /// Readings of the car while it is healthy, instead of a log.
    #[arg(long, value_name = "READINGS.toml",
        conflicts_with_all = ["log", "mapping", "only", "samples_per_second", "ambient"])]
    pub readings: Option<PathBuf>,
    /// TOML file that says what the log's columns are.
    #[arg(long, value_name = "FILE.toml")]
    pub mapping: Option<PathBuf>,
    /// Only rows of the log with this word in this column.
    #[arg(long, value_name = "COLUMN=WORD", value_parser = only)]
    pub only: Option<Only>,
    /// Rows of the log per second, where no column of it holds the time.
    #[arg(long, value_name = "NUMBER", value_parser = rate)]
    pub samples_per_second: Option<f64>,
    /// Temperature of the air around the car, where the log does not hold it.
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature)]
    pub ambient: Option<f64>,
    /// How well the vehicle file was known before the fit; left out: as it says itself.
    #[arg(long, value_enum)]
    pub known: Option<Known>,
    /// File for the fitted car.
    #[arg(long, value_name = "FITTED.toml", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Form of the answer.
    #[arg(long, default_value = "table", value_parser = Form::parser::<Plain>())]
    pub format: Form,
    /// All of the answer: nothing is left out or folded away.
    #[arg(long)]
    pub full: bool,
    /// Page and pictures.
    #[command(flatten)]
    pub pictures: Pictures,
}

impl FitArgs {
    /// The file that the car is fitted to.
    fn read(&self) -> &Path {
        let read = self.log.as_deref().or(self.readings.as_deref());
        read.unwrap_or(Path::new(""))
    }
}

/// How well a vehicle file is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Known {
    /// From ten numbers or another car of its make: twice the usual spread; aims, volumetric
    /// efficiency and duty are open, and there is room for what no number says.
    Estimated,
    /// Measured numbers: the usual spread between healthy cars, and what the computer aims at.
    Measured,
}

fn temperature(text: &str) -> Result<f64, String> {
    within(text, Dimension::Temperature, (230.15, 330.15))
}

/// A fit and all that the answer says.
struct Fitted {
    fit: Fit,
    known: network::Known,
    /// What it was fitted to, in words.
    about: String,
    notes: Vec<String>,
}

/// What a car is fitted to.
struct Healthy {
    watched: Vec<Watched>,
    around: Ambient,
    about: String,
    notes: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; a result that cannot be written.
pub fn run(options: &FitArgs) -> Result<Answer, Trouble> {
    let vehicle: Vehicle = read_toml(&options.file)?;
    let known = match options.known {
        Some(Known::Estimated) => network::Known::Estimated,
        Some(Known::Measured) => network::Known::Measured,
        None => vehicle.known,
    };
    let healthy = match &options.readings {
        Some(readings) => typed(readings, &vehicle)?,
        None => logged(options)?,
    };
    let Healthy {
        watched,
        around,
        about,
        mut notes,
    } = healthy;
    if !watched.iter().any(Watched::is_full_load) {
        notes.push(say::NO_FULL_LOAD.into());
    }
    let car = Network::new(vehicle, Vec::new(), around, Command::IDLE);
    let fit = match fit(&car, &watched, &CarDoubt::to_fit(&car, known)) {
        Ok(fit) => fit,
        Err(why) => {
            let said = std::iter::once(format!("{}: {why}", car.vehicle.name));
            let notes = notes.into_iter().map(say::of_the_readings);
            return Ok(Answer::none(said.chain(notes).collect()));
        }
    };
    let out = fit.out.iter();
    notes.extend(out.map(|(name, why)| say::not_run(name, why)));
    let fitted = Fitted {
        fit,
        known,
        about,
        notes,
    };
    let files = match &options.out {
        Some(file) => written(options, file, &fitted)?.into(),
        None => Vec::new(),
    };
    let file = File::new(options, &fitted);
    let drawn = options.pictures.drawn(|| Ok(file.said()))?;
    let text = options.format.whole(&file, options.full)?;
    let unfollowed = file.unfollowed().collect();
    Ok(Answer::given(text, None, unfollowed)
        .with(files)
        .with(drawn))
}

/// Readings that were typed in.
fn typed(path: &Path, vehicle: &Vehicle) -> Result<Healthy, Trouble> {
    let source = Source::read(path)?;
    let file: ReadingsFile = source.parse()?;
    if file.log.is_some() {
        return Err(source.error_at("log", say::GIVE_LOG).into());
    }
    let at = |m: Mistake| Trouble::from(source.error_at(&m.key, m.message));
    let car = file.network(vehicle.clone()).map_err(at)?;
    let watched = file.watched(&car).map_err(at)?;
    let count: usize = watched.iter().map(|watched| watched.reads.len()).sum();
    Ok(Healthy {
        around: car.ambient,
        about: say::about_readings(path.display(), count, watched.len()),
        watched,
        notes: Vec::new(),
    })
}

fn logged(options: &FitArgs) -> Result<Healthy, Trouble> {
    let path = options.read();
    let asked = log::Asked {
        only: options.only.as_ref(),
        interval: options.samples_per_second,
    };
    let mapping = mapping(options.mapping.as_deref(), asked)?;
    let log = read(path, &mapping)?.judged(path)?;
    let mut notes = log.notes.clone();
    let air = air(&log, options, &mut notes);
    let mut around = Surroundings::STANDARD.ambient();
    around.pressure = log.ambient;
    around.temperature = air.unwrap_or(around.temperature);
    Ok(Healthy {
        watched: watched(&log.windows, &log.pulls, air.is_some()),
        around,
        about: say::about_log(path.display(), log.rows, log.seconds),
        notes,
    })
}

/// Temperature of the air outside, K; none, with a note, where nobody says it.
fn air(log: &Log, options: &FitArgs, notes: &mut Vec<String>) -> Option<f64> {
    if options.ambient.is_some() {
        return options.ambient;
    }
    let means = log
        .windows
        .iter()
        .filter_map(|window| window.get(Channel::AmbientTemperature));
    let means: Vec<f64> = means.map(|average| average.mean).collect();
    if !means.is_empty() {
        return Some(means.iter().sum::<f64>() / means.len() as f64 + 273.15);
    }
    let intake = Taken::Reading(Channel::Read(Reading::IntakeTemperature));
    if log.mapping.iter().any(|m: &Mapped| m.taken == intake) {
        notes.push(say::NO_AMBIENT.into());
    }
    None
}

/// The car's file and that of its doubt.
fn written(options: &FitArgs, file: &OutFile, fitted: &Fitted) -> Result<[Output; 2], Trouble> {
    let doubt = beside(file);
    let vehicle = &fitted.fit.car.vehicle;
    let text = vehicle_file(vehicle, &page::notes(options, fitted), Digits::Six);
    let known = beside::text(file, &fitted.fit.known, options.read(), fitted.known);
    Ok([file.holding(text), file.beside(doubt, known)])
}
