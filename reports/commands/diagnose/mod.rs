//! `falseair diagnose`: a readings file to the faults that fit.

mod compare;
mod drive;
mod foreseen;
mod form;
mod page;
mod picture;
mod plan;
mod words;

use crate::answer::dangers::Danger;
use crate::answer::gist::Gist;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::input::log;
use crate::input::readings::Readings;
use crate::input::twins::Twins;
use crate::page::Page;
use compare::Compared;
use form::DiagnosisFile;
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::confirm::Confirm;
use sim::study::judging::diagnose::evidence::Evidence;
use sim::study::judging::diagnose::foreseen::Outlook;
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
  falseair diagnose BEFORE.toml --compare AFTER.toml --report both.html

`falseair schema readings --format table` lists what a readings file may hold.
Exit codes: 0 an answer, 2 input that cannot be used.";

/// The schemas of its answers.
pub(crate) const ANSWERS: [SchemaOf; 3] = [
    ("diagnose", schema::<Diagnosed>),
    ("diagnose-compare", schema::<Compared>),
    plan::ANSWER,
];

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
    /// Rows of the log per second, where no column of it holds the time.
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
    /// A second readings file to compare with: before and after a repair, or two cars. A log or a healthy
    /// car beside it is named in each file; not with --log, --twin or --follow.
    #[arg(long, value_name = "READINGS", conflicts_with_all = ["log", "samples_per_second", "twin", "follow"])]
    pub compare: Option<PathBuf>,
    /// Consider two faults at once even where one explains every reading.
    #[arg(long)]
    pub pairs: bool,
    /// Read the log again when it has grown, and say what is new, until the answer stands: the same
    /// verdict and faults three times, over a minute of the log. Only then are files written; Ctrl-C
    /// ends it without them.
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
    twins: Option<&'a Path>,
    pairs: bool,
    /// Whether it is to be planned what to drive: then there need be no reading yet.
    plan: bool,
    /// Whether a first look at a long log is told before the whole of it is judged.
    glance: bool,
}

impl From<'_> {
    fn judge(
        &self,
        ladders: &Ladders,
        evidence: &Evidence,
        pairs: bool,
    ) -> Result<Diagnosis, Trouble> {
        let judged = match self.plan {
            true => Diagnosis::planned(ladders, evidence, pairs),
            false => Diagnosis::new(ladders, evidence, pairs),
        };
        judged.map_err(|why| Trouble::Other(why.to_string()))
    }
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

impl Diagnosed {
    /// Before pairs and tests are worked out.
    fn of(
        (readings, twins): (Readings, Twins),
        (ladders, evidence): (Ladders, Evidence),
        diagnosis: Diagnosis,
    ) -> Self {
        Self {
            readings,
            twins,
            outlook: Outlook::new(&ladders, &diagnosis),
            confirm: None,
            ladders,
            evidence,
            diagnosis,
            next: Vec::new(),
        }
    }
}

/// What is told of an answer on its way.
pub enum Told<'a, A> {
    /// So many faults have been tried, of so many.
    Tried(usize, usize),
    /// What fits, faults one at a time, before pairs and tests are worked out; from so many stretches of a
    /// log, of so many, where not the whole of it has been judged yet.
    First(&'a A, Option<[usize; 2]>),
}

/// Whoever is told.
pub type Listener<'a> = dyn FnMut(Told<Answer>) + 'a;

