//! The page of a workshop answer: what every one of them has, in its order.

use crate::commands::workshop::car::InCar;
use crate::commands::workshop::cautions::Warnings;
use crate::figure::hole::holes;
use crate::page::record::Spread;
use crate::page::{Block, Line, Page, Picture, Section};
use crate::say::workshop as say;

/// What a workshop answer is made of.
#[derive(Default)]
pub(super) struct Sheet<'a> {
    pub title: &'a str,
    /// The car's name.
    pub car: Option<&'a str>,
    /// The answer in a sentence.
    pub says: &'a str,
    /// What stands under the answer.
    pub blocks: Vec<Block>,
    /// Parts of its own.
    pub sections: Vec<Section>,
    pub in_car: Option<&'a InCar>,
    pub warnings: Option<&'a Warnings>,
    pub cautions: &'a [&'static str],
}

impl Sheet<'_> {
    /// The page.
    pub fn page(self) -> Page {
        let empty = Warnings::default();
        let warnings = self.warnings.unwrap_or(&empty);
        let mut blocks = vec![Block::Says(self.says.into())];
        blocks.extend(self.blocks);
        blocks.extend(warnings.notes.iter().cloned().map(Block::Caution));
        let mut sections = vec![Section::new("The answer", blocks)];
        sections.extend(self.sections);
        sections.extend(self.in_car.map(InCar::section));
        Page {
            title: self.title.into(),
            lead: self.car.iter().map(|car| Line::new("car", *car)).collect(),
            sections,
            notes: self.cautions.iter().map(|text| text.to_string()).collect(),
            ..Page::default()
        }
    }
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
    Some(Block::Picture(Picture::new("hole", say::TRUE_HOLE, scene)))
}
