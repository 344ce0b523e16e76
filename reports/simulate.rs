//! `falseair simulate`: reads, asks the physics, hands the answer to a form.

use crate::args::{Format, Simulate};
use crate::figure;
use crate::input::{InputError, Source};
use crate::output::write::write_beside;
use crate::output::{csv, json, table};
use rayon::prelude::*;
use sim::network::{Network, Vehicle};
use sim::scenario::{Mistake, Scenario};
use sim::solve::Failure;
use sim::solve::implicit::Tolerance;
use sim::study::simulate::{PointResult, point};
use sim::study::trace::{Trace, drive, plan};
use std::path::Path;

/// What is printed, and what had no answer.
pub struct Answer {
    /// Text for the terminal; none when it went to a file.
    pub terminal: Option<String>,
    /// Physics without an answer, one line each.
    pub failures: Vec<String>,
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
    /// The car with its leaks.
    pub network: Network<f64>,
}

/// A drive, healthy and faulty.
pub struct Drives {
    /// Without the leaks.
    pub healthy: Trace,
    /// With them, if there are any.
    pub faulty: Option<Trace>,
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
        if let Some(path) = &options.plot {
            let svg = figure::trace::draw(&case, &drives).map_err(Trouble::Other)?;
            save(path, svg.as_bytes())?;
        }
        let text = match options.format {
            Format::Table => table::trace(&case, &drives),
            Format::Json => json::trace(&case, &drives).map_err(Trouble::Other)?,
            Format::Csv => csv::trace(&drives).map_err(Trouble::Other)?,
        };
        (text, drive_failures(&drives))
    } else {
        let points = pool.install(|| run_points(&case, &source))?;
        let text = match options.format {
            Format::Table => table::points(&case, &points),
            Format::Json => json::points(&case, &points).map_err(Trouble::Other)?,
            Format::Csv => csv::points(&points).map_err(Trouble::Other)?,
        };
        (text, points.iter().flat_map(point_failures).collect())
    };
    let terminal = match &options.out {
        Some(path) => {
            save(path, text.as_bytes())?;
            None
        }
        None => Some(text),
    };
    Ok(Answer { terminal, failures })
}

fn save(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    write_beside(path, bytes).map_err(|e| Trouble::Other(e.to_string()))
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

fn run_points(case: &Case, source: &Source) -> Result<Vec<PointResult>, Trouble> {
    if case.scenario.point.is_empty() {
        let message = "this scenario has no `[[point]]`; run its drive with --time";
        return Err(source.error_at("title", message).into());
    }
    let indexed: Vec<_> = case.scenario.point.iter().enumerate().collect();
    let results: Result<Vec<_>, InputError> = indexed
        .par_iter()
        .map(|(i, wanted)| {
            let command = wanted
                .command()
                .map_err(|m| source.error_at(&format!("point.{i}.{}", m.key), m.message))?;
            Ok(point(&case.network, &wanted.name, command))
        })
        .collect();
    Ok(results?)
}

fn run_drive(case: &Case, source: &Source, interval: f64) -> Result<Drives, Trouble> {
    if case.scenario.drive.is_empty() {
        let message = "this scenario has no `[[drive]]` to run with --time";
        return Err(source.error_at("title", message).into());
    }
    let plan = plan(&case.scenario.drive).map_err(|m| mistake(source, &m))?;
    let run = |network: &Network<f64>| drive(network, &plan, interval, Tolerance::default());
    let (healthy, faulty) = rayon::join(
        || run(&case.network.healthy()),
        || (!case.network.leaks.is_empty()).then(|| run(&case.network)),
    );
    let said = |which: &str, e: Failure| {
        Trouble::Other(format!("the {which} car cannot start the drive: {e}"))
    };
    Ok(Drives {
        healthy: healthy.map_err(|e| said("healthy", e))?,
        faulty: faulty.transpose().map_err(|e| said("faulty", e))?,
    })
}

/// What a point could not answer, in words.
pub fn point_failures(result: &PointResult) -> Vec<String> {
    let sides = [
        ("healthy", Some(&result.healthy)),
        ("faulty", result.faulty.as_ref()),
    ];
    let failed = sides
        .into_iter()
        .filter_map(|(which, side)| Some((which, side?.as_ref().err()?)));
    failed
        .map(|(which, e)| format!("{}, {which}: {e}", result.name))
        .collect()
}

fn drive_failures(drives: &Drives) -> Vec<String> {
    let sides = [
        ("healthy", Some(&drives.healthy)),
        ("faulty", drives.faulty.as_ref()),
    ];
    let failed = sides
        .into_iter()
        .filter_map(|(which, trace)| Some((which, trace?.failure.as_ref()?)));
    failed
        .map(|(which, e)| format!("the {which} drive ends early: {e}"))
        .collect()
}
