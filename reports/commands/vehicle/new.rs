//! `falseair vehicle new`.

use crate::answer::given::{Given, Names};
use crate::answer::write::OutFile;
use crate::answer::written::{Digits, vehicle_file};
use crate::answer::{Answer, Trouble};
use crate::input::beside::beside;
use crate::page::{Block, Cell, Column, Page, Section};
use crate::say::vehicle as say;
use crate::text::printed::Text;
use clap::ValueHint;
use sim::study::knowing::doubt::CarDoubt;
use sim::study::making::sizing::{SizedCar, TenNumbers, card, size};
use sim::units::round;
use std::fmt::Write;
use std::path::Path;

pub(super) const HELP: &str = "\
Example:
  falseair vehicle new --displacement \"1.6 L\" --cylinders 4 \\
      --power \"132 kW\" --power-speed \"5500 rpm\" --torque \"250 N m\" \\
      --torque-speed \"2000 rpm\" --boost \"85 kPa gauge\" --out my-car.toml

The plate as it stands in the papers will do: leave out the boost and give the
torque's range of speeds:
  falseair vehicle new --displacement \"2.0 L\" --cylinders 4 \\
      --power \"147 kW\" --power-speed \"5100 rpm\" --torque \"280 N m\" \\
      --torque-speed \"1800 rpm\" --torque-speed-end \"5000 rpm\" --out my-car.toml

Where the car misses its plate by more than 3 %, that is said here and in the
file. A file beside it (my-car.doubt.toml) then makes a diagnosis of that car
trust it less.

Exit codes: 0 a file, 2 numbers that contradict each other or cannot be used.";

/// Options of `vehicle new`.
#[derive(Debug, clap::Args)]
pub struct New {
    #[command(flatten)]
    given: Given<TenNumbers, Flags>,
    /// File to write, instead of the terminal.
    #[arg(long, value_name = "FILE.toml", value_hint = ValueHint::FilePath)]
    out: Option<OutFile>,
}

/// Shorter than the keys.
#[derive(Clone, Debug)]
struct Flags;

impl New {
    /// Of the ten numbers in this file, for that one.
    pub fn of(numbers: &Path, car: &Path) -> Self {
        Self {
            given: Given::file(numbers),
            out: Some(OutFile::new(car)),
        }
    }
}

impl Names for Flags {
    const FLAGS: &'static [(&'static str, &'static str)] = &[
        ("rated_power", "power"),
        ("rated_speed", "power-speed"),
        ("peak_torque", "torque"),
        ("peak_torque_speed", "torque-speed"),
        ("peak_torque_speed_end", "torque-speed-end"),
        ("peak_boost", "boost"),
        ("rated_boost", "power-boost"),
    ];
    const FILE: Option<&'static str> = Some("numbers");
}

/// Runs the command.
///
/// # Errors
/// Input that cannot be used.
pub fn run(options: &New) -> Result<Answer, Trouble> {
    let (numbers, _) = options.given.read()?;
    let car = size(&numbers).map_err(|why| Trouble::Other(why.to_string()))?;
    let mut notes = car.notes.clone();
    let missed = car
        .misses
        .iter()
        .map(|miss| (String::new(), say::missed(miss)));
    notes.extend(missed);
    let text = vehicle_file(&car.vehicle, &notes, Digits::Six);
    Ok(match &options.out {
        None => Answer::given(text, None, Vec::new()),
        Some(file) => {
            let said: Text = match cfg!(feature = "program") {
                true => spare(file, &car).printed().into(),
                false => String::new().into(),
            };
            let mut files = vec![file.holding(text)];
            if !car.misses.is_empty() {
                files.push(file.beside(beside(file), doubts(file, &car)));
            }
            Answer::given(said, None, Vec::new()).with(files)
        }
    })
}

/// The text of the file that says how far a car that misses its plate is trusted.
fn doubts(path: &Path, car: &SizedCar) -> String {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let mut text = format!(
        "# What is in doubt of the car in {name}, which misses numbers of its plate.\n\
         # doubt: standard deviation over that of a car of its make.\n\n\
         vehicle = {name:?}\ncar = \"estimated\"\n"
    );
    for key in CarDoubt::usual(&car.network(), 1.0).keys {
        let doubt = round(car.doubt(), 3);
        let _ = write!(text, "\n[[number]]\nkey = \"{key}\"\ndoubt = {doubt}\n");
    }
    text
}

/// What was written and what the car has to spare.
fn spare(path: &Path, car: &SizedCar) -> Page {
    let rows = car.margins.iter().map(|margin| {
        let value = Cell::number(margin.value, 2, "");
        vec![Cell::words(margin.what), value, Cell::words(margin.unit)]
    });
    let (what, unit) = (Column::words("what"), Column::words("unit"));
    let table = Block::table(say::SPARE, [what, Column::numbers("value", ""), unit], rows);
    let odd = card(&car.vehicle)
        .map(|card| card.flagged().count() + card.dangers.len() + card.warnings.len());
    let said = match odd {
        Ok(0) => say::typical(path.display()),
        _ => say::look(path.display()),
    };
    let missed = car
        .misses
        .iter()
        .map(|miss| Block::Caution(say::missed(miss)));
    let mut blocks = vec![table];
    blocks.extend(missed);
    if !car.misses.is_empty() {
        blocks.push(Block::Words(say::doubted(
            beside(path).display(),
            round(car.doubt(), 2),
        )));
    }
    blocks.push(Block::Words(said));
    Page {
        title: format!("{}: written to {}", car.vehicle.name, path.display()),
        sections: vec![Section::new("", blocks)],
        ..Page::default()
    }
}
