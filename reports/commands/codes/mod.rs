//! `falseair codes`: which trouble code each leak and fault sets, from which size on.

use crate::answer::dangers::Danger;
use crate::answer::head;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, WithMarkdown, schema};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::input::case::car;
use crate::page::record::{Value, WORDS};
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section, Table};
use crate::record;
use crate::say::codes as say;
use rayon::prelude::*;
use sim::control::Code;
use sim::network::Defect;
use sim::study::asking::codes::{First, HOLES, Sign, Watch, all};
use sim::study::running::dangers::Hazard;
use sim::units::{Dimension, round, show_to};
use std::path::PathBuf;

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("codes", schema::<Found>);

/// Options of `codes`.
#[derive(Debug, clap::Args)]
pub struct Codes {
    /// Vehicle file.
    pub vehicle: PathBuf,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked<WithMarkdown>,
}

record! {
    /// A leak or fault.
    struct Row {
        /// Which.
        fault: String = "fault" "" WORDS;
        /// What it sets, in the order of the sizes.
        signs: Signs = "codes, from which size on, and where first" "" WORDS;
    }

    /// What a growing leak or fault sets.
    struct Shown {
        /// A code, or `no steady running`.
        sign: &'static str;
        /// Where it comes first.
        point: String;
        /// The size from which it comes, with its unit.
        from: String;
        /// The same.
        size_si: f64;
    }

    /// All of one car.
    struct Found {
        /// The car.
        car: String;
        /// Each leak and fault, growing.
        rows: Vec<Row>;
    }
}

/// Answers `falseair codes`.
///
/// # Errors
/// The vehicle file cannot be used, the answer cannot be written.
pub fn codes(options: &Codes) -> Result<Answer, Trouble> {
    let car = car(&options.vehicle)?;
    let watch = Watch::new(&car);
    let all = all();
    options.asked.answer(&Found {
        rows: (all.par_iter())
            .map(|worst| Row::new(worst, &watch.firsts(*worst)))
            .collect(),
        car: car.vehicle.name,
    })
}

impl Row {
    fn new(worst: &Defect, firsts: &[First]) -> Self {
        let part = worst.label();
        let fault = match worst {
            Defect::Leak(_) => format!("hole: {part}"),
            Defect::Fault(fault) if fault.is_below() => format!("{part}, down"),
            Defect::Fault(_) => format!("{part}, up"),
        };
        let signs = firsts.iter().map(|first| Shown {
            sign: match &first.sign {
                Sign::Code(code) => code.word(),
                Sign::NoRunning => "no steady running",
            },
            point: first.point.clone(),
            from: show_to(first.size, worst.dimension(), 2),
            size_si: first.size,
        });
        Self {
            fault,
            signs: Signs(signs.collect()),
        }
    }
}

/// In the order of the sizes.
#[derive(Debug, serde::Serialize, schemars::JsonSchema)]
#[serde(transparent)]
struct Signs(Vec<Shown>);

impl From<&Signs> for Value<'_> {
    fn from(Signs(signs): &Signs) -> Self {
        let said = signs.iter();
        let said = said.map(|s| format!("{} from {} ({})", s.sign, s.from, s.point));
        Value::Words(match signs.is_empty() {
            true => say::NOTHING.into(),
            false => said.collect::<Vec<_>>().join(", ").into(),
        })
    }
}

impl Found {
    /// From which size on a hole at each place sets a code.
    fn smallest(&self) -> Picture {
        let holes = all().into_iter().zip(&self.rows);
        let holes = holes.filter(|(worst, _)| matches!(worst, Defect::Leak(_)));
        let holes = holes.map(|(worst, row)| {
            let first = row.signs.0.first();
            let mm = first.map_or(0.0, |sign| 1e3 * sign.size_si);
            Bar {
                name: worst.label(),
                value: mm,
                said: first.map_or(say::NO_HOLE.into(), |sign| {
                    say::hole(round(mm, 2), sign.sign, &sign.point)
                }),
                json: String::new(),
                interval: None,
                ink: Ink::Faulty,
            }
        });
        let holes: Vec<Bar> = holes.collect();
        let scene = bars(say::SMALLEST, &holes, 480.0);
        Picture::new("smallest-holes", say::SMALLEST_AT, scene)
    }
}

impl Answers for Found {
    type Data<'a> = &'a Found;

    fn data(&self) -> &Found {
        self
    }

    fn dangers(&self) -> Vec<Danger> {
        let all = Hazard::all().filter_map(|hazard| {
            let code = hazard.code()?.word();
            let by = self.rows.iter().flat_map(|row| {
                let signs = row.signs.0.iter().filter(move |sign| sign.sign == code);
                signs.map(|s| say::danger_from(&row.fault, &s.from, &s.point, code))
            });
            let by: Vec<String> = by.collect();
            (!by.is_empty()).then(|| Danger::brought(hazard, &by))
        });
        all.collect()
    }

    fn page(&self) -> Page {
        let [least, most] = [HOLES.0, HOLES.1].map(|hole| show_to(hole, Dimension::Length, 2));
        let meaning = Code::WORDS.iter();
        let meaning = meaning.map(|(word, code, _)| [*word, code.name()].map(Cell::words).into());
        let head = ["code", "meaning (after SAE J2012)"].map(Column::words);
        let silent = self.rows.iter().filter(|row| row.signs.0.is_empty());
        let silent: Vec<&str> = silent.map(|row| row.fault.as_str()).collect();
        let seen = self.rows.len() - silent.len();
        let says = match silent.is_empty() {
            true => say::all_set(seen),
            false => say::some_set(seen, self.rows.len(), silent.join(", ")),
        };
        let blocks = vec![
            Block::Says(says),
            Block::Picture(self.smallest()),
            Block::Table(Table::of(say::GROWING, "", &self.rows, &[])),
            Block::table(say::MEANING, head, meaning),
        ];
        Page {
            title: say::TITLE.into(),
            lead: vec![say::about(&self.car, least, most).into(), head::cruise()],
            sections: vec![Section::new("", blocks)],
            notes: vec![CAUTION.into()],
            ..Page::default()
        }
    }
}
