//! `falseair diagnose`: a readings file to the faults that fit.

mod drive;
mod form;
mod page;
mod picture;
mod plan;
mod twins;
mod words;

use crate::answer::dangers::Danger;
use crate::answer::gist::Gist;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::input::beside::{beside, read_beside};
use crate::input::case::vehicle;
use crate::input::log::{Log, Mapping};
use crate::input::{InputError, Source, log};
use crate::page::Page;
use form::DiagnosisFile;
use sim::network::{Known, Network, Vehicle};
use sim::scenario::Mistake;
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::confirm::Confirm;
use sim::study::judging::diagnose::evidence::Evidence;
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::foreseen::Outlook;
use sim::study::judging::diagnose::from_log::Judged;
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::manoeuvres;
use sim::study::judging::diagnose::next::{NextTest, next_tests};
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use sim::study::knowing::doubt::CarDoubt;
use std::path::{Path, PathBuf};

pub(crate) const HELP: &str = "\
Examples:
  falseair diagnose scenarios/readings/lean-at-idle.toml
  falseair diagnose READINGS.toml --pairs --format json

`falseair schema readings --format table` lists what a readings file may hold.
Exit codes: 0 an answer, 2 input that cannot be used.";

/// The schemas of its answers.
pub(crate) const ANSWERS: [SchemaOf; 2] = [("diagnose", schema::<Diagnosed>), plan::ANSWER];

/// Options of `diagnose`.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct Diagnose {
    /// File with the vehicle, how the car was driven, and what was read.
    #[arg(required = true)]
    pub readings: Option<PathBuf>,
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
    /// Consider two faults at once even where one explains every reading.
    #[arg(long)]
    pub pairs: bool,
    /// Read the log again when it has grown, and say what is new, until the answer stands (the
    /// same verdict and faults three times, over a minute of the log) or Ctrl-C; files are written
    /// then.
    #[arg(long, requires = "log")]
    pub follow: bool,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
    /// What else it can do.
    #[command(subcommand)]
    pub task: Option<Task>,
}

/// What else `diagnose` can do.
#[derive(Debug, clap::Subcommand)]
pub enum Task {
    /// What to drive next while a log is taken: what tells most per minute, and is safe.
    #[command(after_help = plan::HELP)]
    Plan(plan::PlanArgs),
}

/// What a diagnosis is made from.
struct From<'a> {
    readings: &'a Path,
    log: Option<&'a Path>,
    interval: Option<f64>,
    twin: Option<&'a Path>,
    pairs: bool,
    /// Whether it is to be planned what to drive: then there need be no reading yet.
    plan: bool,
}

