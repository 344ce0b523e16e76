//! A drive, for people and for programs.

use crate::answer::dangers::Danger;
use crate::answer::readings::{ByKey, Keyed};
use crate::answer::{Answers, Trouble, csv, head};
use crate::commands::simulate::drives::{CodeSet, Cut, Drives, Happened, Open, Piece};
use crate::commands::simulate::trace;
use crate::input::case::Case;
use crate::page::{Block, Cell, Column, Page, Picture, Section, Table};
use crate::say::simulate as say;
use crate::text::number::{difference, number};
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::Readings;
use sim::network::readings::{FORMS, Reading as R};
use sim::solve::Failure;
use sim::study::running::trace::Trace;

/// Readings of the table of moments.
const SHOWN: [(R, &str); 7] = [
    (R::EngineSpeed, "speed"),
    (R::Boost, "boost"),
    (R::MeteredAir, "metered"),
    (R::EngineAir, "engine"),
    (R::Lambda, "lambda"),
    (R::ShaftSpeed, "turbo"),
    (R::Torque, "torque"),
];

/// About how many moments are shown.
const MOMENTS: f64 = 20.0;

/// A drive of a case.
pub(crate) struct Driven<'a> {
    pub case: &'a Case,
    pub drives: Drives,
}

/// A drive, sample by sample; a car that cannot start has none.
#[derive(Serialize, JsonSchema)]
pub(crate) struct File<'a> {
    /// Title of the scenario.
    scenario: &'a str,
    /// Name of the car.
    vehicle: &'a str,
    /// Pieces of the drive.
    pieces: &'a [Piece],
    /// What opens, grows, closes or is mended on the way.
    events: &'a [Happened],
    /// Without leaks and faults.
    healthy: Option<Vec<Sample<'a>>>,
    /// With them.
    faulty: Option<Vec<Sample<'a>>>,
    /// Trouble codes set on the way.
    codes: Vec<CodeSet>,
    /// When valves stand open.
    valves: Vec<Open>,
    /// When the speed limiter cuts the fuel.
    speed_limit_cuts: Vec<Cut>,
    /// What has no answer, and why.
    failures: Vec<String>,
}

/// A moment.
#[derive(Serialize, JsonSchema)]
struct Sample<'a> {
    /// Since the drive began.
    time_s: f64,
    #[serde(flatten)]
    readings: Keyed<'a, Readings<f64>>,
}

fn samples(trace: &Result<Trace, Failure>) -> Option<Vec<Sample<'_>>> {
    let samples = trace.as_ref().ok()?.samples.iter();
    let sample = samples.map(|sample| Sample {
        time_s: sample.time,
        readings: Keyed(&sample.readings),
    });
    Some(sample.collect())
}

impl<'a> Answers for Driven<'a> {
    type Data<'b>
        = File<'b>
    where
        Self: 'b;

    fn data(&self) -> File<'_> {
        let drives = &self.drives;
        File {
            scenario: &self.case.scenario.title,
            vehicle: &self.case.network.vehicle.name,
            pieces: &drives.pieces,
            events: &drives.events,
            healthy: samples(&drives.healthy),
            faulty: drives.faulty.as_ref().and_then(samples),
            codes: drives.codes(),
            valves: drives.openings(),
            speed_limit_cuts: drives.cuts(),
            failures: drives.failures(),
        }
    }

    fn page(&self) -> Page {
        let drives = &self.drives;
        let failures = drives.failures().into_iter();
        let mut blocks: Vec<Block> = vec![Block::Says(self.says())];
        blocks.extend(
            (failures.map(|why| Block::Caution(say::no_answer(why))))
                .chain(drives.cuts().iter().map(|cut| self.fuel_cut(cut))),
        );
        blocks.push(Block::Picture(Picture {
            name: "drive".into(),
            caption: say::DRIVE.into(),
            scene: trace::drive(drives),
        }));
        let (codes, valves) = (drives.codes(), drives.openings());
        let tables = [
            Table::of(say::HAPPENS, "/events", &drives.events, &[]),
            Table::of(say::CODES_SET, "/codes", &codes, &[]),
            Table::of(say::VALVES_OPEN, "/valves", &valves, &[]),
            self.moments(),
        ];
        let tables = tables.into_iter().filter(|table| !table.rows.is_empty());
        let mut tables: Vec<Block> = tables.map(Block::Table).collect();
        let moments = tables.pop();
        blocks.extend(tables);
        let moments = Section::new("Moments of the drive", moments.into_iter().collect());
        Page {
            sections: vec![
                Section::new("", blocks),
                moments.folded(true).off_paper(true),
            ],
            ..head::page(self.case)
        }
    }

    /// One row a sample and side, with the piece of the drive it belongs to.
    fn csv(&self) -> Result<String, Trouble> {
        let heads = ["time_s", "piece", "side"].map(String::from);
        let drives = &self.drives;
        let rows = drives.sides().into_iter().flat_map(|(side, trace)| {
            let samples = trace.as_ref().map_or(&[][..], |trace| &trace.samples);
            samples.iter().map(move |sample| {
                let time = format!("{:.4}", sample.time);
                let start = [time, drives.piece(sample).into(), side.into()];
                start.into_iter().chain(sample.readings.cells())
            })
        });
        csv::rows(heads.into_iter().chain(Readings::keys()), rows)
    }

    fn dangers(&self) -> Vec<Danger> {
        self.drives.dangers()
    }

    fn failures(&self) -> Vec<String> {
        self.drives.failures()
    }
}

