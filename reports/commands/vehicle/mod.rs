//! `falseair vehicle`: a car from ten numbers, and the card of a car.

mod card;
mod fit;
pub mod gas_stand;
pub mod vehicle_file;

use crate::answer::{Answer, Trouble};
use crate::commands::vehicle::vehicle_file::{Digits, vehicle_file};
use crate::input::read_toml;
use crate::text::write::OutFile;
use card as card_form;
use clap::Args;
use clap::Subcommand;
use clap::ValueEnum;
use clap::ValueHint;
use gas_stand::GasStand;
use serde::Deserialize;
use sim::network::Vehicle;
use sim::study::making::sizing::{SizedCar, TenNumbers, card, size};
use sim::units::{Dimension, parse};
use std::fmt::Write;
use std::path::{Path, PathBuf};

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
    #[command(
        after_help = "Example:\n  falseair vehicle new --displacement \"1.6 L\" --cylinders 4 \\\n      \
        --power \"132 kW\" --power-speed \"5500 rpm\" --torque \"250 N m\" \\\n      \
        --torque-speed \"2000 rpm\" --boost \"85 kPa gauge\" --out my-car.toml\n\n\
        Exit codes: 0 a file, 2 numbers that clash or cannot be used."
    )]
    New(Box<New>),
    /// Run a car without leaks and compare its figures with typical ranges.
    #[command(
        after_help = "Example:\n  falseair vehicle check scenarios/vehicles/brindle-16.toml\n\n\
        Exit codes: 0 all typical, 1 something flagged or no steady running, 2 input\n\
        that cannot be used."
    )]
    Check(Check),
    /// Fit a car's numbers to a log of it while it is healthy.
    Fit(fit::FitArgs),
    /// Compressor or turbine from a gas-stand table (corrected flow and speed).
    GasStand(GasStand),
}

/// Options of `vehicle new`.
#[derive(Debug, Args)]
pub struct New {
    /// File with the ten numbers, instead of the options below.
    #[arg(long, value_name = "FILE", conflicts_with_all = FLAGS)]
    pub numbers: Option<PathBuf>,
    /// Swept volume of all cylinders.
    #[arg(long, required_unless_present = "numbers", value_parser = quantity(Dimension::Volume))]
    pub displacement: Option<String>,
    /// Number of cylinders.
    #[arg(long, required_unless_present = "numbers")]
    pub cylinders: Option<u8>,
    /// Rated power.
    #[arg(long, required_unless_present = "numbers", value_parser = quantity(Dimension::Power))]
    pub power: Option<String>,
    /// Engine speed of the rated power.
    #[arg(long, value_name = "SPEED", required_unless_present = "numbers", value_parser = quantity(Dimension::AngularSpeed))]
    pub power_speed: Option<String>,
    /// Highest torque.
    #[arg(long, required_unless_present = "numbers", value_parser = quantity(Dimension::Torque))]
    pub torque: Option<String>,
    /// Lowest engine speed of the highest torque.
    #[arg(long, value_name = "SPEED", required_unless_present = "numbers", value_parser = quantity(Dimension::AngularSpeed))]
    pub torque_speed: Option<String>,
    /// Highest boost, with `gauge`.
    #[arg(long, required_unless_present = "numbers", value_parser = quantity(Dimension::GaugePressure))]
    pub boost: Option<String>,
    /// How air is counted: air_flow_meter (the default) or speed_density.
    #[arg(long, value_name = "WORD")]
    pub metering: Option<String>,
    /// Where the recirculation valve lets the air go: inlet_duct (the default) or atmosphere.
    #[arg(long, value_name = "WORD")]
    pub valve: Option<String>,
    /// Fuel: petrol (the default), e10 or e85.
    #[arg(long, value_name = "WORD")]
    pub fuel: Option<String>,
    /// What the car is called.
    #[arg(long, conflicts_with = "numbers")]
    pub name: Option<String>,
    /// File to write, instead of the terminal.
    #[arg(long, value_name = "FILE.toml", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Write over a file that exists.
    #[arg(long, requires = "out")]
    pub force: bool,
}

/// Options that a file of numbers replaces.
const FLAGS: [&str; 10] = [
    "displacement",
    "cylinders",
    "power",
    "power_speed",
    "torque",
    "torque_speed",
    "boost",
    "metering",
    "valve",
    "fuel",
];

