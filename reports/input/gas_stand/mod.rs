//! Reading the table of a gas stand: separated values under a head of remarks.
//!
//! Lines that start with `#` and hold a colon say something about the whole
//! table (`# reference pressure: 100 kPa abs`); other `#` lines, and those that
//! start with `##`, are remarks. The first other line names the columns, with
//! units in brackets; every further one is a point.

mod head;
mod row;

use crate::{InputError, Source, invented};
use head::{Head, head, lines, remark};
use row::Row;
use sim::machine::gas_stand::{
    Column as Wrong, CompressorPoint, CompressorTable, TurbinePoint, TurbineTable, Unfit,
};
use sim::spelling::quote;
use sim::units::Dimension;
use std::path::Path;

sim::words! {
    /// What the table is of.
    pub enum Machine {
        /// Corrected flow, pressure ratio, efficiency, corrected speed.
        Compressor = "compressor",
        /// Corrected flow, expansion ratio, efficiency, blade-speed ratio.
        Turbine = "turbine",
    }
}

/// A column: how it is called, what it measures, a unit as an example.
type Column = (&'static str, Dimension, &'static str);

const COMPRESSOR: [Column; 4] = [
    ("corrected flow", Dimension::MassFlow, "kg/s"),
    ("pressure ratio", Dimension::Ratio, ""),
    ("efficiency", Dimension::Ratio, "%"),
    ("corrected speed", Dimension::AngularSpeed, "rpm"),
];

const TURBINE: [Column; 4] = [
    ("corrected flow", Dimension::MassFlow, "kg/s"),
    ("expansion ratio", Dimension::Ratio, ""),
    ("efficiency", Dimension::Ratio, "%"),
    ("blade-speed ratio", Dimension::Ratio, ""),
];

/// The points, as the fit takes them.
#[derive(Clone, Debug, PartialEq)]
pub enum Points {
    /// Of a compressor.
    Compressor(CompressorTable),
    /// Of a turbine.
    Turbine(TurbineTable),
}

/// A table and where everything stands in its file.
#[derive(Clone, Debug)]
pub struct StandTable {
    source: Source,
    delimiter: u8,
    /// For each column of [`COMPRESSOR`] or [`TURBINE`], its place in the file.
    order: [usize; 4],
    /// Where the line of the column names starts, bytes; then that of each point.
    starts: Vec<usize>,
    /// What its maker calls it; empty if not said.
    pub name: String,
    /// Whether that says that it is invented.
    pub invented: bool,
    /// The points in SI.
    pub points: Points,
}

impl StandTable {
    /// Reads a table of at most 4 MB.
    ///
    /// # Errors
    /// The file cannot be read, or says something else than the module's form:
    /// an unknown, repeated or missing key or column, a wrong unit, a cell that
    /// is not a number, a condition out of range.
    pub fn read(path: &Path) -> Result<Self, InputError> {
        Self::from_source(Source::read(path)?)
    }

