//! `falseair diagnose plan`: what to drive next while a log is taken.

use crate::answer::dangers::Danger;
use crate::answer::how::How;
use crate::answer::settled;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::commands::diagnose::{Diagnosed, From, diagnosed, words};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::input::log;
use crate::page::{Block, CAUTION, Cell, Column, Line, Page, Picture, Section};
use crate::say::diagnose as say;
use crate::text::number::number;
use crate::text::words::capital;
use schemars::JsonSchema;
use serde::Serialize;
use sim::study::judging::diagnose::manoeuvres::{Planned, Withheld, plan};
use sim::units::round;
use std::path::PathBuf;

pub(super) const HELP: &str = "\
Examples:
  falseair diagnose plan scenarios/readings/lean-at-idle.toml
  falseair diagnose plan READINGS.toml --log drive.csv --report plan.html

A readings file that holds nothing but `vehicle = \"my-car.toml\"` will do: then
every fault is open. What was driven already is not asked for again.
Exit codes: 0 an answer, 2 input that cannot be used.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("diagnose-plan", schema::<Plan>);

/// Options of `diagnose plan`.
#[derive(Debug, clap::Args)]
pub struct PlanArgs {
    /// File with the vehicle, and what was read of the car so far, if anything.
    pub readings: PathBuf,
    /// A log of what was driven already.
    #[arg(long, value_name = "LOG.csv")]
    pub log: Option<PathBuf>,
    /// Rows of the log per second, where no column of it holds the time.
    #[arg(long, value_name = "NUMBER", value_parser = log::rate)]
    pub samples_per_second: Option<f64>,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// What to drive, and what nobody should.
struct Plan {
    found: Diagnosed,
    planned: Vec<Planned>,
    withheld: Vec<Withheld>,
}

/// What to drive next.
#[derive(Serialize, JsonSchema)]
struct PlanFile {
    /// What is known so far, in a sentence.
    says: String,
    /// What tells most per minute first, minutes counting more the more danger is in them.
    manoeuvres: Vec<Drive>,
    /// What nobody should drive now, and why.
    withheld: Vec<Held>,
}

/// Something to drive.
#[derive(Serialize, JsonSchema)]
struct Drive {
    manoeuvre: &'static str,
    what: &'static str,
    /// What to hold, and for how long.
    hold: String,
    /// What to record.
    record: String,
    /// When to stop.
    stop: Vec<String>,
    /// Expected gain of information between the faults and its readings, base 2.
    expected_gain_bits: f64,
    /// The same a minute.
    bits_per_minute: f64,
    /// Share of what is open between the faults that it is expected to settle, %.
    settles_pct: f64,
    /// With getting there and cooling down.
    minutes: f64,
    /// `idling`, `driven` or `full_load`.
    risk: &'static str,
    /// How many times its minutes count for the danger in it.
    danger_weight: f64,
    /// Highest boost that the model foresees in it, with whatever is still likely.
    boost_kpa: f64,
    /// What the likeliest would read.
    outcomes: Vec<String>,
    /// Cautions, and how it is read.
    procedure: How,
}

/// Something that nobody should drive now.
#[derive(Serialize, JsonSchema)]
struct Held {
    manoeuvre: &'static str,
    what: &'static str,
    why: String,
}

/// Answers `falseair diagnose plan`.
///
/// # Errors
/// Files that cannot be used; an answer that cannot be written.
pub(super) fn run(options: &PlanArgs) -> Result<Answer, Trouble> {
    let from = From {
        readings: &options.readings,
        log: options.log.as_deref(),
        interval: options.samples_per_second,
        twin: None,
        twins: None,
        pairs: false,
        plan: true,
        glance: false,
    };
    let found = diagnosed(&from, &mut |_| {})?;
    let (planned, withheld) = plan(&found.ladders, &found.evidence, &found.diagnosis);
    options.asked.answer(&Plan {
        found,
        planned,
        withheld,
    })
}

fn rounded(value: f64, digits: usize) -> f64 {
    round(value, digits).parse().unwrap_or(value)
}

impl Drive {
    fn new(one: &Planned) -> Self {
        Self {
            manoeuvre: one.manoeuvre.word(),
            what: one.manoeuvre.meaning(),
            hold: one.hold.clone(),
            record: one.record.clone(),
            stop: one.stop.clone(),
            expected_gain_bits: rounded(one.gain, 3),
            bits_per_minute: rounded(one.gain / one.minutes, 3),
            settles_pct: settled::pct(one.settles),
            minutes: one.minutes,
            risk: one.risk.word(),
            danger_weight: one.risk.weight(),
            boost_kpa: rounded(one.boost / 1e3, 3),
            outcomes: one.meaning.clone(),
            procedure: How::new(&one.procedure),
        }
    }
}

impl Answers for Plan {
    type Data<'a> = PlanFile;

