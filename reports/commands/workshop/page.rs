//! The page of a workshop answer: what every one of them has, in its order.

use crate::commands::workshop::car::InCar;
use crate::commands::workshop::kit::Spread;
use crate::figure::hole::holes;
use crate::page::{Block, Cell, Column, Page, Picture, Section, Table};
use sim::units::round;

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
                .map(|car| format!("Car: {car}."))
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

/// The hole that does the same, smallest, likeliest and largest, as large as it is.
pub(super) fn true_hole(spread: &Spread, json: &str) -> Option<Block> {
    let all = [
        ("at least", spread.low, "low"),
        ("likeliest", spread.value, "value"),
        ("at most", spread.high, "high"),
    ];
    let all = all.map(|(name, mm, key)| (name, mm, format!("{json}/{key}")));
    true_holes(&all)
}

/// Holes, mm, as large as they are; none where one is too large for the page.
pub(super) fn true_holes(all: &[(&str, f64, String)]) -> Option<Block> {
    let scene = holes(all)?;
    Some(Block::Picture(Picture {
        name: "hole".into(),
        caption: "The sharp round hole that does the same, to true scale: 10 mm on the ruler are \
                  10 mm on paper when printed at 100 %."
            .into(),
        scene,
    }))
}
