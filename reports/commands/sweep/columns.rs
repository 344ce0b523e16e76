//! The columns of a study's answer, and a row in them.

use crate::answer::readings::ByKey;
use serde::{Deserialize, Serialize};
use sim::network::AirLedger;
use sim::network::readings::{FORMS, Reading};
use sim::params::{Content, Described};
use sim::study::asking::sweep::{Axis, Derivative, Outcome, Plan, REDUCED, Row, Target, Value};
use sim::study::running::dangers::Danger;
use sim::units::{Dimension, convert, natural_unit, round, written};

/// What stands in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// A whole number, in every row.
    Whole,
    /// A number, or nothing.
    Number,
    /// Text, perhaps empty.
    Text,
    /// One of a few words.
    Word,
}

impl Kind {
    /// Whether it is no number.
    pub fn is_text(self) -> bool {
        matches!(self, Kind::Text | Kind::Word)
    }
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// Its head; a unit stands at its end.
    pub name: String,
    /// Its unit; empty for a plain number and for text.
    pub unit: String,
    /// What it holds, in words.
    pub about: String,
    /// What stands in it.
    pub kind: Kind,
}

/// Position of the column with `ok` or the kind of failure.
pub fn answer_column(columns: &[Column]) -> usize {
    let found = columns.iter().position(|column| column.name == "answer");
    found.unwrap_or(0)
}

/// Makes rows into cells.
#[derive(Clone, Debug)]
pub struct Table<'a> {
    plan: &'a Plan,
    points: Vec<&'a str>,
    /// Unit of each axis.
    units: Vec<String>,
    /// For each derivative, SI units in one of its quantity's unit.
    ones: Vec<f64>,
    /// The columns.
    pub columns: Vec<Column>,
}

impl<'a> Table<'a> {
    /// The table of a study.
    pub fn new(plan: &'a Plan) -> Self {
        let units: Vec<String> = plan.axes.iter().map(axis_unit).collect();
        let ones = plan.derivatives.iter().map(|by| {
            let unit = derivative_unit(plan, &units, by);
            let number = |si| convert(si, &unit, by.field.dimension).unwrap_or(si);
            1.0 / (number(1.0) - number(0.0))
        });
        Self {
            ones: ones.collect(),
            plan,
            points: plan.points().collect(),
            columns: columns(plan, &units),
            units,
        }
    }

    /// The texts of a row, one a column; numbers as short as they read back the same.
    pub fn cells(&self, row: &Row) -> Vec<String> {
        let mut cells = vec![row.case.to_string()];
        let values = self.plan.axes.iter().zip(&row.values).zip(&self.units);
        cells.extend(values.map(|((axis, value), unit)| value_text(axis, value, unit)));
        let point = self.points.get(row.point).copied().unwrap_or("drive");
        cells.push(point.into());
        match &row.outcome {
            Outcome::Point(side, slopes, branch) => {
                let codes: Vec<&str> = side.codes.iter().map(|code| code.word()).collect();
                let said = [
                    "ok".into(),
                    String::new(),
                    kinds(&side.dangers),
                    codes.join(" "),
                ];
                cells.extend(said);
                cells.push(side.warned().join("; "));
                cells.push(branch.word().into());
                let value = |r: &Reading| number(side.readings.values[*r as usize]);
                cells.extend(self.plan.readings.iter().map(value));
                cells.extend(
                    side.ledger
                        .values()
                        .map(|flow| flow.map_or(String::new(), number)),
                );
                for leak in &side.leaks {
                    cells.push(number(leak.flow));
                    cells.push(leak.equivalent_hole.map_or(String::new(), number));
                }
                for (by, one) in self.ones.iter().enumerate() {
                    let slope = |r: &Reading| number(slopes[(*r as usize, by)] * one);
                    cells.extend(self.plan.readings.iter().map(slope));
                }
            }
            Outcome::Drive(drive) => {
                let codes: Vec<&str> = drive.codes.iter().map(|code| code.word()).collect();
                let dangers = kinds(&drive.dangers);
                cells.extend(["ok".into(), String::new(), dangers, codes.join(" ")]);
                let values = |r: &Reading| drive.readings[*r as usize].map(number);
                cells.extend(self.plan.readings.iter().flat_map(values));
            }
            Outcome::None(failed) => cells.extend([failed.kind.into(), failed.why.clone()]),
        }
        cells.resize(self.columns.len(), String::new());
        cells
    }
}

/// Kinds of dangers in one cell.
fn kinds(dangers: &[Danger]) -> String {
    let kinds = dangers.iter().map(|danger| danger.hazard.word());
    kinds.collect::<Vec<_>>().join(" ")
}

