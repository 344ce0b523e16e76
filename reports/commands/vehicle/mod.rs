//! `falseair vehicle`: a car from ten numbers, the card of a car, a car fitted to its log, its
//! turbocharger from gas-stand tables.

mod card;
mod fit;
pub mod gas_stand;
mod new;

pub use card::{Check, run as check};
pub use new::{New, run as new};

use crate::answer::{Answer, SchemaOf, Trouble};
use clap::{Args, Subcommand};

/// JSON Schemas of its commands' answers.
pub(crate) const ANSWERS: [SchemaOf; 3] = [card::ANSWER, fit::ANSWER, gas_stand::ANSWER];

/// Vehicle files.
#[derive(Debug, Args)]
pub struct VehicleArgs {
    /// What to do.
    #[command(subcommand)]
    pub task: Task,
}

/// What can be done with a vehicle file.
#[derive(Debug, Subcommand)]
pub enum Task {
    /// Write a whole vehicle file from ten numbers; each derived number with its rule.
    #[command(after_help = new::HELP)]
    New(Box<new::New>),
    /// Run a car without leaks and compare its figures with typical ranges.
    #[command(after_help = card::HELP)]
    Check(card::Check),
    /// Fit a car's numbers to a log of it while it is healthy.
    #[command(after_help = fit::HELP)]
    Fit(Box<fit::FitArgs>),
    /// Compressor or turbine from a gas-stand table (corrected flow and speed).
    #[command(after_long_help = gas_stand::HELP)]
    GasStand(gas_stand::GasStand),
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; a result that cannot be written.
pub fn vehicle(arguments: &VehicleArgs) -> Result<Answer, Trouble> {
    match &arguments.task {
        Task::New(options) => new::run(options),
        Task::Fit(options) => fit::run(options),
        Task::GasStand(options) => gas_stand::run(options),
        Task::Check(options) => card::run(options),
    }
}
