//! `falseair simulate`: reads, asks the physics, hands the answer to a form.

use crate::args::{Format, Simulate};
use crate::input::{InputError, Source, read_toml};
use crate::output::write::write_beside;
use crate::output::{csv, json, moments, table};
use crate::page;
use rayon::prelude::*;
use sim::control::{Code, Command};
use sim::network::{Network, Vehicle};
use sim::scenario::{Mistake, Scenario, Surroundings};
use sim::solve::Failure;
use sim::solve::implicit::Tolerance;
use sim::study::explain::explain;
use sim::study::openings::{VALVES, openings};
use sim::study::simulate::{Comparison, PointResult, Side};
use sim::study::trace::{Trace, drive, plan};
use std::path::Path;

/// What is printed, and what had no answer.
pub struct Answer {
    /// Text for the terminal; none when it went to a file.
    pub terminal: Option<String>,
    /// Physics without an answer, one line each.
    pub failures: Vec<String>,
}

impl Answer {
    /// This text, written to `out` if that is given.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn given(text: String, out: Option<&Path>, failures: Vec<String>) -> Result<Self, Trouble> {
        let terminal = match out {
            Some(path) => {
                save(path, text.as_bytes())?;
                None
            }
            None => Some(text),
        };
        Ok(Self { terminal, failures })
    }
}

/// Why there is nothing to print.
pub enum Trouble {
    /// Something in a file.
    Input(InputError),
    /// Anything else: options, writing.
    Other(String),
}

impl From<InputError> for Trouble {
    fn from(e: InputError) -> Self {
        Trouble::Input(e)
    }
}

/// A scenario that was read and checked.
pub struct Case {
    /// What the file says.
    pub scenario: Scenario,
    /// The car with its leaks and faults.
    pub network: Network<f64>,
}

/// An operating point with its answer.
pub struct Answered {
    /// Healthy and faulty.
    pub result: PointResult,
    /// Why they differ, in a few sentences; none where a side has no answer.
    pub why: Option<String>,
}

/// The two cars of a comparison, by name; the second only if something is wrong.
type Sides<'a, T> = Vec<(&'static str, &'a Result<T, Failure>)>;

impl Answered {
    /// Both cars.
    pub fn sides(&self) -> Sides<'_, Side> {
        sides(&self.result.healthy, self.result.faulty.as_ref())
    }

    /// What has no answer, in words.
    pub fn failures(&self) -> Vec<String> {
        let failed = self.sides().into_iter();
        failed
            .filter_map(|(which, side)| Some((which, side.as_ref().err()?)))
            .map(|(which, e)| format!("{}, {which}: {e}", self.result.name))
            .collect()
    }

    /// Cautions of both cars, in words.
    pub fn warnings(&self) -> Vec<String> {
        let mut all = Vec::new();
        for (which, side) in self.sides() {
            let said = side.as_ref().map_or(&[][..], |side| &side.warnings);
            all.extend(said.iter().map(|w| format!("{which}: {w}")));
        }
        all
    }
}

/// A drive, healthy and faulty.
pub struct Drives {
    /// Time at which each piece begins, s, and its name.
    pub pieces: Vec<(f64, String)>,
    /// Length of the whole drive, s.
    pub duration: f64,
    /// Time between samples, s.
    pub interval: f64,
    /// Without leaks and faults.
    pub healthy: Result<Trace, Failure>,
    /// With them, if there are any.
    pub faulty: Option<Result<Trace, Failure>>,
}

impl Drives {
    /// Both cars.
    pub fn sides(&self) -> Sides<'_, Trace> {
        sides(&self.healthy, self.faulty.as_ref())
    }

    /// Trouble codes set on the way: time, s, which car, code.
    pub fn codes(&self) -> Vec<(f64, &'static str, Code)> {
        let mut all = Vec::new();
        for (which, trace) in self.sides() {
            let set = trace.as_ref().map_or(&[][..], |trace| &trace.codes);
            all.extend(set.iter().map(|(time, code)| (*time, which, *code)));
        }
        all
    }

    /// When each valve stands open in each car: name, car, from and to, s.
    pub fn openings(&self) -> Vec<(&'static str, &'static str, f64, Option<f64>)> {
        let mut all = Vec::new();
        for valve in &VALVES {
            for (which, trace) in self.sides() {
                let samples = trace.as_ref().map_or(&[][..], |trace| &trace.samples);
                let found = openings(samples, valve).into_iter();
                all.extend(found.map(|(from, to)| (valve.1, which, from, to)));
            }
        }
        all
    }

    /// What has no answer, in words.
    pub fn failures(&self) -> Vec<String> {
        let said = |(which, trace): (&str, &Result<Trace, Failure>)| match trace {
            Err(e) => Some(format!("{which}: no steady running to start from: {e}")),
            Ok(trace) => {
                let last = trace.samples.last().map_or(0.0, |sample| sample.time);
                let why = trace.failure.as_ref()?;
                Some(format!("{which}: the drive ends after {last:.1} s: {why}"))
            }
        };
        self.sides().into_iter().filter_map(said).collect()
    }
}

