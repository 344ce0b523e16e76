//! `falseair vehicle fit`: a healthy log of this very car to its numbers.

mod beside;
mod page;

use crate::answer::options::within;
use crate::answer::write::{OutFile, Output};
use crate::answer::written::{Digits, vehicle_file};
use crate::answer::{Answer, Form, Plain, SchemaOf, Trouble, schema};
use crate::input::beside::beside;
use crate::input::log::{self, Log, Mapped, Only, Taken, mapping, only, rate, read};
use crate::input::read_toml;
use crate::say::vehicle_fit as say;
use clap::ValueEnum;
use clap::ValueHint;
use page::File;
use sim::control::Command;
use sim::network::{Network, Reading, Vehicle};
use sim::scenario::Surroundings;
use sim::study::knowing::doubt::CarDoubt;
use sim::study::knowing::log::Channel;
use sim::study::making::fit::{Fit, Watched, fit, watched};
use sim::units::Dimension;
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Example:
  falseair vehicle fit my-car.toml --log healthy.csv --out fitted.toml

The log is one of the car while nothing is wrong with it: idle, some cruises,
full load. Beside FITTED.toml stands FITTED.doubt.toml: what stays uncertain,
for a diagnosis.

Exit codes: 0 a fit, 1 the car cannot be fitted, 2 input that cannot be used.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("vehicle-fit", schema::<page::File>);

/// Options of `vehicle fit`.
#[derive(Debug, clap::Args)]
pub struct FitArgs {
    /// Vehicle file.
    pub file: PathBuf,
    /// Log of the car while it is healthy.
    #[arg(long, value_name = "LOG.csv")]
    pub log: PathBuf,
    /// TOML file that says what the log's columns are.
    #[arg(long, value_name = "FILE.toml")]
    pub mapping: Option<PathBuf>,
    /// Only rows of the log with this word in this column.
    #[arg(long, value_name = "COLUMN=WORD", value_parser = only)]
    pub only: Option<Only>,
    /// Rows of the log a second, where no column of it holds the time.
    #[arg(long, value_name = "NUMBER", value_parser = rate)]
    pub samples_per_second: Option<f64>,
    /// Temperature of the air around the car, where the log does not hold it.
    #[arg(long, value_name = "TEMPERATURE", value_parser = temperature)]
    pub ambient: Option<f64>,
    /// How well the vehicle file is known before.
    #[arg(long, value_enum, default_value_t = Known::Measured)]
    pub known: Known,
    /// File for the fitted car.
    #[arg(long, value_name = "FITTED.toml", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Form of the answer.
    #[arg(long, default_value = "table", value_parser = Form::parser::<Plain>())]
    pub format: Form,
}

/// How well a vehicle file is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Known {
    /// From ten numbers or another car of its make: twice the usual spread.
    Estimated,
    /// Measured numbers: the usual spread between healthy cars.
    Measured,
}

fn temperature(text: &str) -> Result<f64, String> {
    within(text, Dimension::Temperature, (230.15, 330.15))
}

/// A fit and all that the answer says.
struct Fitted {
    fit: Fit,
    log: Log,
    notes: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; a result that cannot be written.
pub fn run(options: &FitArgs) -> Result<Answer, Trouble> {
    let vehicle: Vehicle = read_toml(&options.file)?;
    let asked = log::Asked {
        only: options.only.as_ref(),
        interval: options.samples_per_second,
    };
    let mapping = mapping(options.mapping.as_deref(), asked)?;
    let log = read(&options.log, &mapping)?.judged(&options.log)?;
    let mut notes = log.notes.clone();
    let air = air(&log, options, &mut notes);
    let mut around = Surroundings::STANDARD.ambient();
    around.pressure = log.ambient;
    around.temperature = air.unwrap_or(around.temperature);
    let car = Network::new(vehicle, Vec::new(), around, Command::IDLE);
    let conditions = watched(&log.windows, &log.pulls, air.is_some());
    if !conditions.iter().any(Watched::is_full_load) {
        notes.push(say::NO_FULL_LOAD.into());
    }
    let times = match options.known {
        Known::Estimated => 2.0,
        Known::Measured => 1.0,
    };
    let doubt = CarDoubt::usual(&car, times);
    let fit = match fit(&car, &conditions, &doubt) {
        Ok(fit) => fit,
        Err(why) => {
            let said = std::iter::once(format!("{}: {why}", car.vehicle.name));
            let notes = notes.into_iter().map(|note| format!("the log: {note}"));
            return Ok(Answer::none(said.chain(notes).collect()));
        }
    };
    let fitted = Fitted { fit, log, notes };
    let files = match &options.out {
        Some(file) => written(options, file, &fitted)?.into(),
        None => Vec::new(),
    };
    let text = options.format.of(&File::new(options, &fitted))?;
    Ok(Answer::given(text, None, Vec::new()).with(files))
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
    let known = beside::text(file, &fitted.fit.known, &options.log);
    Ok([file.holding(text), file.beside(doubt, known)])
}
