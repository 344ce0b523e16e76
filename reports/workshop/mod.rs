//! `falseair workshop`: what is measured at the car, and what follows from it.
//!
//! One file a command. Each takes a TOML file or flags (`given.rs`), answers with one
//! plain sentence, and ends its answer with the cautions that belong to the work.

mod car;
mod decay;
mod flow;
mod gap;
mod given;
mod page;
mod payback;
mod plan;
mod record;
mod seal;
mod verify;

use crate::asked::Asked;
use crate::input::{InputError, Source, read_toml};
use crate::output::words::paragraph;
use crate::page::Page;
use crate::simulate::{Answer, Trouble};
use clap::Subcommand;
use serde::Serialize;
use sim::network::Vehicle;
use sim::scenario::Mistake;
use sim::study::workshop::Span;
use sim::units::round;
use std::path::Path;

/// What `workshop` can do.
#[derive(Debug, Subcommand)]
pub enum Workshop {
    /// Pressure-decay test: two gauge readings to the leak, or a leak to its gauge trace.
    #[command(after_help = decay::HELP)]
    Decay(decay::Decay),
    /// Steady flow test (bench, smoke machine): the meter's reading to the leak.
    #[command(after_help = flow::HELP)]
    Flow(flow::Flow),
    /// Gaps by feeler gauge: what they pass, what they do in the car, how large they may be.
    #[command(after_help = gap::HELP)]
    Gap(gap::Gap),
    /// O-rings and gaskets: squeeze, stretch, fill, sizes; used rings; bowed faces.
    #[command(after_help = seal::HELP)]
    Seal(seal::Seal),
    /// Which repair pays: what each fault costs a year, and what mending it takes.
    #[command(after_help = payback::HELP)]
    Payback(payback::Payback),
    /// Did the leak go? Readings before and after a repair; a record for the customer.
    #[command(after_help = verify::HELP)]
    Verify(verify::Verify),
    /// Ordered pressure and smoke tests for one car, with safe pressures and expected readings.
    #[command(after_help = plan::HELP)]
    Plan(plan::Plan),
}

/// Runs a workshop command.
///
/// # Errors
/// Input that cannot be used; an answer that cannot be written.
pub fn run(command: &Workshop) -> Result<Answer, Trouble> {
    match command {
        Workshop::Decay(options) => decay::run(options),
        Workshop::Flow(options) => flow::run(options),
        Workshop::Gap(options) => gap::run(options),
        Workshop::Seal(options) => seal::run(options),
        Workshop::Payback(options) => payback::run(options),
        Workshop::Verify(options) => verify::run(options),
        Workshop::Plan(options) => plan::run(options),
    }
}

/// The answer, as text or as JSON, to where it goes; its page or pictures, if asked for.
fn give(
    asked: &Asked,
    page: impl FnOnce() -> Page,
    table: impl FnOnce() -> String,
    json: &impl Serialize,
) -> Result<Answer, Trouble> {
    let json = || {
        let text = serde_json::to_string_pretty(json);
        Ok(text.map_err(|e| Trouble::Other(e.to_string()))? + "\n")
    };
    asked.give(page, table, json, Vec::new())
}

/// A mistake at its place in the file or among the flags.
fn at(source: &Source, mistake: Mistake) -> InputError {
    source.error_at(&mistake.key, mistake.message)
}

/// The vehicle that a question names; its path counts from the question's file.
fn vehicle(source: &Source, name: Option<&String>) -> Result<Option<Vehicle>, InputError> {
    let Some(name) = name else { return Ok(None) };
    let path = source.path().parent().unwrap_or(Path::new("")).join(name);
    if !path.is_file() {
        let trouble = Source::read(&path).err();
        let why = trouble.map_or("this is not a file".into(), |e| e.message().to_string());
        let message = format!("the vehicle file cannot be read: {why}");
        return Err(source.error_at("vehicle", message));
    }
    read_toml(&path).map(Some)
}

/// A value with its 90 % limits, in the unit of its key.
#[derive(Clone, Copy, Debug, Serialize)]
struct Spread {
    value: f64,
    low: f64,
    high: f64,
}

impl Spread {
    /// A span times a factor.
    fn of(span: Span, factor: f64) -> Self {
        Self {
            value: span.value * factor,
            low: span.low * factor,
            high: span.high * factor,
        }
    }

    /// `0.673 mm (0.63 to 0.708 mm)`.
    fn words(&self, unit: &str) -> String {
        let [value, low, high] = [self.value, self.low, self.high].map(|x| round(x, 3));
        format!("{value} {unit} ({low} to {high} {unit})")
    }
}

/// A label and words of a table.
fn row(text: &mut String, label: &str, words: &str) {
    paragraph(text, &format!("{label:34}"), words);
}

/// What a test is to be warned of; for programs one list.
#[derive(Default)]
struct Warnings {
    /// What can hurt someone: said before the answer.
    dangers: Vec<String>,
    /// What the answer leaves open: said after it.
    notes: Vec<String>,
}

impl Serialize for Warnings {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_seq(self.dangers.iter().chain(&self.notes))
    }
}

/// Warnings, a paragraph each.
fn warn(text: &mut String, warnings: &[String]) {
    for warning in warnings {
        paragraph(text, "WARNING  ", warning);
    }
}

/// What every table ends with.
fn ending(text: &mut String, warnings: &[String], cautions: &[&str]) {
    text.push('\n');
    warn(text, warnings);
    for caution in cautions {
        paragraph(text, "- ", caution);
    }
}

/// Cautions of every test with pressure.
const TEST: [&str; 6] = [
    "Wear eye protection and stand aside: plugs, clamps and hoses let go under pressure. Raise it \
     slowly, and let it off before anything is loosened.",
    "Never test above the engine's normal boost; sections with seals not meant for pressure take \
     less.",
    "Never block the crankcase vent while pressure can reach the crankcase (past rings, breather or \
     ventilation valve): it blows out shaft seals.",
    "Engine off, key out, all of it cold: fans start by themselves, belts and turbo spin, exhaust \
     is hot.",
    "Do not look for leaks with a flame or a flammable spray.",
    "The maker's procedure and local codes go first; leave licensed work to those who hold the \
     licence.",
];

/// Cautions of work on joints.
const JOINT: [&str; 4] = [
    "Engine off and cold, boost let off: exhaust and turbo are hot, fans and belts start and spin.",
    "Use only sealant that is safe for oxygen sensors, and none where a loose bit is drawn into \
     compressor or valves.",
    "Rubber must suit what it meets: oil mist and heat at a breather, fuel vapour at a manifold.",
    "The maker's procedure, seal and torque go first, then local codes; leave licensed work to \
     those who hold the licence.",
];
