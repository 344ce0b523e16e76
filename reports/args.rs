//! The command line.

use clap::{Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Leaks in the air path of a turbocharged petrol engine: what each does to
/// metered and real air, mixture, trims, boost, turbo speed and torque.
#[derive(Debug, Parser)]
#[command(
    version,
    after_help = "Example:\n  falseair simulate scenarios/breather-seal.toml\n\nThe cars in `scenarios` are invented."
)]
pub struct Args {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What the program can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Healthy beside faulty at a scenario's operating points, or through its drive.
    Simulate(Simulate),
}

/// Options of `simulate`.
#[derive(Debug, clap::Args)]
pub struct Simulate {
    /// Scenario file: car, surroundings, leaks, operating points, drive.
    pub scenario: PathBuf,
    /// Run the scenario's drive as a time trace instead of its operating points.
    #[arg(long)]
    pub time: bool,
    /// Time between samples of a trace, s.
    #[arg(long, default_value_t = 0.05, value_parser = interval, requires = "time")]
    pub interval: f64,
    /// Form of the result.
    #[arg(long, value_enum, default_value_t = Format::Table)]
    pub format: Format,
    /// File for the result, instead of the terminal.
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Also draw the trace into this SVG file (with --time).
    #[arg(long, value_name = "FILE", requires = "time")]
    pub plot: Option<PathBuf>,
    /// Threads; by default one a core. The result does not depend on it.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,
}

/// Form of a result.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For reading, at most 80 columns.
    Table,
    /// For programs.
    Json,
    /// For spreadsheets.
    Csv,
}

fn interval(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if (0.001..=10.0).contains(&value) => Ok(value),
        _ => Err("a number of seconds from 0.001 to 10".into()),
    }
}
