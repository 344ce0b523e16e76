//! `falseair diagnose`: a readings file to the faults that fit.

mod form;
mod page;
mod picture;
mod words;

use crate::answer::dangers::Danger;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::input::log;
use crate::input::readings::Readings;
use crate::input::twins::Twins;
use crate::page::Page;
use form::DiagnosisFile;
use sim::study::judging::diagnose::confirm::Confirm;
use sim::study::judging::diagnose::evidence::Evidence;
use sim::study::judging::diagnose::foreseen::Outlook;
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::next::{NextTest, next_tests};
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use std::path::PathBuf;

pub(crate) const HELP: &str = "\
Examples:
  falseair diagnose scenarios/readings/lean-at-idle.toml
  falseair diagnose READINGS.toml --pairs --format json

`falseair schema readings --format table` lists what a readings file may hold.
Exit codes: 0 an answer, 2 input that cannot be used.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("diagnose", schema::<Diagnosed>);

/// Options of `diagnose`.
#[derive(Debug, clap::Args)]
pub struct Diagnose {
    /// File with the vehicle, how the car was driven, and what was read.
    pub readings: PathBuf,
    /// A drive log, instead of the one that the file names, or beside its conditions.
    #[arg(long, value_name = "LOG.csv")]
    pub log: Option<PathBuf>,
    /// Rows of the log a second, where no column of it holds the time.
    #[arg(long, value_name = "NUMBER", value_parser = log::rate)]
    pub samples_per_second: Option<f64>,
    /// This car while healthy: a readings file, or a folder of them, beside those that the file
    /// names.
    #[arg(long, value_name = "READINGS")]
    pub twin: Option<PathBuf>,
    /// Folder of healthy cars (`falseair twin`): this car's own records in it, else those of its
    /// sisters; instead of the one that the file names as `twins`.
    #[arg(long, value_name = "FOLDER")]
    pub twins: Option<PathBuf>,
    /// Consider two faults at once even where one explains every reading.
    #[arg(long)]
    pub pairs: bool,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// What was found.
struct Diagnosed {
    /// The files.
    readings: Readings,
    /// Healthy cars beside it.
    twins: Twins,
    /// Predictions.
    ladders: Ladders,
    /// What was found.
    evidence: Evidence,
    /// The answer.
    diagnosis: Diagnosis,
    /// What to do next, best first.
    next: Vec<NextTest>,
    /// Where the car may be driven for it.
    outlook: Outlook,
    /// How the likeliest fault is confirmed.
    confirm: Option<Confirm>,
}

/// Reads a readings file and the vehicle it names, and judges.
fn diagnosed(options: &Diagnose) -> Result<Diagnosed, Trouble> {
    let asked = (options.log.as_deref(), options.samples_per_second);
    let mut readings = Readings::read(&options.readings, asked)?;
    let doubt = readings.doubt()?;
    let (twin, folder) = (options.twin.as_deref(), options.twins.as_deref());
    let mut twins = Twins::read(&mut readings, &doubt, twin, folder)?;
    let mut beside = std::mem::take(&mut twins.beside);
    beside.passed.extend(std::mem::take(&mut readings.passed));
    let (ladders, evidence) = readings.prepared(doubt, beside)?;
    let diagnosis = Diagnosis::considered(&ladders, &evidence, options.pairs);
    let diagnosis = diagnosis.map_err(|why| Trouble::Other(why.to_string()))?;
    let next = next_tests(&ladders, &evidence, &diagnosis);
    let outlook = Outlook::new(&ladders, &diagnosis);
    // What fits nothing is not confirmed.
    let fits = diagnosis.verdict != Verdict::NothingFits;
    let confirm = fits.then(|| Confirm::new(&ladders, &evidence, &diagnosis, &outlook));
    let confirm = confirm.flatten();
    Ok(Diagnosed {
        readings,
        twins,
        outlook,
        confirm,
        ladders,
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
    let found = diagnosed(options)?;
    options.asked.answer(&found)
}

impl Answers for Diagnosed {
    type Data<'a> = DiagnosisFile;

    fn data(&self) -> DiagnosisFile {
        form::file(self)
    }

    fn dangers(&self) -> Vec<Danger> {
        self.diagnosis.dangers.iter().map(Danger::from).collect()
    }

    fn cautions(&self) -> Option<Vec<String>> {
        let own = words::in_records(self).into_iter();
        Some(own.chain(words::foreseen(self)).collect())
    }

    fn page(&self) -> Page {
        page::page(self)
    }
}
