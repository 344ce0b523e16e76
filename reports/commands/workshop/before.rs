//! To be replaced: what the commands not yet declared need.

use crate::answer::{Answer, Asked, Trouble};
use crate::commands::workshop::car::InCar;
use crate::commands::workshop::kit;
use crate::page::{Block, Cell, Column, Page, Section, Table};
use crate::text::words::paragraph;
use serde::Serialize;
use sim::study::workshop::Span;
use sim::units::round;

pub(super) use crate::page::record::Spread;

impl Spread {
    /// A span times a factor.
    pub fn of(span: Span, factor: f64) -> Self {
        kit::spread(span, factor)
    }
}

/// The answer.
pub(super) fn give(
    asked: &Asked,
    page: impl FnOnce() -> Page,
    table: impl FnOnce() -> String,
    json: &impl Serialize,
) -> Result<Answer, Trouble> {
    let json = || {
        let text = serde_json::to_string_pretty(json);
        Ok(text.map_err(|e| Trouble::Other(e.to_string()))? + "\n")
    };
    asked.give(page, table, json, Vec::new())
}

/// A label and words of a table.
pub(super) fn row(text: &mut String, label: &str, words: &str) {
    paragraph(text, &format!("{label:34}"), words);
}

/// Warnings, a paragraph each.
pub(super) fn warn(text: &mut String, warnings: &[String]) {
    for warning in warnings {
        paragraph(text, "WARNING  ", warning);
    }
}

/// What every table ends with.
pub(super) fn ending(text: &mut String, warnings: &[String], cautions: &[&str]) {
    text.push('\n');
    warn(text, warnings);
    for caution in cautions {
        paragraph(text, "- ", caution);
    }
}

/// What a workshop page is made of.
#[derive(Default)]
pub(super) struct Sheet<'a> {
    pub title: &'a str,
    /// The car's name.
    pub car: Option<&'a str>,
    /// What can hurt someone, before all else.
    pub dangers: &'a [String],
    /// The answer in a sentence.
    pub says: &'a str,
    /// What stands under the answer.
    pub blocks: Vec<Block>,
    /// Parts of its own.
    pub sections: Vec<Section>,
    pub in_car: Option<&'a InCar>,
    pub warnings: &'a [String],
    pub cautions: &'a [&'static str],
}

impl Sheet<'_> {
    /// The page.
    pub fn page(self) -> Page {
        let cautions = |all: &[String]| all.iter().cloned().map(Block::Caution).collect::<Vec<_>>();
        let mut blocks = cautions(self.dangers);
        blocks.push(Block::Says(self.says.into()));
        blocks.extend(self.blocks);
        blocks.extend(cautions(self.warnings));
        let heading = "The answer".into();
        let mut sections = vec![Section { heading, blocks }];
        sections.extend(self.sections);
        sections.extend(self.in_car.map(InCar::section));
        Page {
            title: self.title.into(),
            lead: (self.car.iter())
                .map(|car| format!("Car: {car}.").into())
                .collect(),
            sections,
            notes: self.cautions.iter().map(|text| text.to_string()).collect(),
        }
    }
}

/// Something found, with its limits where it has some.
pub(super) struct Fact {
    label: String,
    unit: &'static str,
    value: Cell,
    limits: Option<[Cell; 2]>,
}

/// A number with four digits, and where it stands in the result for programs.
fn digits(value: f64, json: String) -> Cell {
    let text = round(value, 4).to_string().replace('-', "\u{2212}");
    Cell {
        text,
        number: Some((json, value)),
        strong: false,
    }
}

impl Fact {
    /// A number alone.
    pub fn new(label: impl Into<String>, unit: &'static str, value: f64, json: &str) -> Self {
        Self {
            label: label.into(),
            unit,
            value: digits(value, json.into()).strong(),
            limits: None,
        }
    }

    /// A number with its 90 % limits.
    pub fn spread(
        label: impl Into<String>,
        unit: &'static str,
        spread: &Spread,
        json: &str,
    ) -> Self {
        let limits = [(spread.low, "low"), (spread.high, "high")];
        Self {
            limits: Some(limits.map(|(end, key)| digits(end, format!("{json}/{key}")))),
            ..Self::new(label, unit, spread.value, &format!("{json}/value"))
        }
    }
}

/// A table of what was found.
pub(super) fn facts(caption: &str, all: Vec<Fact>) -> Block {
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
