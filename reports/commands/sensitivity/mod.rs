//! `falseair sensitivity`: which number of the car moves which reading, and how far.

mod form;
mod page;

use crate::answer::{Answer, Asked, Form as Face, SchemaOf, Trouble, WithCsv, head, schema};
use crate::input::case::read;
use form::{Explained, Point, SensitivityFile};
use rayon::prelude::*;
use sim::control::{Code, Command};
use sim::leak::Shape;
use sim::network::readings::{ALL, FORMS};
use sim::network::{FaultKind, Network, Reading, Vehicle};
use sim::params::{Described, Field, Form, nearest, renamed};
use sim::study::asking::sensitivity::{
    PointSlopes, Quantity, Sensitivity as Study, named, quantities,
};
use sim::study::running::simulate::Comparison;
use sim::units::{Dimension, convert, natural_unit, show_to};
use std::path::PathBuf;

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("sensitivity", schema::<form::SensitivityFile>);

/// Options of `sensitivity`.
#[derive(Debug, clap::Args)]
pub struct Sensitivity {
    /// File that names the car, the air around it, leaks, faults, operating points.
    pub scenario: PathBuf,
    /// Reading to explain, by its key, or the level of a trouble code (P0171);
    /// may be given again. Without it: trim, lambda, boost, turbo speed, torque
    /// in a table, every reading elsewhere.
    #[arg(long, value_name = "READING")]
    pub of: Vec<String>,
    /// Quantity to change, by its dotted key or the first words of it
    /// (`vehicle.compressor`, `leak.0`); may be given again. Without it: all.
    #[arg(long, value_name = "KEY")]
    pub by: Vec<String>,
    /// Only the quantities that move a reading most; 6 in a table or on a page, all elsewhere.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..))]
    pub top: Option<u16>,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked<WithCsv>,
}

/// What is explained.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Of {
    /// A reading.
    Reading(Reading),
    /// How close a monitor is to setting its code: 1 sets it.
    Level(Code),
}

/// A quantity as people read it.
struct Shown {
    /// Its key and SI value.
    quantity: Quantity,
    /// What it is, in words: `turbine: effective throat area`.
    name: String,
    /// What it measures.
    dimension: Dimension,
    /// Its natural unit; empty for a plain ratio.
    unit: String,
    /// One of that unit in SI.
    one: f64,
    /// Change, SI, that ranks it beside others: 1 % of it, or where it is zero, of
    /// the range it may have.
    step: f64,
}

/// Quantities a reading in a table, where no number is given.
const TOP: usize = 6;

/// Readings in a table, where none is named.
const IN_A_TABLE: [Reading; 5] = [
    Reading::FuelTrim,
    Reading::Lambda,
    Reading::Boost,
    Reading::ShaftSpeed,
    Reading::Torque,
];

impl Shown {
    /// As it is.
    fn now(&self) -> String {
        show_to(self.quantity.value, self.dimension, 3).replace("mm2", "mm²")
    }
}

impl Of {
    /// Its key.
    fn key(self) -> &'static str {
        match self {
            Of::Reading(reading) => FORMS[reading as usize].key,
            Of::Level(code) => code.word(),
        }
    }

    /// Its unit.
    fn unit(self) -> &'static str {
        match self {
            Of::Reading(reading) => FORMS[reading as usize].unit,
            Of::Level(_) => "",
        }
    }

    /// Its value at a point; none where it has no meaning.
    fn value(self, point: &PointSlopes) -> Option<f64> {
        match self {
            Of::Reading(reading) => point.side.readings.get(reading),
            Of::Level(code) => point.side.levels[code as usize],
        }
    }
}

/// Answers `falseair sensitivity`.
///
/// # Errors
/// Files that cannot be used, a reading or quantity that is not there, an answer
/// that cannot be written.
pub fn sensitivity(options: &Sensitivity) -> Result<Answer, Trouble> {
    let (case, source) = read(&options.scenario)?;
    let mut commands: Vec<(String, Command)> = Vec::new();
    for (i, wanted) in case.scenario.point.iter().enumerate() {
        let command = wanted
            .command()
            .map_err(|m| source.error_at(&format!("point.{i}.{}", m.key), m.message))?;
        commands.push((wanted.name.clone(), command));
    }
    if commands.is_empty() {
        let message = "this scenario has no `[[point]]` to take derivatives at";
        return Err(source.error_at("title", message).into());
    }
    let mut by = quantities(&case.network);
    if !options.by.is_empty() {
        by = named(&by, &options.by).map_err(|e| Trouble::Other(e.to_string()))?;
    }
    let tabular = options.asked.format == Face::Table;
    let rows = options.top.map_or(TOP, usize::from);
    let of = wanted(&options.of, tabular).map_err(Trouble::Other)?;
    let cars = Comparison::having(&case.network, case.scenario.history);
    let study = Study::new(&cars, by);
    let quantities = study.quantities.iter();
    let by: Vec<Shown> = quantities.map(|by| shown(&case.network, by)).collect();
    let top = match options.top {
        Some(top) => usize::from(top),
        None if tabular => TOP,
        None => usize::MAX,
    };
    let points =
        (commands.into_par_iter()).map(|(name, command)| match study.point(&name, command) {
            Ok(point) => {
                let explained = of.iter().map(|of| Explained::new(*of, &by, &point, top));
                Point::new(name, explained.collect(), &point)
            }
            Err(why) => Point::failed(name, &why),
        });
    options.asked.answer(&SensitivityFile {
        points: points.collect(),
        scenario: case.scenario.title.clone(),
        vehicle: case.network.vehicle.name.clone(),
        head: head::page(&case),
        top: rows,
        full: options.asked.full,
    })
}

