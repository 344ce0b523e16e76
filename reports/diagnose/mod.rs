//! `falseair diagnose`: a readings file to the faults that fit.

mod form;
mod words;

use crate::input::{Source, read_toml};
use crate::simulate::{Answer, Trouble};
use clap::ValueEnum;
use sim::network::Vehicle;
use sim::study::diagnose::atlas::Atlas;
use sim::study::diagnose::evidence::Evidence;
use sim::study::diagnose::file::ReadingsFile;
use sim::study::diagnose::next::{NextTest, next_tests};
use sim::study::diagnose::ranking::Diagnosis;
use std::path::{Path, PathBuf};

pub(crate) const HELP: &str = "\
Examples:
  falseair diagnose scenarios/readings/lean-at-idle.toml
  falseair diagnose READINGS.toml --pairs --format json

`falseair schema readings --format table` lists what a readings file may hold.
Exit codes: 0 an answer, 2 input that cannot be used.";

/// Options of `diagnose`.
#[derive(Debug, clap::Args)]
pub struct Diagnose {
    /// File with the vehicle, how the car was driven, and what was read.
    pub readings: PathBuf,
    /// Consider two faults at once as well.
    #[arg(long)]
    pub pairs: bool,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = Form::Table)]
    pub format: Form,
    /// File for the answer, instead of the terminal.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
}

/// Form of a diagnosis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// For reading, at most 80 columns.
    Table,
    /// For programs.
    Json,
}

/// Everything the output forms need.
pub struct Diagnosed {
    /// What the file says.
    pub file: ReadingsFile,
    /// The car's name.
    pub car: String,
    /// Predictions.
    pub atlas: Atlas,
    /// What was found.
    pub evidence: Evidence,
    /// The answer.
    pub diagnosis: Diagnosis,
    /// What to do next, best first.
    pub next: Vec<NextTest>,
}

/// Reads a readings file and the vehicle it names, and judges.
///
/// # Errors
/// Files that cannot be used.
pub fn diagnosed(path: &Path, pairs: bool) -> Result<Diagnosed, Trouble> {
    let source = Source::read(path)?;
    let file: ReadingsFile = source.parse()?;
    let car = path.parent().unwrap_or(Path::new("")).join(&file.vehicle);
    if !car.is_file() {
        let message = format!("the vehicle file `{}` cannot be read", car.display());
        return Err(source.error_at("vehicle", message).into());
    }
    let vehicle: Vehicle<f64> = read_toml(&car)?;
    let name = vehicle.name.clone();
    let at = |m: sim::scenario::Mistake| Trouble::from(source.error_at(&m.key, m.message));
    let (atlas, evidence) = file.prepared(vehicle).map_err(at)?;
    let diagnosis = Diagnosis::new(&atlas, &evidence, pairs).map_err(Trouble::Other)?;
    let next = next_tests(&atlas, &evidence, &diagnosis);
    Ok(Diagnosed {
        file,
        car: name,
        atlas,
        evidence,
        diagnosis,
        next,
    })
}

/// Answers `falseair diagnose`.
///
/// # Errors
/// Files that cannot be used; an answer that cannot be written.
pub fn diagnose(options: &Diagnose) -> Result<Answer, Trouble> {
    let found = diagnosed(&options.readings, options.pairs)?;
    let text = match options.format {
        Form::Table => words::table(&found),
        Form::Json => form::json(&found)?,
    };
    Answer::given(text, options.out.as_deref(), Vec::new())
}
