//! `falseair simulate`: reads, asks the physics, hands the answer to a form.

mod answered;
mod compare;
mod detail;
mod drive;
mod drives;
mod points;
mod summary;
mod trace;

use crate::answer::options::{Threads, within};
use crate::answer::{Answer, Asked, SchemaOf, Trouble, WithCsv, schema};
use crate::input::case::{Case, mistake, read};
use crate::input::{InputError, Source};
use crate::say::simulate as say;
use answered::Answered;
use compare::Compared;
use drive::Driven;
use drives::{Drives, Piece, sides};
use points::Points;
use rayon::prelude::*;
use sim::network::Reading as R;
use sim::scenario::History;
use sim::solve::Failure;
use sim::solve::implicit::Tolerance;
use sim::study::asking::seen::Make;
use sim::study::running::explain::explain;
use sim::study::running::simulate::{Comparison, PointResult, Side};
use sim::study::running::trace::plan;
use sim::units::Dimension;
use std::path::PathBuf;

/// The schemas of its answers: points, two scenarios compared, and a drive.
pub(crate) const ANSWERS: [SchemaOf; 3] = [
    ("simulate", schema::<Points>),
    ("simulate-compare", schema::<Compared>),
    ("simulate-time", schema::<Driven>),
];

/// Options of `simulate`.
#[derive(Debug, clap::Args)]
pub struct Simulate {
    /// File that names the car, the air around it, leaks, faults, operating points, a drive.
    pub scenario: PathBuf,
    /// A second scenario to compare with, at points of the same name: before and after a repair, two
    /// cars, two places. Not with --time.
    #[arg(long, value_name = "FILE", conflicts_with = "time")]
    pub compare: Option<PathBuf>,
    /// Run the scenario's drive second by second instead of its operating points.
    #[arg(long)]
    pub time: bool,
    /// Time between two samples of the drive, with its unit.
    #[arg(long, value_name = "TIME", default_value = "0.05 s", value_parser = interval, requires = "time")]
    pub interval: f64,
    /// Threads.
    #[command(flatten)]
    pub threads: Threads,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked<WithCsv>,
}

/// Smallest and largest time between samples, s.
const INTERVALS: (f64, f64) = (0.001, 10.0);

