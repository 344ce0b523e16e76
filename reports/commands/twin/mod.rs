//! `falseair twin`: a folder of healthy cars that grows, for the day when one of them is not.

mod add;
mod list;

use crate::answer::{Answer, SchemaOf, Trouble};
use crate::say::twin as say;
use clap::{Args, Subcommand};
use sim::study::judging::diagnose::file::ReadingsFile;

/// JSON Schemas of its commands' answers.
pub(crate) const ANSWERS: [SchemaOf; 2] = [add::ANSWER, list::ANSWER];

/// Where records are kept unless it is said otherwise.
const FOLDER: &str = "twins";

/// Healthy cars.
#[derive(Debug, Args)]
pub struct TwinArgs {
    /// What to do.
    #[command(subcommand)]
    pub task: Task,
}

/// What can be done with healthy cars.
#[derive(Debug, Subcommand)]
pub enum Task {
    /// Keep the readings of a car while it is healthy.
    #[command(after_help = add::HELP)]
    Add(Box<add::Add>),
    /// What is kept, by make and car.
    #[command(after_help = list::HELP)]
    List(list::List),
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; a result that cannot be written.
pub fn twin(arguments: &TwinArgs) -> Result<Answer, Trouble> {
    match &arguments.task {
        Task::Add(options) => add::run(options),
        Task::List(options) => list::run(options),
    }
}

/// How an engine is driven, as a record is good for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Driven {
    Idle,
    Part,
    Full,
    Overrun,
}

impl Driven {
    /// Those of a file, each once.
    fn all(file: &ReadingsFile) -> Vec<Self> {
        let all = file.condition.iter().filter(|taken| taken.runs);
        let mut all: Vec<Self> = all
            .map(|taken| match taken {
                taken if taken.idle => Self::Idle,
                taken if taken.overrun => Self::Overrun,
                taken if taken.pedal.is_some_and(|pedal| pedal > 0.9) => Self::Full,
                _ => Self::Part,
            })
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    fn good_for(self) -> &'static str {
        match self {
            Self::Idle => say::IDLE,
            Self::Part => say::PART,
            Self::Full => say::FULL,
            Self::Overrun => say::OVERRUN,
        }
    }
}

/// How many readings a file holds.
fn readings(file: &ReadingsFile) -> usize {
    let counts = file.condition.iter();
    counts.map(|taken| taken.readings.given().len()).sum()
}