/// What was found.
struct Diagnosed {
    /// What the file says.
    file: ReadingsFile,
    /// The car's name.
    car: String,
    /// Predictions.
    ladders: Ladders,
    /// What was found.
    evidence: Evidence,
    /// How the log was read, where there was one.
    log: Option<Log>,
    /// Conditions of it that the model cannot follow, and why.
    out: Vec<(String, String)>,
    /// What of it is judged by.
    judged: Option<Judged>,
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
fn diagnosed(from: &From) -> Result<Diagnosed, Trouble> {
    let source = Source::read(from.readings)?;
    let mut file: ReadingsFile = source.parse()?;
    let asked = (from.log, from.interval);
    let log = read_log(&source, file.log.as_ref(), asked)?;
    let (mut watched, mut judged) = (Vec::new(), None);
    if let Some(log) = &log {
        let drive = log.drive().judged();
        file.condition.extend(drive.conditions.iter().cloned());
        judged = Some(drive);
        watched = log.drive().passed();
        file.ambient.pressure = file.ambient.pressure.or(Some(log.ambient));
    }
    let loose = judged.as_ref().map_or(0, |judged| judged.conditions.len());
    let car = vehicle(&source, &file.vehicle)?;
    let vehicle: Vehicle = car.parse()?;
    let car = car.path();
    let twins = twins::read(&source, &mut file, from.twin, &vehicle)?;
    let name = vehicle.name.clone();
    let all = file.condition.len();
    let at = |m: Mistake| Trouble::from(source.error_at(&m.key, m.message));
    let out = file.drivable(&vehicle, all - loose..all).map_err(at)?;
    if let Some(judged) = &mut judged {
        judged.without(&out);
    }
    // A car that was fitted to its own log is known better than one of its make; what the
    // readings file says goes before.
    let known = read_beside(car)?.filter(|(_, from)| file.car.is_none_or(|said| said == *from));
    let basis = known.as_ref().map_or(vehicle.known, |(_, from)| *from);
    file.car = file.car.or(Some(basis));
    let doubt = |sound: &Network<f64>| match &known {
        Some((known, from)) => {
            let other = match from {
                Known::Estimated => CarDoubt::of_a_plate(sound),
                _ => CarDoubt::usual(sound, 1.0),
            };
            known.over(sound, &other).map_err(|message| Mistake {
                key: "vehicle".into(),
                message: format!("{}: {message}", beside(car).display()),
            })
        }
        None => Ok(file.doubt(sound)),
    };
    let more = match from.plan {
        true => manoeuvres::conditions(&file.network(vehicle.clone()).map_err(at)?),
        false => Vec::new(),
    };
    let (ladders, evidence) = file
        .prepared_with(
            vehicle,
            doubt,
            Beside {
                passed: watched,
                twins,
            },
            &more,
        )
        .map_err(at)?;
    let diagnosis = match from.plan {
        true => Diagnosis::planned(&ladders, &evidence, from.pairs),
        false => Diagnosis::considered(&ladders, &evidence, from.pairs),
    };
    let diagnosis = diagnosis.map_err(|why| Trouble::Other(why.to_string()))?;
    let outlook = Outlook::new(&ladders, &diagnosis);
    let (mut next, mut confirm) = (Vec::new(), None);
    if !from.plan {
        next = next_tests(&ladders, &evidence, &diagnosis);
        confirm = Confirm::new(&ladders, &evidence, &diagnosis, &outlook);
    }
    Ok(Diagnosed {
        outlook,
        confirm,
        file,
        car: name,
        ladders,
        evidence,
        log,
        judged,
        out,
        diagnosis,
        next,
    })
}

/// The log that the file names, or the one given instead; read as the file says.
fn read_log(
    source: &Source,
    named: Option<&Mapping>,
    (given, interval): (Option<&Path>, Option<f64>),
) -> Result<Option<Log>, Trouble> {
    let folder = source.path().parent().unwrap_or(Path::new(""));
    let file = named.and_then(|named| named.file.as_ref());
    let path = given
        .map(PathBuf::from)
        .or(file.map(|file| folder.join(file)));
    let Some(path) = path else {
        let missing = "which log? give its `file`, or --log";
        return match (named, interval) {
            (Some(_), _) => Err(source.error_at("log", missing).into()),
            (None, Some(_)) => {
                let message =
                    "--samples-per-second is said of a log, and there is none: give --log";
                Err(InputError::new(source.path(), message).into())
            }
            (None, None) => Ok(None),
        };
    };
    let mut mapping = named.cloned().unwrap_or_default();
    mapping.interval = interval.or(mapping.interval);
    Ok(Some(log::read(&path, &mapping)?.judged(&path)?))
}

/// Answers `falseair diagnose`.
///
/// # Errors
/// Files that cannot be used; an answer that cannot be written.
pub fn diagnose(options: &Diagnose) -> Result<Answer, Trouble> {
    if let Some(Task::Plan(plan)) = &options.task {
        return plan::run(plan);
    }
    let missing = || Trouble::Other("a readings file is needed".into());
    let found = diagnosed(&From {
        readings: options.readings.as_deref().ok_or_else(missing)?,
        log: options.log.as_deref(),
        interval: options.samples_per_second,
        twin: options.twin.as_deref(),
        pairs: options.pairs,
        plan: false,
    })?;
    Ok(options.asked.answer(&found)?.coming_to(gist(&found)))
}

/// What it comes to: verdict, and the faults that it names.
fn gist(found: &Diagnosed) -> Gist {
    let diagnosis = &found.diagnosis;
    let mut names: Vec<String> = (diagnosis.group(0).into_iter())
        .filter_map(|i| Some(diagnosis.hypotheses.get(i)?.name(&found.ladders)))
        .collect();
    names.sort();
    Gist {
        words: format!("{}: {}", words::key(diagnosis.verdict), names.join("; ")),
        seconds: found.log.as_ref().map_or(0.0, |log| log.seconds),
        decided: matches!(
            diagnosis.verdict,
            Verdict::NoFaultShown | Verdict::Fault | Verdict::OneOfSeveral
        ),
    }
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
        Some(words::foreseen(self))
    }

    fn page(&self) -> Page {
        page::page(self)
    }
}