fn interval(text: &str) -> Result<f64, String> {
    within(text, Dimension::Time, INTERVALS)
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; a result that cannot be written.
pub fn simulate(options: &Simulate) -> Result<Answer, Trouble> {
    let (case, source) = read(&options.scenario)?;
    let pool = options.threads.pool()?;
    let case = &case;
    if options.time {
        let drives = pool.install(|| run_drive(case, &source, options.interval))?;
        return options.asked.answer(&Driven { case, drives });
    }
    if let Some(other) = &options.compare {
        let (second, beside) = read(other)?;
        let both = [(case, &source), (&second, &beside)];
        let points = pool.install(|| -> Result<_, Trouble> {
            let [a, b] = both.map(|(case, source)| run_points(case, source, false));
            Ok([a?, b?])
        })?;
        return options
            .asked
            .answer(&Compared::new([case, &second], points));
    }
    let points = pool.install(|| run_points(case, &source, true))?;
    let full = options.asked.full;
    options.asked.answer(&Points { case, points, full })
}

/// All points of a case; with what other histories come to, or with the car alone and the band of
/// its make, whether something is wrong or not.
fn run_points(case: &Case, source: &Source, alone: bool) -> Result<Vec<Answered>, Trouble> {
    if case.scenario.point.is_empty() {
        let message = "this scenario has no `[[point]]`; run its drive with --time";
        return Err(source.error_at("title", message).into());
    }
    let cars = Comparison::having(&case.network, case.scenario.history);
    let others: Vec<(History, Comparison)> = (History::WORDS.iter())
        .map(|(_, history, _)| *history)
        .filter(|history| alone && *history != case.scenario.history && !case.network.is_healthy())
        .collect::<Vec<_>>()
        .into_par_iter()
        .map(|history| (history, cars.otherwise(history)))
        .collect();
    let make = (!alone || !case.network.is_healthy()).then(|| Make::of(&cars));
    let indexed: Vec<_> = case.scenario.point.iter().enumerate().collect();
    let results: Result<Vec<_>, InputError> = indexed
        .par_iter()
        .map(|(i, wanted)| {
            let command = wanted
                .command()
                .map_err(|m| source.error_at(&format!("point.{i}.{}", m.key), m.message))?;
            let result = cars.point(&wanted.name, command);
            let spread = (make.as_ref().zip(result.healthy.as_ref().ok()))
                .and_then(|(make, side)| make.spread(side, command));
            let both = (result.healthy.as_ref().ok()).zip(faulty(&result));
            let car = &case.network.vehicle;
            let why = both.map(|(h, f)| explain(h, f, car, &command));
            let others = others.iter().filter_map(|(history, cars)| {
                let other = cars.point(&wanted.name, command).faulty?;
                another(*history, result.faulty.as_ref()?, &other)
            });
            Ok(Answered {
                others: others.collect(),
                result,
                spread,
                why,
            })
        })
        .collect();
    Ok(results?)
}

/// Torque, N m, and lambda from which two answers are two.
const APART: (f64, f64) = (0.5, 0.002);

/// What another history comes to, in words, if it is another answer.
fn another(
    history: History,
    this: &Result<Side, Failure>,
    other: &Result<Side, Failure>,
) -> Option<String> {
    let read = |side: &Side, of| side.readings.get(of).unwrap_or(f64::NAN);
    match (this, other) {
        (_, Ok(other)) => {
            let [torque, lambda] = [R::Torque, R::Lambda].map(|of| read(other, of));
            let same = this.as_ref().is_ok_and(|this| {
                let off = |of, value: f64| (read(this, of) - value).abs();
                off(R::Torque, torque) < APART.0 && off(R::Lambda, lambda) < APART.1
            });
            (!same).then(|| say::another_runs(history, torque, lambda))
        }
        (Ok(_), Err(why)) => Some(say::another_fails(history, why)),
        (Err(_), Err(_)) => None,
    }
}

fn faulty(result: &PointResult) -> Option<&Side> {
    result.faulty.as_ref()?.as_ref().ok()
}

/// Most samples of a drive that are kept.
const MOST_SAMPLES: f64 = 100_000.0;

fn run_drive(case: &Case, source: &Source, interval: f64) -> Result<Drives, Trouble> {
    if case.scenario.drive.is_empty() {
        let message = "this scenario has no `[[drive]]` to run with --time";
        return Err(source.error_at("title", message).into());
    }
    let plan = plan(&case.scenario.drive).map_err(|m| mistake(source, &m))?;
    let mut duration = 0.0;
    let mut pieces = Vec::new();
    for (name, runs) in &plan {
        pieces.push(Piece {
            from_s: duration,
            name: name.clone(),
        });
        duration += runs.iter().map(|(length, _)| length).sum::<f64>();
    }
    if duration / interval > MOST_SAMPLES {
        return Err(Trouble::Other(format!(
            "the drive lasts {duration:.0} s; an --interval of {interval} s gives more than \
             {MOST_SAMPLES} samples"
        )));
    }
    let cars = Comparison::having(&case.network, case.scenario.history);
    let course = (&plan[..], &case.scenario.event[..]);
    let run = |faulty| cars.drive(faulty, course, (interval, Tolerance::default()));
    let (healthy, faulty) = rayon::join(
        || run(false),
        || (!case.network.is_healthy()).then(|| run(true)),
    );
    let sides = sides(&healthy, faulty.as_ref()).into_iter();
    let found = sides.filter_map(|(side, trace)| {
        let car = match side {
            "healthy" => &case.network.healthy(),
            _ => &case.network,
        };
        Some((side, trace.as_ref().ok()?.dangers(car)))
    });
    let dangers = found.collect();
    Ok(Drives {
        dangers,
        pieces,
        events: drives::happened(&case.network, &case.scenario.event),
        duration,
        interval,
        speed_limit: case.network.vehicle.speed_limit::<f64>() * 30.0 / std::f64::consts::PI,
        healthy,
        faulty,
    })
}
