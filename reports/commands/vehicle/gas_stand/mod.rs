//! `falseair vehicle gas-stand`: a gas-stand table to the compressor or turbine
//! table of a vehicle file, and how well it fits.

mod page;
mod toml;

use crate::answer::write::OutFile;
use crate::answer::{Answer, Form, Plain, SchemaOf, Trouble, schema};
use crate::input::InputError;
use crate::input::gas_stand::{Machine, Points, StandTable};
use clap::ValueHint;
use sim::machine::compressor::Compressor;
use sim::machine::gas_stand::{Quality, Unseen};
use sim::machine::turbine::Turbine;
use sim::params::{Field, Table};
use sim::units::{Dimension, parse, show_to};
use std::path::PathBuf;

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("vehicle-gas-stand", schema::<Fitted>);

/// Options of `vehicle gas-stand`.
#[derive(Debug, clap::Args)]
pub struct GasStand {
    /// The table: comma, semicolon or tab between the cells.
    #[arg(value_name = "FILE.csv")]
    pub table: PathBuf,
    /// File for the `[compressor]` or `[turbine]` table, replaced if there.
    ///
    /// Without it the table stands below the report.
    #[arg(long, value_name = "FILE.toml", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Form of the report.
    #[arg(long, default_value = "table", value_parser = Form::parser::<Plain>())]
    pub format: Form,
}

pub(super) const HELP: &str = "\
The file:
  ## A remark. A `#` line with a colon says something about the table:
  # machine: compressor
  # name: any text
  # reference temperature: 25 degC
  # reference pressure: 100 kPa abs
  # wheel diameter: 49 mm
  corrected flow [kg/s], pressure ratio, efficiency [%], corrected speed [rpm]
  0.052, 1.48, 71.5, 88000
  ...

For a turbine also `# stand temperature: 600 degC`, the gas temperature before
it, and the columns
  corrected flow [kg/s], expansion ratio, efficiency [%], blade-speed ratio

Flow and speed are corrected to the reference temperature and pressure of the
inlet. Pressure ratio is total to total; expansion ratio and turbine efficiency
are total to static, bearing loss taken off. Columns may stand in any order and
in any unit of their kind (g/s, lb/min, krpm, ...). A decimal comma is accepted
where cells are parted by semicolons or tabs. At least 8 compressor points on
speed lines 20 % apart, at least 3 turbine points.

Examples:
  falseair vehicle gas-stand scenarios/gas_stand/compressor.csv
  falseair vehicle gas-stand scenarios/gas_stand/turbine.csv --out turbine.toml

Exit codes: 0 an answer, 2 input that cannot be used.";

/// Where a number of the machine comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Origin {
    /// Fitted, with its standard error, SI (see [`sim::machine::gas_stand::Coefficient`]).
    Fitted(f64),
    /// Stated above the table.
    Stated,
    /// Steady points cannot tell it: the default of a vehicle file.
    Default,
}

/// One number of the machine.
#[derive(Clone, Debug)]
pub struct Value {
    /// Its key, dimension, range and meaning in a vehicle file.
    pub field: &'static Field,
    /// As written in a vehicle file, to six digits, without quotes.
    pub text: String,
    /// What `text` reads back as, SI.
    pub si: f64,
    /// Where it comes from.
    pub origin: Origin,
}

impl Value {
    /// Whether a vehicle file has it as a bare number.
    pub fn is_bare(&self) -> bool {
        self.field.dimension == Dimension::Ratio
    }
}

/// A table with the machine fitted to it.
pub struct Fitted {
    /// What was read.
    pub table: StandTable,
    /// Every number of the machine, in the order of a vehicle file.
    pub values: Vec<Value>,
    /// How well it fits.
    pub quality: Quality,
    /// The file that its table goes to.
    pub written: Option<PathBuf>,
}

/// Fits the machine of a table.
///
/// # Errors
/// [`Unfit`](sim::machine::gas_stand::Unfit), at the line it lies at.
pub fn fit(table: StandTable) -> Result<Fitted, InputError> {
    let mut found = Vec::new();
    let mut note = |_: &str, value: f64| found.push(value);
    let (fields, quality) = match &table.points {
        Points::Compressor(points) => {
            let fitted = points.fit(&Unseen::default());
            let (machine, quality) = fitted.map_err(|why| table.unfit(&why))?;
            machine.map(&mut note);
            (Compressor::FIELDS, quality)
        }
        Points::Turbine(points) => {
            let (machine, quality) = points.fit().map_err(|why| table.unfit(&why))?;
            machine.map(&mut note);
            (Turbine::FIELDS, quality)
        }
    };
    let values = (fields.iter().zip(found))
        .map(|(field, value)| written(field, value, &quality))
        .collect();
    Ok(Fitted {
        table,
        values,
        quality,
        written: None,
    })
}

/// More digits than a stand can tell, few enough to read.
const DIGITS: usize = 6;

fn written(field: &'static Field, value: f64, quality: &Quality) -> Value {
    let fitted = quality.coefficients.iter().find(|c| c.name == field.name);
    let origin = match (fitted, field.name) {
        (Some(coefficient), _) => Origin::Fitted(coefficient.doubt),
        (None, "wheel_diameter") => Origin::Stated,
        (None, _) => Origin::Default,
    };
    let text = show_to(value, field.dimension, DIGITS);
    // What was just shown is read back, so the fallback is never taken.
    let si = parse(&text, field.dimension).unwrap_or(value);
    Value {
        field,
        text,
        si,
        origin,
    }
}

/// Runs the command.
///
/// # Errors
/// A table that cannot be used; a file that cannot be written.
pub fn run(options: &GasStand) -> Result<Answer, Trouble> {
    let mut fitted = fit(StandTable::read(&options.table)?)?;
    fitted.written = options.out.as_deref().map(PathBuf::from);
    let files = options.out.as_ref();
    let files = files.map(|file| file.holding(fitted.toml()));
    let text = options.format.of(&fitted)?;
    Ok(Answer::given(text, None, Vec::new()).with(files))
}

impl Fitted {
    /// The name of its table in a vehicle file.
    pub fn section(&self) -> &'static str {
        self.table.machine().word()
    }

    /// Where the machine does not run, for the points outside.
    pub fn outside_means(&self) -> &'static str {
        match self.table.machine() {
            Machine::Compressor => "left of its surge line or beyond its flow at zero head",
            Machine::Turbine => "beyond the blade-speed ratio of zero efficiency",
        }
    }
}
