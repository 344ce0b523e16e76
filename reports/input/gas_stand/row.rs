//! A line of a gas-stand table, cut into cells.

use crate::gas_stand::Column;
use crate::{InputError, Source};
use sim::spelling::{quote, unknown_listed};
use sim::units::{Dimension, convert, parse};
use std::fmt::Write;
use std::ops::Range;

/// One line, cut into cells.
pub(super) struct Row<'a> {
    source: &'a Source,
    delimiter: u8,
    start: usize,
    line: &'a str,
    pub cells: Vec<String>,
}

impl<'a> Row<'a> {
    pub fn new(source: &'a Source, delimiter: u8, start: usize, line: &'a str) -> Self {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .delimiter(delimiter)
            .trim(csv::Trim::All)
            .buffer_capacity(line.len().max(16))
            .from_reader(line.as_bytes());
        let record = reader.records().next().and_then(Result::ok);
        let mut cells: Vec<String> =
            record.map_or_else(Vec::new, |r| r.iter().map(str::to_owned).collect());
        while cells.last().is_some_and(String::is_empty) {
            cells.pop();
        }
        Self {
            source,
            delimiter,
            start,
            line,
            cells,
        }
    }

    pub fn cell(&self, i: usize) -> &str {
        self.cells.get(i).map_or("", String::as_str)
    }

    /// An error at a cell; at the whole line where it has no such cell.
    pub fn error(&self, cell: usize, key: &str, message: impl Into<String>) -> InputError {
        let mut quoted = false;
        let mut parts = self.line.split(|c: char| {
            quoted ^= c == '"';
            !quoted && c == char::from(self.delimiter)
        });
        let part = parts.nth(cell).map_or(self.line, str::trim);
        let inside = span(self.line, part);
        let span = self.start + inside.start..self.start + inside.end;
        InputError::new(self.source.path(), message).at(self.source.text(), Some(span), key)
    }

    /// The place of every column and the unit it is in.
    pub fn columns(&self, wanted: &[Column; 4]) -> Result<([usize; 4], [String; 4]), InputError> {
        let allowed = list(wanted);
        if self.cells.iter().all(|cell| cell.parse::<f64>().is_ok()) {
            let message = format!("the columns have no names\nwrite above the points: {allowed}");
            return Err(self.error(usize::MAX, "", message));
        }
        let mut order = [None; 4];
        let mut units = [const { String::new() }; 4];
        for (i, cell) in self.cells.iter().enumerate() {
            let (name, unit) = cell.split_once('[').unwrap_or((cell, ""));
            let names: Vec<&str> = wanted.iter().map(|column| column.0).collect();
            let found = names.iter().position(|n| alike(n) == alike(name));
            let Some(k) = found else {
                let first = unknown_listed("column", name.trim(), &names);
                let first = first.lines().next().unwrap_or_default();
                return Err(self.error(i, "", format!("{first}\nallowed here: {allowed}")));
            };
            let unit = unit.trim_end().trim_end_matches(']').trim();
            // A ratio without a unit is sometimes marked so.
            let unit = if matches!(unit, "-" | "1") { "" } else { unit };
            convert(1.0, unit, wanted[k].1).map_err(|m| self.error(i, names[k], m))?;
            if order[k].replace(i).is_some() {
                let message = format!("column `{}` is given twice", names[k]);
                return Err(self.error(i, "", message));
            }
            units[k] = unit.to_owned();
        }
        for (place, column) in order.iter().zip(wanted) {
            if place.is_none() {
                let message = format!("missing column `{}`\nneeded here: {allowed}", column.0);
                return Err(self.error(usize::MAX, "", message));
            }
        }
        Ok((order.map(Option::unwrap_or_default), units))
    }

    pub fn check_width(&self, columns: usize) -> Result<(), InputError> {
        let found = self.cells.len();
        if found <= columns {
            return Ok(()); // An empty cell is reported with its column.
        }
        let mut message = format!("this line has {found} cells, the table {columns} columns");
        if self.delimiter == b',' {
            message += "\na decimal comma needs cells parted by `;` or a tab";
        }
        Err(self.error(columns, "", message))
    }

    /// The number in a cell, SI.
    pub fn number(
        &self,
        i: usize,
        name: &str,
        unit: &str,
        dimension: Dimension,
    ) -> Result<f64, InputError> {
        let cell = self.cell(i);
        if cell.is_empty() {
            let message = format!("there is no number for column `{name}`");
            return Err(self.error(i, name, message));
        }
        let typed = point_for_comma(cell, self.delimiter);
        let number = typed
            .parse::<f64>()
            .ok()
            .filter(|number| number.is_finite());
        let Some(number) = number else {
            let mut message = format!("{} is not a number", quote(cell));
            let _ = write!(message, "\nthis column takes plain numbers");
            if !unit.is_empty() {
                let _ = write!(message, "; their unit, {unit}, stands in its name");
            }
            return Err(self.error(i, name, message));
        };
        parse(&format!("{number} {unit}"), dimension).map_err(|m| self.error(i, name, m))
    }
}

/// A column's name as compared.
fn alike(name: &str) -> String {
    let parts = name.split(|c: char| c.is_whitespace() || c == '-' || c == '_');
    let words: Vec<String> = parts
        .filter(|w| !w.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join(" ")
}

fn list(columns: &[Column; 4]) -> String {
    let named = columns.iter().map(|(name, _, unit)| match *unit {
        "" => (*name).to_owned(),
        unit => format!("{name} [{unit}]"),
    });
    named.collect::<Vec<_>>().join(", ")
}

/// A decimal comma is one only where commas do not part cells.
pub(super) fn point_for_comma(number: &str, delimiter: u8) -> String {
    match delimiter {
        b',' => number.to_owned(),
        _ => number.replace(',', "."),
    }
}

/// Where a part of the text stands in it.
pub(super) fn span(text: &str, part: &str) -> Range<usize> {
    let start = (part.as_ptr() as usize).saturating_sub(text.as_ptr() as usize);
    start..start + part.len()
}