    fn data(&self) -> PlanFile {
        let held = self.withheld.iter().map(|one| Held {
            manoeuvre: one.manoeuvre.word(),
            what: one.manoeuvre.meaning(),
            why: one.why.clone(),
        });
        PlanFile {
            says: match self.found.evidence.reads.is_empty() && self.found.evidence.codes.is_empty()
            {
                true => say::NOTHING_READ.into(),
                false => words::verdict(&self.found),
            },
            manoeuvres: self.planned.iter().map(Drive::new).collect(),
            withheld: held.collect(),
        }
    }

    fn dangers(&self) -> Vec<Danger> {
        let dangers = self.found.diagnosis.dangers.iter();
        dangers.map(Danger::from).collect()
    }

    fn page(&self) -> Page {
        let file = self.data();
        let mut blocks = vec![Block::Says(match file.manoeuvres.first() {
            Some(first) => say::drive_first(
                capital(first.what),
                number(first.minutes, 0),
                settled::said(first.settles_pct),
            ),
            None => say::NOTHING_TO_DRIVE.into(),
        })];
        if !file.manoeuvres.is_empty() {
            blocks.push(Block::Picture(picture(&file)).on_page());
            blocks.push(table(&file));
        }
        let mut sections = vec![Section::new(say::DRIVE_NEXT, blocks)];
        sections.extend(
            file.manoeuvres
                .iter()
                .enumerate()
                .map(|(i, one)| told(i, one)),
        );
        let held = file.withheld.iter();
        let held = Block::list(held.map(|one| format!("{}: {}", capital(one.what), one.why)));
        sections.extend(held.map(|held| Section::new(say::NOT_TO_DRIVE, vec![held])));
        let mut lead = vec![Line::new("so far", file.says.clone())];
        lead.push(Line::new("car", self.found.readings.vehicle.name.clone()));
        Page {
            title: say::PLAN_TITLE.into(),
            lead,
            sections,
            notes: vec![say::PLAN_NOTE.into(), say::WITHIN.into(), CAUTION.into()],
            ..Page::default()
        }
    }
}

fn picture(file: &PlanFile) -> Picture {
    let all = file.manoeuvres.iter().enumerate().map(|(i, one)| Bar {
        name: one.what.into(),
        value: one.settles_pct,
        said: format!(
            "{} in {} min",
            settled::said(one.settles_pct),
            number(one.minutes, 0)
        ),
        json: format!("/manoeuvres/{i}/settles_pct"),
        interval: None,
        ink: if i == 0 { Ink::Faulty } else { Ink::Sound },
    });
    let all: Vec<Bar> = all.collect();
    Picture::new(
        "plan",
        say::PER_MINUTE,
        bars("should settle, %", &all, 460.0),
    )
}

fn table(file: &PlanFile) -> Block {
    let row = |(i, one): (usize, &Drive)| {
        let at = |key: &str| format!("/manoeuvres/{i}/{key}");
        vec![
            Cell::words(one.what),
            settled::cell(one.settles_pct, at("settles_pct")),
            Cell::number(one.minutes, 0, at("minutes")),
            Cell::number(one.boost_kpa, 0, at("boost_kpa")),
            Cell::words(one.risk.replace('_', " ")),
        ]
    };
    let head = [
        Column::words("manoeuvre"),
        Column::numbers("settles", ""),
        Column::numbers("time", "min"),
        Column::numbers("boost, at most", "kPa"),
        Column::words("danger"),
    ];
    Block::table(
        say::DRIVES,
        head,
        file.manoeuvres.iter().enumerate().map(row),
    )
}

/// A manoeuvre in full; its dangers stand before what is done.
fn told(i: usize, one: &Drive) -> Section {
    let mut blocks = vec![];
    let cautions = one.procedure.cautions().iter().cloned();
    blocks.extend(cautions.map(Block::Caution));
    blocks.push(Block::Labelled(Line::new("hold", &one.hold)));
    blocks.push(Block::Labelled(Line::new("record", &one.record)));
    let stop = one.stop.join(" ");
    if !stop.is_empty() {
        blocks.push(Block::Labelled(Line::new("stop", stop)));
    }
    blocks.extend(Block::list(one.outcomes.iter().cloned()));
    match i {
        0 => Section::new(capital(one.what), blocks),
        _ => Section::new(
            capital(one.what),
            blocks.into_iter().map(Block::on_page).collect(),
        ),
    }
}