    /// The same from a text.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub fn from_source(source: Source) -> Result<Self, InputError> {
        let text = source.text();
        // `;;;` is what spreadsheets leave of an empty line.
        let empty = |line: &str| line.trim_matches([',', ';', ' ', '\t']).is_empty();
        let written = || lines(text).filter(|(_, line)| !empty(line));
        let mut rows = written().filter(|(_, line)| remark(line).is_none());
        let Some((names_at, names)) = rows.next() else {
            let message = "there is no row of column names, and no point";
            return Err(InputError::new(source.path(), message));
        };
        let delimiter = [b'\t', b';']
            .into_iter()
            .find(|d| names.as_bytes().contains(d));
        let delimiter = delimiter.unwrap_or(b',');
        let head = head(&source, written(), delimiter)?;
        let columns = match head.machine {
            Machine::Compressor => &COMPRESSOR,
            Machine::Turbine => &TURBINE,
        };
        let names = Row::new(&source, delimiter, names_at, names);
        let (order, units) = names.columns(columns)?;
        let width = 1 + order.iter().max().unwrap_or(&0);
        let mut starts = vec![names_at];
        let mut values = Vec::new();
        for (at, line) in rows {
            let row = Row::new(&source, delimiter, at, line);
            row.check_width(width)?;
            let mut point = [0.0; 4];
            for (k, (name, dimension, _)) in columns.iter().enumerate() {
                point[k] = row.number(order[k], name, &units[k], *dimension)?;
            }
            starts.push(at);
            values.push(point);
        }
        Ok(Self {
            name: head.name.to_owned(),
            invented: invented(&[head.name]),
            points: points(&head, &values),
            delimiter,
            order,
            starts,
            source,
        })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        self.source.path()
    }

    /// What it is a table of.
    pub fn machine(&self) -> Machine {
        match self.points {
            Points::Compressor(_) => Machine::Compressor,
            Points::Turbine(_) => Machine::Turbine,
        }
    }

    fn columns(&self) -> &'static [Column; 4] {
        match self.machine() {
            Machine::Compressor => &COMPRESSOR,
            Machine::Turbine => &TURBINE,
        }
    }

    /// The line of a point, from 1.
    pub fn line(&self, point: usize) -> usize {
        let start = self.starts.get(1 + point).copied().unwrap_or_default();
        self.source.text()[..start].matches('\n').count() + 1
    }

    fn row(&self, index: usize) -> Row<'_> {
        let start = self.starts[index.min(self.starts.len() - 1)];
        let line = self.source.text()[start..].lines().next();
        Row::new(
            &self.source,
            self.delimiter,
            start,
            line.unwrap_or_default(),
        )
    }

    /// The names of the columns as the file spells them, in the order of the fit.
    pub fn column_names(&self) -> [String; 4] {
        let names = self.row(0);
        self.order.map(|i| names.cell(i).to_owned())
    }

    /// The cells of a point as the file spells them, in the order of the fit.
    pub fn cells(&self, point: usize) -> [String; 4] {
        let row = self.row(1 + point);
        self.order.map(|i| row.cell(i).to_owned())
    }

    /// Why the table cannot be fitted, at the point or column it lies at.
    pub fn unfit(&self, why: &Unfit) -> InputError {
        // Where it stands in the file, and its name: in the order of the columns above.
        let place = |column: &Wrong| {
            let k = match column {
                Wrong::Flow => 0,
                Wrong::PressureRatio | Wrong::ExpansionRatio => 1,
                Wrong::Efficiency => 2,
                Wrong::Speed | Wrong::BladeSpeedRatio => 3,
            };
            (self.order[k], self.columns()[k].0)
        };
        match why {
            Unfit::BadPoint {
                point,
                column,
                allowed,
            } => {
                let (row, (i, name)) = (self.row(1 + point), place(column));
                let mut message = format!("{column} {allowed}; found {}", quote(row.cell(i)));
                if *column == Wrong::Efficiency {
                    message += "\na column in percent is named `efficiency [%]`";
                }
                row.error(i, name, message)
            }
            Unfit::TooLittleSpread { column } => {
                let (i, name) = place(column);
                self.row(0).error(i, name, why.to_string())
            }
            Unfit::TooFewPoints { .. } => {
                self.row(self.starts.len() - 1)
                    .error(0, "", why.to_string())
            }
            _ => InputError::new(self.path(), why.to_string()),
        }
    }
}

fn points(head: &Head, values: &[[f64; 4]]) -> Points {
    let [
        reference_temperature,
        reference_pressure,
        wheel_diameter,
        stand_temperature,
    ] = head.conditions;
    match head.machine {
        Machine::Compressor => Points::Compressor(CompressorTable {
            reference_temperature,
            reference_pressure,
            wheel_diameter,
            points: (values.iter())
                .map(|[flow, ratio, efficiency, speed]| CompressorPoint {
                    corrected_flow: *flow,
                    pressure_ratio: *ratio,
                    efficiency: *efficiency,
                    corrected_speed: *speed,
                })
                .collect(),
        }),
        Machine::Turbine => Points::Turbine(TurbineTable {
            reference_temperature,
            reference_pressure,
            stand_temperature,
            wheel_diameter,
            points: (values.iter())
                .map(|[flow, ratio, efficiency, speed]| TurbinePoint {
                    corrected_flow: *flow,
                    expansion_ratio: *ratio,
                    efficiency: *efficiency,
                    blade_speed_ratio: *speed,
                })
                .collect(),
        }),
    }
}
