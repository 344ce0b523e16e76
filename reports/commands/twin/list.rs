//! `falseair twin list`.

use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::commands::twin::{Driven, FOLDER, readings};
use crate::input::InputError;
use crate::input::twins::{Kept, folder_of};
use crate::page::{Block, Cell, Column, Line, Page, Section};
use crate::say::twin as say;
use schemars::JsonSchema;
use serde::Serialize;
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Example:
  falseair twin list scenarios/twins

Exit codes: 0 a list, 2 a folder that cannot be read.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("twin-list", schema::<Listed>);

/// Options of `twin list`.
#[derive(Debug, clap::Args)]
pub struct List {
    /// Folder of healthy cars.
    #[arg(default_value = FOLDER)]
    pub folder: PathBuf,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// What stands in a folder of healthy cars.
#[derive(Serialize, JsonSchema)]
pub(super) struct Listed {
    folder: String,
    makes: Vec<Make>,
    /// Files in it that are no record, and why.
    notes: Vec<String>,
}

/// Cars of one make.
#[derive(Serialize, JsonSchema)]
struct Make {
    make: String,
    records: Vec<Record>,
}

/// What was read of a car on one day.
#[derive(Serialize, JsonSchema)]
struct Record {
    /// The car.
    name: String,
    /// When; empty where the record does not say.
    date: String,
    file: String,
    /// Names of its conditions.
    conditions: Vec<String>,
    readings: usize,
    ambient_c: f64,
    ambient_kpa: f64,
    /// What can be judged beside it.
    good_for: Vec<&'static str>,
    /// Why it is kept although it shows a danger or a fault.
    although: Option<String>,
}

pub(super) fn run(options: &List) -> Result<Answer, Trouble> {
    let folder = &options.folder;
    if !folder.is_dir() {
        let message = say::no_folder(folder.display());
        return Err(InputError::new(folder, message).into());
    }
    let (mut kept, wrong) = folder_of(folder)?;
    kept.sort_by_key(|one| (lower(&one.make), lower(&one.name), one.date.clone()));
    let makes = kept.chunk_by(|a, b| lower(&a.make) == lower(&b.make));
    let makes = makes.map(|of_make| Make {
        make: of_make[0].make.clone(),
        records: of_make.iter().map(Record::new).collect(),
    });
    let notes = wrong
        .iter()
        .map(|why| say::no_record(why.path().display(), why.message()));
    options.asked.answer(&Listed {
        folder: folder.display().to_string(),
        makes: makes.collect(),
        notes: notes.collect(),
    })
}

fn lower(name: &str) -> String {
    name.trim().to_lowercase()
}

impl Record {
    fn new(kept: &Kept) -> Self {
        let air = kept.file.ambient.ambient();
        let shown = |value: f64| sim::units::round(value, 4).parse().unwrap_or(value);
        Self {
            name: kept.name.clone(),
            date: kept.date.clone(),
            file: kept.path.display().to_string(),
            conditions: kept.file.condition.iter().map(|c| c.name.clone()).collect(),
            readings: readings(&kept.file),
            ambient_c: shown(air.temperature - 273.15),
            ambient_kpa: shown(air.pressure / 1e3),
            good_for: Driven::all(&kept.file)
                .into_iter()
                .map(Driven::good_for)
                .collect(),
            although: kept
                .file
                .this_car
                .as_ref()
                .and_then(|car| car.although.clone()),
        }
    }

    fn row(&self, json: &str) -> Vec<Cell> {
        let number = |value: f64, decimals, key: &str| {
            Cell::number(value, decimals, format!("{json}/{key}"))
        };
        vec![
            Cell::words(&self.name),
            Cell::words(&self.date),
            number(self.readings as f64, 0, "readings"),
            number(self.ambient_c, 0, "ambient_c"),
            number(self.ambient_kpa, 1, "ambient_kpa"),
            Cell::words(self.good_for.join("; ")),
        ]
    }

    /// What is to be known of it beyond its row.
    fn notes(&self) -> impl Iterator<Item = String> + '_ {
        let why = self.although.iter();
        why.map(|why| format!("{}, {}: {}", self.name, self.date, say::kept_although(why)))
    }
}

impl Make {
    fn section(&self, number: usize) -> Section {
        let head = vec![
            Column::words("car"),
            Column::words("read on"),
            Column::numbers("readings", ""),
            Column::numbers("air", "\u{b0}C"),
            Column::numbers("air", "kPa"),
            Column::words("good for"),
        ];
        let rows = self.records.iter().enumerate();
        let rows = rows.map(|(i, record)| record.row(&format!("/makes/{number}/records/{i}")));
        let mut blocks = vec![Block::table(say::RECORDS, head, rows)];
        let notes = self.records.iter().flat_map(Record::notes);
        blocks.extend(Block::list(notes));
        Section::new(&self.make, blocks)
    }
}

impl Answers for Listed {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn page(&self) -> Page {
        let mut sections: Vec<Section> = (self.makes.iter().enumerate())
            .map(|(number, make)| make.section(number))
            .collect();
        if self.makes.is_empty() {
            let empty = Block::Says(say::empty(&self.folder));
            sections.push(Section::new("", vec![empty]));
        }
        let notes = self.notes.iter().map(|note| Line::new("note", note));
        let lead = [Line::new("folder", &self.folder)].into_iter().chain(notes);
        Page {
            title: say::LISTED.into(),
            lead: lead.collect(),
            sections,
            notes: vec![say::use_of(&self.folder)],
            ..Page::default()
        }
    }
}
