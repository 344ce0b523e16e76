//! The command line.

use crate::codes::Codes;
use crate::diagnose::Diagnose;
use crate::output::write::OutFile;
use crate::page::Pictures;
use crate::schema::Schema;
use crate::sensitivity::Sensitivity;
use crate::sweep::Sweep;
use crate::threshold::Threshold;
use crate::workshop::Workshop;
use clap::{Parser, Subcommand, ValueEnum, ValueHint};
use sim::units::{Dimension, parse, show_range};
use std::path::PathBuf;

/// Leaks in the air path of a turbocharged petrol engine: what each does to
/// counted and real air, mixture, trims, boost, turbo speed and torque.
#[derive(Debug, Parser)]
#[command(
    version,
    max_term_width = 80,
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
    /// Sound car beside leaking car, at a scenario's operating points or through its drive.
    #[command(
        after_help = "Examples:\n  falseair simulate scenarios/split-hose.toml\n  \
        falseair simulate scenarios/split-hose.toml --time --report drive.html\n\n\
        Exit codes: 0 an answer, 1 the physics has none, 2 input that cannot be used."
    )]
    Simulate(Simulate),
    /// What a scenario or vehicle file may hold: JSON Schema, or a reference to read.
    #[command(after_help = "Examples:\n  falseair schema vehicle --format table\n  \
        falseair schema scenario --out scenario.schema.json")]
    Schema(Schema),
    /// Which trouble code each leak and fault sets, and from which size on.
    #[command(
        after_help = "Example:\n  falseair codes scenarios/vehicles/brindle-16.toml --format markdown"
    )]
    Codes(Codes),
    /// What a leak at every place does to one car, in one page.
    #[command(after_help = crate::atlas::HELP)]
    Atlas(crate::atlas::Atlas),
    /// Readings and compressor across speed at two loads, with where sound cars lie.
    #[command(after_help = crate::across::HELP)]
    Across(crate::across::Across),
    /// Many cases of one scenario: what varies on axes, into CSV and Parquet files.
    #[command(
        after_help = "Examples:\n  falseair sweep scenarios/studies/leak-atlas.toml --out atlas\n  \
        falseair sweep STUDY.toml --out share-2 --part 2/8\n  \
        falseair sweep join share-* --out whole\n\n\
        Killed or stopped with Ctrl-C, the same command goes on. A case without an\n\
        answer is a row that says why."
    )]
    Sweep(Sweep),
    /// Which number of the car, leak or fault moves which reading, and how far.
    #[command(
        after_help = "Examples:\n  falseair sensitivity scenarios/breather-seal.toml --of fuel_trim_pct\n  \
        falseair sensitivity scenarios/split-hose.toml --by leak --by turbine \\\n      \
        --format csv"
    )]
    Sensitivity(Sensitivity),
    /// From which size on a leak shows a symptom, place by place; or how flat a
    /// cover must be that shows none.
    #[command(
        after_help = "Examples:\n  falseair threshold scenarios/vehicles/brindle-16.toml\n  \
        falseair threshold scenarios/vehicles/brindle-16.toml \\\n      \
        --symptom 'fuel_trim_pct > 10' --points idle,cruise\n  \
        falseair threshold scenarios/vehicles/brindle-16.toml \\\n      \
        --symptom 'boost_kpa down 2' --tolerance \\\n      \
        'place = \"recirculation_cover\", bowed_cover = { gap = \"1 mm\",\n      \
        spans = 4, span_length = \"20 mm\", depth = \"3 mm\" }'"
    )]
    Threshold(Threshold),
    /// From a car's readings to the faults that fit: ranked, sized, with doubt and the next test.
    #[command(after_help = crate::diagnose::HELP)]
    Diagnose(Diagnose),
    /// Vehicle files: a whole one from ten numbers, a check of one, a part from a gas stand.
    Vehicle(crate::vehicle::VehicleArgs),
    /// What a drive log holds, as the program reads it: columns, steady windows, pulls.
    Log(crate::log::LogArgs),
    /// What is measured at the car: leak tests, gaps, seals.
    #[command(subcommand)]
    Workshop(Workshop),
    /// A lesson: the engine live in a browser page, and a car with a hidden fault.
    #[command(after_help = crate::classroom::HELP)]
    Classroom(crate::classroom::Classroom),
    /// A script that completes commands and options in your shell.
    #[command(after_help = "Example:\n  falseair completions bash --out falseair.bash")]
    Completions(crate::shell::Completions),
    /// Manual pages, one for each command.
    #[command(after_help = "Example:\n  falseair manual --out ~/.local/share/man/man1")]
    Manual(crate::shell::Manual),
}

/// Options of `simulate`.
#[derive(Debug, clap::Args)]
pub struct Simulate {
    /// File that names the car, the air around it, leaks, operating points, a drive.
    pub scenario: PathBuf,
    /// Run the scenario's drive second by second instead of its operating points.
    #[arg(long)]
    pub time: bool,
    /// Time between two samples of the drive, with its unit.
    #[arg(long, value_name = "TIME", default_value = "0.05 s", value_parser = interval, requires = "time")]
    pub interval: f64,
    /// Form of the result.
    #[arg(long, value_enum, default_value_t = Format::Table)]
    pub format: Format,
    /// File for the result, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Threads to use, one a core if not given; the result is the same.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    pub threads: Option<u16>,
    /// Pictures.
    #[command(flatten)]
    pub pictures: Pictures,
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

/// Smallest and largest time between samples, s.
const INTERVALS: (f64, f64) = (0.001, 10.0);

fn interval(text: &str) -> Result<f64, String> {
    let (low, high) = INTERVALS;
    let value = parse(text, Dimension::Time)?;
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(format!(
            "allowed are {}",
            show_range(low, high, Dimension::Time)
        ))
    }
}
