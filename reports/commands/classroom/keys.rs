//! The trainer's file of a lesson: keys, truths, and room for names and receipts.

use crate::page::{Block, Cell, Column, Page, Section, Table};
use crate::say::classroom as say;
use page_engine::lesson::Secret;
use page_engine::locked::Keys;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;

/// What stands in it.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KeysFile {
    /// The lesson's own name.
    pub lesson: String,
    /// Vehicle file; from the folder of this file, where it does not begin at the root.
    pub vehicle: String,
    /// What tells its content: the first digits of its SHA-256.
    pub car: String,
    pub trainee: Vec<Trainee>,
}

/// One of the class.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Trainee {
    pub number: u32,
    #[serde(default)]
    pub name: String,
    pub opening: String,
    pub debrief: String,
    #[serde(default)]
    pub receipt: String,
    /// Draws how this car differs from its make.
    pub seed: u64,
    /// Leaks and faults as in a scenario, as JSON.
    pub trouble: String,
}

/// What tells a car's content.
pub(super) fn sum(car: &str) -> String {
    let sum = Sha256::digest(car);
    sum.iter().take(8).fold(String::new(), |mut all, byte| {
        let _ = write!(all, "{byte:02x}");
        all
    })
}

impl Trainee {
    pub fn keys(&self, lesson: &str) -> Keys {
        Keys {
            lesson: lesson.into(),
            number: self.number,
            opening: self.opening.clone(),
            debrief: self.debrief.clone(),
        }
    }

    /// What is hidden for this trainee.
    pub fn secret(&self) -> Result<Secret, String> {
        let trouble = serde_json::from_str(&self.trouble);
        Ok(Secret {
            trouble: trouble.map_err(|e| e.to_string())?,
            seed: self.seed,
        })
    }
}

impl KeysFile {
    /// The file's text; what is empty is for the trainer to fill in.
    pub fn text(&self) -> String {
        let quoted = |text: &str| toml::Value::from(text).to_string();
        let mut text = format!(
            "{}\nlesson = {}\nvehicle = {}\ncar = {}\n",
            say::KEYS_HEAD,
            quoted(&self.lesson),
            quoted(&self.vehicle),
            quoted(&self.car)
        );
        for one in &self.trainee {
            let [name, opening, debrief, receipt, trouble] = [
                &one.name,
                &one.opening,
                &one.debrief,
                &one.receipt,
                &one.trouble,
            ]
            .map(|text| quoted(text));
            let _ = write!(
                text,
                "\n[[trainee]]\nnumber = {}\nname = {name}\nopening = {opening}\nreceipt = {receipt}\n\
                 debrief = {debrief}\nseed = {}\ntrouble = {trouble}\n",
                one.number, one.seed
            );
        }
        text
    }

    /// The opening keys, a line a trainee, to print and cut.
    pub fn slips(&self, car: &str) -> Result<String, String> {
        let rows = self.trainee.iter().map(|one| {
            let blank = || Cell::words(say::BLANK);
            let number = Cell::words(one.number.to_string()).strong();
            vec![number, Cell::words(&one.opening), blank(), blank()]
        });
        let table = Table {
            caption: say::SLIPS_CAPTION.into(),
            rows: rows.collect(),
            head: say::SLIPS_HEAD.split('|').map(Column::words).collect(),
        };
        Page {
            title: say::SLIPS.into(),
            lead: vec![say::slips_of(car).into()],
            sections: vec![Section::new("", vec![Block::Table(table)])],
            ..Page::default()
        }
        .html()
    }
}
