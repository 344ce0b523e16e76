//! The command line: the commands by name; the only file that knows them all.

use crate::answer::{Answer, SchemaOf, Trouble};
use crate::commands::across::{self, Across};
use crate::commands::atlas::{self, Atlas};
use crate::commands::bay::{self, Bay};
use crate::commands::branches::{self, Branches};
use crate::commands::classroom::{self, Classroom};
use crate::commands::codes::{self, Codes};
use crate::commands::diagnose::{self, Diagnose};
use crate::commands::glossary::{self, Glossary};
use crate::commands::log::{self, LogArgs};
use crate::commands::notices::{self, Notices};
use crate::commands::schema::{self, Schema};
use crate::commands::sensitivity::{self, Sensitivity};
use crate::commands::shell::{self, Completions, Manual};
use crate::commands::simulate::{self, Simulate};
use crate::commands::sweep::{self, Sweep};
use crate::commands::threshold::{self, Threshold};
use crate::commands::twin::{self, TwinArgs};
use crate::commands::vehicle::{self, VehicleArgs};
use crate::commands::workshop::{self, Workshop};
use clap::{CommandFactory, Parser, Subcommand};
use std::path::Path;

/// Leaks in the air path of a turbocharged petrol engine: what each does to
/// metered and real air, mixture, trims, boost, turbo speed and torque; and from
/// a car's readings back to the leak.
#[derive(Debug, Parser)]
#[command(
    version,
    max_term_width = 80,
    after_help = "Example:\n  falseair simulate scenarios/breather-seal.toml\n\nThe cars in `scenarios` are invented."
)]
pub struct Args {
    /// Overwrite results that are already there.
    #[arg(long, global = true)]
    pub force: bool,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// What the program can do.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Healthy car beside faulty car, at a scenario's operating points or through its drive.
    #[command(
        after_help = "Examples:\n  falseair simulate scenarios/split-hose.toml\n  \
        falseair simulate scenarios/split-hose.toml --time --report drive.html\n  \
        falseair simulate scenarios/split-hose.toml \\\n      \
        --compare scenarios/manifold-gasket.toml\n\n\
        Exit codes: 0 an answer, 1 the physics has none, 2 input that cannot be used."
    )]
    Simulate(Simulate),
    /// What a file may hold, or what a command answers: JSON Schema, or a reference to read.
    #[command(after_help = schema::HELP)]
    Schema(Schema),
    /// Which trouble code each leak and fault sets, and from which size on.
    #[command(
        after_help = "Example:\n  falseair codes scenarios/vehicles/brindle-16.toml --format markdown"
    )]
    Codes(Codes),
    /// What a leak at every place does to one car, on one page.
    #[command(after_help = atlas::HELP)]
    Atlas(Atlas),
    /// Readings and compressor across speed at two loads, with where healthy cars lie.
    #[command(after_help = across::HELP)]
    Across(Across),
    /// Every steady answer over the size of what is wrong, and where the engine jumps between them.
    #[command(after_help = branches::HELP)]
    Branches(Branches),
    /// Many cases of one scenario: what varies on axes, into CSV and Parquet files.
    #[command(
        after_help = "Examples:\n  falseair sweep scenarios/studies/leak-atlas.toml --out atlas\n  \
        falseair sweep STUDY.toml --cases CASES.csv --out cases\n  \
        falseair sweep STUDY.toml --out share-2 --part 2/8\n  \
        falseair sweep join share-* --out whole\n\n\
        After Ctrl-C or a crash the same command goes on where it was. A case without\n\
        an answer is a row that says why."
    )]
    Sweep(Sweep),
    /// Which number of the car, leak or fault moves which reading, and how far.
    #[command(
        after_help = "Examples:\n  falseair sensitivity scenarios/breather-seal.toml --of fuel_trim_pct\n  \
        falseair sensitivity scenarios/split-hose.toml \\\n      \
        --by leak --by vehicle.turbine --format csv"
    )]
    Sensitivity(Sensitivity),
    /// From which size on a leak shows a symptom, place by place; or how flat a
    /// cover must be to show none.
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
    /// From a car's readings to the faults that fit: ranked, sized, with uncertainty and the next test.
    #[command(after_help = diagnose::HELP)]
    Diagnose(Diagnose),
    /// Readings of healthy cars, kept to judge the same car or its sisters by.
    Twin(TwinArgs),
    /// Vehicle files: a whole one from ten numbers, a check of one, a part from a gas stand.
    Vehicle(VehicleArgs),
    /// What a drive log holds, as the program reads it: columns, what was held, what moved, pulls.
    Log(LogArgs),
    /// What is measured at the car: leak tests, gaps, seals.
    #[command(subcommand)]
    Workshop(Workshop),
    /// A lesson: the engine live in a browser page, and a car with a hidden fault.
    #[command(after_help = classroom::HELP)]
    Classroom(Classroom),
    /// The whole job at the car in one browser page: car, readings, tests, repairs, record.
    #[command(after_help = bay::HELP)]
    Bay(Bay),
    /// A script that completes commands and options in your shell.
    #[command(after_help = "Example:\n  falseair completions bash --out falseair.bash")]
    Completions(Completions),
    /// Manual pages, one for each command.
    #[command(after_help = "Example:\n  falseair manual --out ~/.local/share/man/man1")]
    Manual(Manual),
    /// The words that answers, pages and files use, with the standards' terms.
    #[command(after_help = glossary::HELP)]
    Glossary(Glossary),
    /// Whose work the program is made with, and under which licences.
    #[command(after_help = "Example:\n  falseair notices --out notices.txt")]
    Notices(Notices),
}

