//! `falseair vehicle new`.

use crate::answer::given::{Given, Names};
use crate::answer::write::OutFile;
use crate::answer::{Answer, Trouble};
use crate::commands::vehicle::vehicle_file::{Digits, vehicle_file};
use crate::page::{Block, Cell, Column, Page, Section};
use crate::say::vehicle as say;
use clap::ValueHint;
use sim::study::making::sizing::{SizedCar, TenNumbers, card, size};
use std::path::Path;

pub(super) const HELP: &str = "\
Example:
  falseair vehicle new --displacement \"1.6 L\" --cylinders 4 \\
      --power \"132 kW\" --power-speed \"5500 rpm\" --torque \"250 N m\" \\
      --torque-speed \"2000 rpm\" --boost \"85 kPa gauge\" --out my-car.toml

Exit codes: 0 a file, 2 numbers that clash or cannot be used.";

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

impl Names for Flags {
    const FLAGS: &'static [(&'static str, &'static str)] = &[
        ("rated_power", "power"),
        ("rated_speed", "power-speed"),
        ("peak_torque", "torque"),
        ("peak_torque_speed", "torque-speed"),
        ("peak_boost", "boost"),
    ];
    const FILE: Option<&'static str> = Some("numbers");
}

pub(super) fn run(options: &New) -> Result<Answer, Trouble> {
    let (numbers, _) = options.given.read()?;
    let car = size(&numbers).map_err(|why| Trouble::Other(why.to_string()))?;
    let text = vehicle_file(&car.vehicle, &car.notes, Digits::Six);
    Ok(match &options.out {
        None => Answer::given(text, None, Vec::new()),
        Some(file) => {
            let said = spare(file, &car).printed();
            Answer::given(said, None, Vec::new()).with([file.holding(text)])
        }
    })
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
    Page {
        title: format!("{}: written to {}", car.vehicle.name, path.display()),
        sections: vec![Section::new("", vec![table, Block::Words(said)])],
        ..Page::default()
    }
}