fn sides<'a, T>(
    healthy: &'a Result<T, Failure>,
    faulty: Option<&'a Result<T, Failure>>,
) -> Sides<'a, T> {
    let faulty = faulty.map(|side| ("faulty", side));
    std::iter::once(("healthy", healthy))
        .chain(faulty)
        .collect()
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; a result that cannot be written.
pub fn simulate(options: &Simulate) -> Result<Answer, Trouble> {
    let (case, source) = read(&options.scenario)?;
    let threads = options.threads.map_or(0, usize::from);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
    let pool = pool.map_err(|e| Trouble::Other(format!("cannot start threads: {e}")))?;
    let (text, failures) = if options.time {
        let drives = pool.install(|| run_drive(&case, &source, options.interval))?;
        let pictures = &options.pictures;
        pictures.deliver(|| Ok(page::simulate::drive(&case, &drives)))?;
        let text = match options.format {
            Format::Table => moments::trace(&case, &drives),
            Format::Json => json::trace(&case, &drives).map_err(Trouble::Other)?,
            Format::Csv => csv::trace(&drives).map_err(Trouble::Other)?,
        };
        (text, drives.failures())
    } else {
        let points = pool.install(|| run_points(&case, &source))?;
        let pictures = &options.pictures;
        pictures.deliver(|| Ok(page::simulate::points(&case, &points)))?;
        let text = match options.format {
            Format::Table => table::points(&case, &points),
            Format::Json => json::points(&case, &points).map_err(Trouble::Other)?,
            Format::Csv => csv::points(&points).map_err(Trouble::Other)?,
        };
        let failures = points.iter().flat_map(Answered::failures);
        (text, failures.collect())
    };
    Answer::given(text, options.out.as_deref(), failures)
}

fn save(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    write_beside(path, bytes).map_err(|e| Trouble::Other(e.to_string()))
}

/// The sound car of a vehicle file, in standard surroundings.
///
/// # Errors
/// The file cannot be used.
pub fn car(path: &Path) -> Result<Network<f64>, Trouble> {
    let vehicle: Vehicle = read_toml(path)?;
    let air = Surroundings::STANDARD.ambient();
    Ok(Network::new(vehicle, Vec::new(), air, Command::IDLE))
}

/// Reads a scenario and the vehicle it names.
///
/// # Errors
/// Either file cannot be used.
pub fn read(path: &Path) -> Result<(Case, Source), Trouble> {
    let source = Source::read(path)?;
    let scenario: Scenario = source.parse()?;
    let vehicle_path = path
        .parent()
        .unwrap_or(Path::new(""))
        .join(&scenario.vehicle);
    if !vehicle_path.is_file() {
        let trouble = Source::read(&vehicle_path).err();
        let why = trouble.map_or("this is not a file".into(), |e| e.message().to_string());
        let message = format!("the vehicle file cannot be read: {why}");
        return Err(source.error_at("vehicle", message).into());
    }
    let vehicle: Vehicle = Source::read(&vehicle_path)?.parse()?;
    let network = scenario
        .network(vehicle)
        .map_err(|m| mistake(&source, &m))?;
    Ok((Case { scenario, network }, source))
}

fn mistake(source: &Source, mistake: &Mistake) -> InputError {
    source.error_at(&mistake.key, mistake.message.clone())
}

fn run_points(case: &Case, source: &Source) -> Result<Vec<Answered>, Trouble> {
    if case.scenario.point.is_empty() {
        let message = "this scenario has no `[[point]]`; run its drive with --time";
        return Err(source.error_at("title", message).into());
    }
    let cars = Comparison::new(&case.network);
    let indexed: Vec<_> = case.scenario.point.iter().enumerate().collect();
    let results: Result<Vec<_>, InputError> = indexed
        .par_iter()
        .map(|(i, wanted)| {
            let command = wanted
                .command()
                .map_err(|m| source.error_at(&format!("point.{i}.{}", m.key), m.message))?;
            let result = cars.point(&wanted.name, command);
            let both = (result.healthy.as_ref().ok()).zip(faulty(&result));
            let car = &case.network.vehicle;
            let why = both.map(|(h, f)| explain(h, f, car, &command));
            Ok(Answered { result, why })
        })
        .collect();
    Ok(results?)
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
        pieces.push((duration, name.clone()));
        duration += runs.iter().map(|(length, _)| length).sum::<f64>();
    }
    if duration / interval > MOST_SAMPLES {
        return Err(Trouble::Other(format!(
            "the drive lasts {duration:.0} s; an --interval of {interval} s gives more than \
             {MOST_SAMPLES} samples"
        )));
    }
    let cars = Comparison::new(&case.network);
    let run = |network: &Network<f64>, faulty| {
        let memory = cars.memory(faulty);
        drive(network, &plan, memory, interval, Tolerance::default())
    };
    let (healthy, faulty) = rayon::join(
        || run(&case.network.healthy(), false),
        || (!case.network.is_healthy()).then(|| run(&case.network, true)),
    );
    Ok(Drives {
        pieces,
        duration,
        interval,
        healthy,
        faulty,
    })
}