/// JSON Schema of each command's answer, by name: a line a command.
fn answers() -> Vec<SchemaOf> {
    let mut all: Vec<SchemaOf> = vec![
        across::ANSWER,
        atlas::ANSWER,
        branches::ANSWER,
        codes::ANSWER,
        glossary::ANSWER,
        log::ANSWER,
        sensitivity::ANSWER,
        sweep::ANSWER,
        threshold::ANSWER,
    ];
    all.extend(classroom::ANSWERS);
    all.extend(diagnose::ANSWERS);
    all.extend(simulate::ANSWERS);
    all.extend(twin::ANSWERS);
    all.extend(vehicle::ANSWERS);
    all.extend(workshop::ANSWERS);
    all
}

impl Command {
    /// The log that is to be followed, if one is.
    pub fn followed(&self) -> Option<&Path> {
        match self {
            Command::Log(options) if options.follow => Some(&options.log),
            Command::Diagnose(options) if options.follow => options.log.as_deref(),
            _ => None,
        }
    }

    /// Runs the command.
    ///
    /// # Errors
    /// Input that cannot be used; an answer that cannot be written.
    pub fn run(&self) -> Result<Answer, Trouble> {
        match self {
            Command::Simulate(options) => simulate::simulate(options),
            Command::Schema(options) => schema::schema(options, &answers()),
            Command::Codes(options) => codes::codes(options),
            Command::Atlas(options) => atlas::atlas(options),
            Command::Across(options) => across::across(options),
            Command::Branches(options) => branches::branches(options),
            Command::Sweep(options) => sweep::sweep(options),
            Command::Sensitivity(options) => sensitivity::sensitivity(options),
            Command::Threshold(options) => threshold::threshold(options),
            Command::Diagnose(options) => diagnose::diagnose(options),
            Command::Twin(options) => twin::twin(options),
            Command::Vehicle(options) => vehicle::vehicle(options),
            Command::Log(options) => log::log(options),
            Command::Workshop(command) => workshop::run(command),
            Command::Classroom(options) => classroom::classroom(options),
            Command::Bay(options) => bay::bay(options),
            Command::Completions(options) => shell::completions(options, &mut Args::command()),
            Command::Manual(options) => shell::manual(options, Args::command()),
            Command::Glossary(options) => glossary::glossary(options),
            Command::Notices(options) => notices::notices(options),
        }
    }
}