/// Reads a readings file and the vehicle it names, and judges; `told` is told how far it is.
fn diagnosed(from: &From, told: &mut dyn FnMut(Told<Diagnosed>)) -> Result<Diagnosed, Trouble> {
    let mut readings = Readings::read(from.readings, (from.log, from.interval))?;
    let doubt = readings.doubt()?;
    let mut twins = Twins::read(&mut readings, &doubt, from.twin, from.twins)?;
    let mut beside = std::mem::take(&mut twins.beside);
    beside.passed.extend(std::mem::take(&mut readings.passed));
    if from.glance {
        (readings, twins) = glanced(
            from,
            (readings, twins),
            (doubt.clone(), beside.clone()),
            told,
        );
    }
    let more = match from.plan {
        true => manoeuvres::conditions(&readings.network()?),
        false => Vec::new(),
    };
    let prepared = readings.prepared(doubt, beside, &more, &mut |done, of| {
        told(Told::Tried(done, of));
    })?;
    let diagnosis = from.judge(&prepared.0, &prepared.1, false)?;
    let mut found = Diagnosed::of((readings, twins), prepared, diagnosis);
    told(Told::First(&found, None));
    let (ladders, evidence) = (&found.ladders, &found.evidence);
    if from.pairs || !from.plan && found.diagnosis.wants_pairs(evidence) {
        found.diagnosis = from.judge(ladders, evidence, true)?;
        found.outlook = Outlook::new(ladders, &found.diagnosis);
    }
    if !from.plan {
        found.next = next_tests(ladders, evidence, &found.diagnosis);
        // What fits nothing is not confirmed.
        let fits = found.diagnosis.verdict != Verdict::NothingFits;
        let confirm =
            fits.then(|| Confirm::new(ladders, evidence, &found.diagnosis, &found.outlook));
        found.confirm = confirm.flatten();
    }
    Ok(found)
}

/// A first look at a long log: what the few stretches that tell most come to, with the dangers of all of it.
/// What hinders it is no fault: the whole is judged after it, and says its own.
fn glanced(
    from: &From,
    (mut readings, twins): (Readings, Twins),
    (doubt, mut beside): (CarDoubt, Beside),
    told: &mut dyn FnMut(Told<Diagnosed>),
) -> (Readings, Twins) {
    let Some(whole) = readings.narrow() else {
        return (readings, twins);
    };
    // A danger may stand at a stretch that is left out.
    beside.passed.extend(readings.driven.iter().cloned());
    let prepared = readings.prepared(doubt, beside, &[], &mut |_, _| {});
    let look = prepared.ok().and_then(|prepared| {
        let diagnosis = from.judge(&prepared.0, &prepared.1, false).ok()?;
        Some((prepared, diagnosis))
    });
    let (mut readings, twins) = match look {
        Some((prepared, diagnosis)) => {
            let of = [readings.stretches(), whole.stretches()];
            let found = Diagnosed::of((readings, twins), prepared, diagnosis);
            told(Told::First(&found, Some(of)));
            (found.readings, found.twins)
        }
        None => (readings, twins),
    };
    readings.widen(whole);
    (readings, twins)
}

/// Answers `falseair diagnose`.
///
/// # Errors
/// Files that cannot be used; an answer that cannot be written.
pub fn diagnose(options: &Diagnose) -> Result<Answer, Trouble> {
    diagnose_in_steps(options, None)
}

/// The same; `told` is told how far it is.
///
/// # Errors
/// As [`diagnose`].
pub fn diagnose_in_steps(
    options: &Diagnose,
    mut told: Option<&mut Listener>,
) -> Result<Answer, Trouble> {
    if let Some(Task::Plan(plan)) = &options.task {
        return plan::run(plan);
    }
    let missing = || Trouble::Other("a readings file is needed".into());
    let from = From {
        readings: options.readings.as_deref().ok_or_else(missing)?,
        log: options.log.as_deref(),
        interval: options.samples_per_second,
        twin: options.twin.as_deref(),
        twins: options.twins.as_deref(),
        pairs: options.pairs,
        plan: false,
        glance: told.is_some(),
    };
    if let Some(other) = &options.compare {
        let beside = From {
            readings: other,
            ..from
        };
        let both = [
            diagnosed(&from, &mut |_| ())?,
            diagnosed(&beside, &mut |_| ())?,
        ];
        return options.asked.answer(&Compared::new(both));
    }
    let found = diagnosed(&from, &mut |step| match (&mut told, step) {
        (Some(told), Told::Tried(done, of)) => told(Told::Tried(done, of)),
        (Some(told), Told::First(found, look)) => {
            if let Ok(answer) = options.asked.answer(found) {
                told(Told::First(&answer, look));
            }
        }
        (None, _) => {}
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
        seconds: found.readings.log.as_ref().map_or(0.0, |log| log.seconds),
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
        let own = words::in_records(self).into_iter();
        Some(own.chain(foreseen::foreseen(self)).collect())
    }

    fn page(&self) -> Page {
        page::page(self)
    }
}