impl Driven<'_> {
    /// Where the faulty car is furthest behind, and whether a compressor surges.
    fn says(&self) -> String {
        let drives = &self.drives;
        let surges = drives.surges();
        let said: Vec<String> = (surges.iter())
            .map(|open| {
                let to = open.shut_s.map(say::until);
                say::surges(open.side, open.open_s, to.unwrap_or(say::THE_END.into()))
            })
            .collect();
        let surges = match said.is_empty() {
            true => say::NO_SURGE.into(),
            false => said.join(" "),
        };
        format!("{}{surges}", self.furthest().unwrap_or_default())
    }

    /// Where the faulty car's torque is furthest from the healthy one's.
    fn furthest(&self) -> Option<String> {
        let healthy = self.drives.healthy.as_ref().ok()?;
        let faulty = self.drives.faulty.as_ref()?.as_ref().ok()?;
        let apart = |reading: R, i: usize| {
            let read = |trace: &Trace| trace.samples.get(i)?.readings.get(reading);
            Some(read(faulty)? - read(healthy)?)
        };
        let both = healthy.samples.len().min(faulty.samples.len());
        let torque = |i: &usize| apart(R::Torque, *i).map_or(0.0, f64::abs);
        let at = (0..both).max_by(|a, b| torque(a).total_cmp(&torque(b)).then(b.cmp(a)))?;
        let sample = &healthy.samples[at];
        let said = [R::Torque, R::Boost, R::Lambda]
            .into_iter()
            .filter_map(|reading| {
                let form = &FORMS[reading as usize];
                let apart = difference(apart(reading, at)?, form.decimals);
                Some(
                    format!("{} {apart} {}", form.label, form.unit)
                        .trim_end()
                        .to_string(),
                )
            });
        let said: Vec<String> = said.collect();
        Some(say::furthest(
            sample.time,
            self.drives.piece(sample),
            said.join(", "),
        ))
    }

    fn fuel_cut(&self, cut: &Cut) -> Block {
        let limit = self.drives.speed_limit;
        let to = cut.to_s.map(|to| format!("{to:.2} s"));
        let to = to.unwrap_or(say::THE_END.into());
        let said = say::fuel_cut(cut.side, limit, cut.from_s, to, cut.highest_rpm);
        Block::Words(said + ".")
    }

    /// Some twenty moments of the main readings, the cars one under the other.
    fn moments(&self) -> Table {
        let mut head = vec![Column::numbers("time", "s"), Column::words("car")];
        let unit = |reading: R| FORMS[reading as usize].unit;
        head.extend(SHOWN.map(|(reading, label)| Column::numbers(label, unit(reading))));
        let pieces = &self.drives.pieces;
        let ends = pieces.iter().skip(1).map(|piece| piece.from_s);
        let ends = ends.chain([self.drives.duration]);
        let mut rows = Vec::new();
        for (piece, end) in pieces.iter().zip(ends) {
            rows.push(vec![Cell::words(say::piece(&piece.name, piece.from_s))]);
            for index in self.chosen(piece.from_s, end) {
                let sides = self.drives.sides().into_iter();
                rows.extend(sides.map(|(side, trace)| self.moment(index, side, trace)));
            }
        }
        Table {
            caption: say::MOMENTS.into(),
            head,
            rows,
        }
    }

    /// Samples of one piece that are shown: at least its first, evenly spaced.
    fn chosen(&self, from: f64, end: f64) -> impl Iterator<Item = usize> {
        let index = |time: f64| (time / self.drives.interval - 1e-6).ceil() as usize;
        let (first, past) = (index(from), index(end).max(index(from) + 1));
        let rows = (MOMENTS * (end - from) / self.drives.duration)
            .ceil()
            .max(1.0);
        (first..past).step_by((past - first).div_ceil(rows as usize))
    }

    fn moment(&self, index: usize, side: &str, trace: &Result<Trace, Failure>) -> Vec<Cell> {
        let sample = trace.as_ref().ok().and_then(|t| t.samples.get(index));
        let at = |key: &str| format!("/{side}/{index}/{key}");
        let time = match (side, sample) {
            ("healthy", Some(sample)) => Cell::number(sample.time, 2, at("time_s")),
            ("healthy", None) => Cell::words(number(index as f64 * self.drives.interval, 2)),
            _ => Cell::default(),
        };
        let mut row = vec![time, Cell::words(side)];
        row.extend(SHOWN.map(|(reading, _)| {
            let form = FORMS[reading as usize];
            let value = sample.and_then(|sample| sample.readings.get(reading));
            Cell::number(
                value.unwrap_or(f64::NAN),
                form.decimals.min(2),
                at(form.key),
            )
        }));
        row
    }
}
