//! Tables: columns and cells, or what was found line by line.

use crate::page::Block;
use crate::page::record::{Digits, Figure, Record, Value};
use crate::text::number::{difference, number};

/// A table.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// What it holds.
    pub caption: String,
    /// Headings; the first column names the rows.
    pub head: Vec<Column>,
    /// Rows; one of a single cell is a heading of those under it.
    pub rows: Vec<Vec<Cell>>,
}

/// A column's heading.
#[derive(Clone, Debug, Default)]
pub struct Column {
    /// What stands in it.
    pub label: String,
    /// In which unit; empty where there is none.
    pub unit: String,
    /// Whether it holds numbers.
    pub numbers: bool,
}

/// A cell.
#[derive(Clone, Debug, Default)]
pub struct Cell {
    /// Its text.
    pub text: String,
    /// The number it shows: where it stands in the result for programs, and its value.
    pub number: Option<(String, f64)>,
    /// Whether it matters most in its row.
    pub strong: bool,
}

/// Something found, with its limits where it has some: a row of [`facts`].
#[derive(Clone, Debug)]
pub struct Fact {
    label: String,
    unit: String,
    value: Cell,
    limits: Option<[Cell; 2]>,
}

impl Table {
    /// What a row says that is a heading of those under it.
    pub(super) fn heading(&self, row: &[Cell]) -> Option<String> {
        match row {
            [cell] if self.head.len() > 1 => Some(cell.text.clone()),
            _ => None,
        }
    }

    /// A row a record, a column a figure, those of `keys` in their order; all where none is
    /// given. `json` is where the list stands in the result for programs.
    pub fn of<T: Record>(caption: &str, json: &str, rows: &[T], keys: &[&str]) -> Self {
        let rows = rows.iter().enumerate();
        let cells = |(i, row)| Cell::of(row, &format!("{json}/{i}"), keys);
        Self {
            caption: caption.into(),
            head: Column::of::<T>(keys),
            rows: rows.map(cells).collect(),
        }
    }
}

impl Column {
    /// A column a figure of a record, those of `keys` in their order; all where none is given.
    pub fn of<T: Record>(keys: &[&str]) -> Vec<Self> {
        let head = |figure: &Figure<T>| Self {
            label: figure.label.into(),
            unit: figure.unit.into(),
            numbers: figure.digits != Digits::None,
        };
        T::chosen(keys).into_iter().map(head).collect()
    }

    /// A column of words.
    pub fn words(label: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            ..Self::default()
        }
    }

    /// A column of numbers.
    pub fn numbers(label: impl Into<String>, unit: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            unit: unit.into(),
            numbers: true,
        }
    }
}

impl Cell {
    /// A cell a figure of a record that stands at `json`, those of `keys` in their order; all where
    /// none is given.
    pub fn of<T: Record>(record: &T, json: &str, keys: &[&str]) -> Vec<Self> {
        let figures = T::chosen(keys).into_iter();
        figures.map(|figure| figure.cell(record, json)).collect()
    }

    /// Words.
    pub fn words(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            ..Self::default()
        }
    }

    /// A number with so many decimals, and where it stands in the result for programs;
    /// a dash where it is not finite.
    pub fn number(value: f64, decimals: usize, json: impl Into<String>) -> Self {
        Self::shown(value, number(value, decimals), json.into())
    }

    /// A number with so many significant digits.
    pub fn digits(value: f64, digits: usize, json: impl Into<String>) -> Self {
        let text = crate::text::number::digits(value, digits).replace('-', "\u{2212}");
        Self::shown(value, text, json.into())
    }

    /// A change: a number with so many decimals, with a plus sign where it is positive.
    pub fn signed(value: f64, decimals: usize, json: impl Into<String>) -> Self {
        Self::shown(value, difference(value, decimals), json.into())
    }

    fn shown(value: f64, text: String, json: String) -> Self {
        let (text, number) = match value.is_finite() {
            true => (text, Some((json, value))),
            false => ("\u{2013}".into(), None),
        };
        Self {
            text,
            number,
            strong: false,
        }
    }

    /// The same, set so that it stands out.
    pub fn strong(self) -> Self {
        Self {
            strong: true,
            ..self
        }
    }
}

impl Fact {
    /// A number alone.
    pub fn new(label: impl Into<String>, unit: impl Into<String>, value: Cell) -> Self {
        Self {
            label: label.into(),
            unit: unit.into(),
            value: value.strong(),
            limits: None,
        }
    }

    /// A figure of a record that stands at `json`; none where it has no value.
    fn of<T: Record>(figure: &Figure<T>, record: &T, json: &str) -> Option<Self> {
        let value = figure.value(record);
        if matches!(value, Value::None) {
            return None;
        }
        let limits = match value {
            Value::Spread(spread) => Some([(spread.low, "low"), (spread.high, "high")]),
            _ => None,
        };
        let limits = limits.map(|ends| {
            let (digits, key) = (figure.digits.of(record.decimals()), figure.key);
            ends.map(|(end, which)| digits.cell(end, &format!("{json}/{key}/{which}")))
        });
        Some(Self {
            limits,
            ..Self::new(figure.label, figure.unit, figure.cell(record, json))
        })
    }

    /// Every figure of a record that has a value.
    pub fn all<T: Record>(record: &T, json: &str) -> Vec<Self> {
        let figures = T::FIGURES.iter();
        figures
            .filter_map(|figure| Self::of(figure, record, json))
            .collect()
    }

    /// Every figure of a part that has a value; nothing where the part is not there.
    pub fn perhaps<T: Record>(part: Option<&T>, json: &str) -> Vec<Self> {
        part.map_or(Vec::new(), |part| Self::all(part, json))
    }
}

/// A table of what was found.
pub fn facts(caption: &str, all: Vec<Fact>) -> Block {
    let limits = all.iter().any(|fact| fact.limits.is_some());
    let mut head = vec![
        Column::words("what"),
        Column::words("unit"),
        Column::numbers("value", ""),
    ];
    if limits {
        head.extend(["at least", "at most"].map(|label| Column::numbers(label, "")));
    }
    let rows = all.into_iter().map(|fact| {
        let mut row = vec![Cell::words(fact.label), Cell::words(fact.unit), fact.value];
        if limits {
            row.extend(fact.limits.unwrap_or_default());
        }
        row
    });
    Block::Table(Table {
        caption: caption.into(),
        rows: rows.collect(),
        head,
    })
}