/// Options of `vehicle check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Vehicle file.
    pub file: PathBuf,
    /// Form of the card.
    #[arg(long, value_enum, default_value_t = CardFormat::Table)]
    pub format: CardFormat,
}

/// Form of a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CardFormat {
    /// For reading, at most 80 columns.
    Table,
    /// For programs.
    Json,
}

/// A text that reads as a quantity; kept as text, since its range is checked with the rest.
fn quantity(dimension: Dimension) -> impl Fn(&str) -> Result<String, String> + Clone {
    move |text| {
        parse(text, dimension)?;
        Ok(text.to_string())
    }
}

impl New {
    fn read(&self) -> Result<TenNumbers, Trouble> {
        if let Some(path) = &self.numbers {
            return Ok(read_toml(path)?);
        }
        let mut table = toml::Table::new();
        let texts = [
            ("displacement", &self.displacement),
            ("rated_power", &self.power),
            ("rated_speed", &self.power_speed),
            ("peak_torque", &self.torque),
            ("peak_torque_speed", &self.torque_speed),
            ("peak_boost", &self.boost),
            ("metering", &self.metering),
            ("valve", &self.valve),
            ("fuel", &self.fuel),
            ("name", &self.name),
        ];
        for (key, text) in texts {
            if let Some(text) = text {
                table.insert(key.into(), text.clone().into());
            }
        }
        if let Some(count) = self.cylinders {
            table.insert("cylinders".into(), f64::from(count).into());
        }
        TenNumbers::deserialize(table).map_err(|e| Trouble::Other(e.to_string().trim().into()))
    }
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used; a result that cannot be written.
pub fn vehicle(arguments: &VehicleArgs) -> Result<Answer, Trouble> {
    match &arguments.task {
        Task::New(options) => new(options),
        Task::Fit(options) => fit::run(options),
        Task::GasStand(options) => gas_stand::run(options),
        Task::Check(options) => check(options),
    }
}

fn new(options: &New) -> Result<Answer, Trouble> {
    if let Some(path) = options
        .out
        .as_deref()
        .filter(|path| path.exists() && !options.force)
    {
        let message = format!("`{}` exists; write over it with --force", path.display());
        return Err(Trouble::Other(message));
    }
    let numbers = options.read()?;
    let car = size(&numbers).map_err(|why| Trouble::Other(why.to_string()))?;
    let text = vehicle_file(&car.vehicle, &car.notes, Digits::Six);
    Ok(match &options.out {
        None => Answer::given(text, None, Vec::new()),
        Some(file) => {
            let said = spare(file, &car);
            Answer::given(said, None, Vec::new()).with([file.holding(text)])
        }
    })
}

/// What was written and what the car has to spare.
fn spare(path: &Path, car: &SizedCar) -> String {
    let mut text = format!("{}: written to {}\n", car.vehicle.name, path.display());
    for margin in &car.margins {
        let _ = writeln!(
            text,
            "  {:50} {:8.2} {}",
            margin.what, margin.value, margin.unit
        );
    }
    let odd = card(&car.vehicle).map(|card| card.flagged().count() + card.warnings.len());
    let shown = path.display();
    let _ = match odd {
        Ok(0) => writeln!(
            text,
            "Every figure of its card is typical (falseair vehicle check {shown})."
        ),
        _ => writeln!(
            text,
            "Its card has something to look at: falseair vehicle check {shown}"
        ),
    };
    text
}

fn check(options: &Check) -> Result<Answer, Trouble> {
    let vehicle: Vehicle = read_toml(&options.file)?;
    let card = match card(&vehicle) {
        Ok(card) => card,
        Err(why) => {
            return Ok(Answer::none(vec![format!("{}: {why}", vehicle.name)]));
        }
    };
    let text = match options.format {
        CardFormat::Table => card_form::table(&vehicle, &card),
        CardFormat::Json => card_form::json(&vehicle, &card).map_err(Trouble::Other)?,
    };
    let odd = card.flagged().count();
    let mut failures = Vec::new();
    if odd > 0 {
        failures.push(format!("figures that are not typical: {odd}"));
    }
    if !card.warnings.is_empty() {
        failures.push(format!("warnings of the model: {}", card.warnings.len()));
    }
    Ok(Answer::given(text, None, failures))
}