fn wanted(keys: &[String], tabular: bool) -> Result<Vec<Of>, String> {
    if keys.is_empty() {
        let all = if tabular { &IN_A_TABLE[..] } else { ALL };
        return Ok(all.iter().map(|reading| Of::Reading(*reading)).collect());
    }
    let find = |key: &String| {
        let readings = ALL.iter().map(|reading| Of::Reading(*reading));
        let codes = Code::WORDS.iter().map(|(_, code, _)| Of::Level(*code));
        let all: Vec<Of> = readings.chain(codes).collect();
        let found = all.iter().find(|of| of.key() == renamed(key)).copied();
        found.ok_or_else(|| {
            let near = nearest(key, all.iter().map(|of| of.key()));
            let near = near.map_or(String::new(), |near| format!("; did you mean `{near}`?"));
            format!("there is no reading `{key}`{near}")
        })
    };
    keys.iter().map(find).collect()
}

/// What is known of the quantity with this dotted key.
fn field(key: &str) -> Option<Field> {
    let words: Vec<&str> = key.split('.').collect();
    match words[..] {
        ["leak", _, shape, name] => {
            let shape = Shape::NAMES.iter().position(|known| *known == shape)?;
            let mut fields = Shape::FIELDS[shape].iter();
            fields.find(|field| field.name == name).copied()
        }
        ["fault", _, name] => {
            let found = FaultKind::ALL.iter().find(|kind| kind.key() == name)?;
            Some(*found.field())
        }
        _ => {
            let mut form = Vehicle::<f64>::form();
            for word in &words {
                form = match form {
                    Form::Table(table) => {
                        table.keys.into_iter().find(|key| key.name == *word)?.form
                    }
                    // `target.1.0`: the first number of the second point.
                    Form::Curve { x, y, .. } => {
                        return Some(if words.last() == Some(&"0") { x } else { y });
                    }
                    _ => return None,
                }
            }
            match form {
                Form::Quantity(field) => Some(field),
                _ => None,
            }
        }
    }
}

/// A quantity in words: what it belongs to, and its key: `turbine: throat area`.
fn name(car: &Network<f64>, key: &str) -> String {
    let words: Vec<&str> = key.split('.').collect();
    // `boost.target.2.1`: of the third point of a curve the second number.
    if let [curve @ .., point, which @ ("0" | "1")] = &words[..]
        && let Ok(point) = point.parse::<usize>()
    {
        let of = if *which == "0" {
            "place of point"
        } else {
            "point"
        };
        return format!("{}, {of} {}", name(car, &curve.join(".")), point + 1);
    }
    let spaced = |word: &&str| match *word {
        "filling" | "filling_share" => "volumetric efficiency".into(),
        "recirculation_valve" => "bypass valve".into(),
        word => word.replace('_', " "),
    };
    let own = |from: usize| {
        words
            .iter()
            .skip(from)
            .map(spaced)
            .collect::<Vec<_>>()
            .join(" ")
    };
    match words[0] {
        "leak" => {
            let leak = words[1].parse().ok().and_then(|i: usize| car.leaks.get(i));
            let place = leak.map_or(String::new(), |leak| leak.place.label());
            format!("{place}, {}: {}", spaced(&words[2]), own(3))
        }
        "fault" => own(2),
        group => match own(1) {
            own if own.is_empty() => spaced(&group),
            own if own.starts_with(group) => own,
            own => format!("{}: {own}", spaced(&group)),
        },
    }
}

fn shown(car: &Network<f64>, quantity: &Quantity) -> Shown {
    let field = field(&quantity.key);
    let dimension = field.map_or(Dimension::Ratio, |field| field.dimension);
    let width = field.map_or(1.0, |field| field.high - field.low);
    let width = if width.is_finite() { width } else { 1.0 };
    let (typical, step) = if quantity.value == 0.0 {
        (0.1 * width, 0.01 * width)
    } else {
        (quantity.value, 0.01 * quantity.value)
    };
    let unit = natural_unit(typical, dimension);
    let number = |value: f64| convert(value, &unit, dimension).unwrap_or(value);
    Shown {
        one: 1.0 / (number(1.0) - number(0.0)),
        name: name(car, &quantity.key),
        quantity: quantity.clone(),
        dimension,
        unit,
        step,
    }
}