fn columns(plan: &Plan, units: &[String]) -> Vec<Column> {
    let column = |name: &str, unit: &str, about: &str, kind| Column {
        name: name.into(),
        unit: unit.into(),
        about: about.into(),
        kind,
    };
    let text = |name: &str, about: &str| column(name, "", about, Kind::Text);
    let word = |name: &str, about: &str| column(name, "", about, Kind::Word);
    let number = |name: &str, unit: &str, about: &str| column(name, unit, about, Kind::Number);
    let forms = || {
        plan.readings
            .iter()
            .map(|reading| &FORMS[*reading as usize])
    };
    let case = "number of the case, from 0";
    let mut all = vec![column("case", "", case, Kind::Whole)];
    all.extend(plan.axes.iter().zip(units).map(|(axis, unit)| {
        let name = headed(&axis.key, unit);
        match &axis.target {
            Target::Quantity(field) => number(&name, unit, field.doc.trim()),
            _ => column(&name, unit, "axis", Kind::Word),
        }
    }));
    all.push(word("point", "operating point"));
    all.push(word("answer", "`ok`, or the kind of failure"));
    all.push(text("reason", "why there is no answer"));
    all.push(text("dangers", "kinds of danger, the engine run so"));
    all.push(text("codes", "trouble codes set"));
    if plan.is_drive() {
        for form in forms() {
            all.extend(REDUCED.map(|which| {
                let name = format!("{}_{which}", form.key);
                let about = format!("{}, {which} over the drive", form.label);
                number(&name, form.unit, &about)
            }));
        }
    } else {
        let about = "conditions outside the model's or the engine's range";
        all.push(text("warnings", about));
        let about = "which steady state, where there are several: `followed` leads back to the \
                     healthy car's without a jump";
        all.push(word("branch", about));
        all.extend(forms().map(|form| number(form.key, form.unit, form.label)));
        all.extend(AirLedger::declared().map(|flow| number(flow.key, flow.unit, flow.about())));
        for leak in 0..plan.leaks() {
            let [flow, hole] =
                ["flow_g_s", "equivalent_hole_mm"].map(|key| format!("leak_{leak}_{key}"));
            all.push(number(&flow, "g/s", "through this leak, inward positive"));
            let about = "sharp-edged hole that passes the same flow";
            all.push(number(&hole, "mm", about));
        }
    }
    for by in &plan.derivatives {
        let unit = derivative_unit(plan, units, by);
        let head = headed(&by.key, &unit);
        all.extend(forms().map(|form| {
            let per = match (form.unit, unit.as_str()) {
                (of, "") => of.to_string(),
                ("", unit) => format!("1/{unit}"),
                (of, unit) => format!("{of}/{unit}"),
            };
            let about = format!("{}, derivative by {}", form.label, by.field.doc.trim());
            number(&format!("{} per {head}", form.key), &per, &about)
        }));
    }
    all
}

/// A key as a head, with its unit.
fn headed(key: &str, unit: &str) -> String {
    match unit {
        "" => key.into(),
        unit => format!("{key} [{unit}]"),
    }
}

/// Unit of what a derivative is taken by: that of its axis, if it has one.
fn derivative_unit(plan: &Plan, units: &[String], by: &Derivative) -> String {
    let axis = plan.axes.iter().position(|axis| axis.key == by.key);
    let own = || natural_unit(by.quantity.value, by.field.dimension);
    axis.map_or_else(own, |axis| units[axis].clone())
}

fn axis_unit(axis: &Axis) -> String {
    let Target::Quantity(field) = &axis.target else {
        return String::new();
    };
    if let Some(unit) = &axis.unit {
        return unit.clone();
    }
    // The unit of the largest value, so that zero does not choose.
    let ends = [axis.value(0), axis.value(axis.len() - 1), axis.between(1.0)];
    let sizes = ends.map(|end| match end {
        Value::Number(number) => number.abs(),
        _ => 0.0,
    });
    natural_unit(sizes.into_iter().fold(0.0, f64::max), field.dimension)
}

fn value_text(axis: &Axis, value: &Value, unit: &str) -> String {
    match value {
        Value::Number(si) => {
            let dimension = match &axis.target {
                Target::Quantity(field) => field.dimension,
                _ => Dimension::Ratio,
            };
            // Fifteen digits: the conversion's round-off is not part of the value.
            convert(*si, unit, dimension).map_or(String::new(), |value| round(value, 15))
        }
        Value::Place(place) => place.word().into(),
        Value::Trims(trims) => trims.word().into(),
        Value::History(history) => history.word().into(),
        Value::Boost(control) => control.word().into(),
        Value::Metering(metering) => metering.word().into(),
        Value::Shape(shape) => shape_text(shape),
    }
}

/// A shape in one line: `slot: gap 0.6 mm, length 30 mm, depth 6 mm`.
fn shape_text(shape: &sim::leak::Shape<f64>) -> String {
    let form = shape.name();
    let index = sim::leak::Shape::NAMES
        .iter()
        .position(|name| *name == form);
    let fields = index.map_or(&[][..], |index| sim::leak::Shape::FIELDS[index]);
    let mut numbers = Vec::new();
    if let Content::Table(shapes) = shape.content() {
        for (_, content) in shapes {
            if let Some(Content::Table(keys)) = content {
                numbers = keys;
            }
        }
    }
    let said = fields
        .iter()
        .zip(numbers)
        .filter_map(|(field, (_, content))| match content {
            Some(Content::Number(value)) => Some(format!(
                "{} {}",
                field.name,
                written(value, field.dimension)
            )),
            _ => None,
        });
    format!("{form}: {}", said.collect::<Vec<_>>().join(", "))
}

/// The shortest text that reads back the same; empty where a reading has no meaning.
fn number(value: f64) -> String {
    match value.abs() {
        size if !size.is_finite() => String::new(),
        size if size != 0.0 && !(1e-4..1e15).contains(&size) => format!("{value:e}"),
        _ => value.to_string(),
    }
}
