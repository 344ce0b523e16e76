//! A log as it was read, for people and for programs.

use crate::answer::Answers;
use crate::answer::dangers::Danger;
use crate::answer::drive_log::{columns, course, reading, used_for};
use crate::input::log::{Log, Mapped};
use crate::page::{Block, CAUTION, Cell, Column, Line, Page, Section};
use crate::say::log as say;
use crate::text::words::sentence;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::Reading;
use sim::study::knowing::log::{Average, Channel, Pull, RULE, Span, Window};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Readings shown of what moved: more do not fit a line.
const MOST_SHOWN: usize = 5;

/// Conditions named in the answer.
const NAMED: usize = 6;

/// A log and where it came from.
pub(super) struct Read {
    pub path: PathBuf,
    pub log: Log,
}

/// A log as it was read.
#[derive(Serialize, JsonSchema)]
pub(super) struct LogFile {
    /// Pressure of the air around, as far as the log tells.
    ambient_kpa: f64,
    columns: Vec<LogColumn>,
    log: String,
    /// Part load at which speed and load moved: each reading where nothing changes.
    moving: Vec<Held>,
    /// What a person should know of how it was read.
    notes: Vec<String>,
    pulls: Vec<Trace>,
    rows: u64,
    seconds: f64,
    /// Time the engine ran warm, s.
    warm_s: f64,
    windows: Vec<Held>,
    /// What its seconds are used for, by time without breaks of the clock.
    used: Vec<Used>,
}

/// Seconds of a log.
#[derive(Serialize, JsonSchema)]
struct Used {
    /// `held`, `moved a little`, `overrun`, `full-load pull` or `cold, left out`.
    used_for: &'static str,
    start_s: f64,
    end_s: f64,
}

/// A column and what it was taken for.
#[derive(Serialize, JsonSchema)]
struct LogColumn {
    column: String,
    reading: Option<&'static str>,
    unit: String,
    why: String,
}

/// A condition that was held.
#[derive(Serialize, JsonSchema)]
struct Held {
    engine_speed_rpm: f64,
    kind: &'static str,
    load: Option<Load>,
    name: String,
    pedal_share: Option<f64>,
    pieces: u32,
    readings: BTreeMap<&'static str, Mean>,
    seconds: f64,
    start_s: f64,
}

/// The reading that stands for load.
#[derive(Serialize, JsonSchema)]
struct Load {
    mean: f64,
    reading: &'static str,
}

/// A reading over the time a condition was held.
#[derive(Serialize, JsonSchema)]
struct Mean {
    /// Standard deviation of the mean.
    doubt: f64,
    mean: f64,
    scatter: f64,
    values: u64,
}

/// A full-load pull.
#[derive(Serialize, JsonSchema)]
struct Trace {
    signals: BTreeMap<&'static str, Vec<Option<f64>>>,
    time_s: Vec<f64>,
}

impl LogColumn {
    fn new(mapped: &Mapped) -> Self {
        Self {
            column: mapped.column.clone(),
            reading: reading(mapped.taken),
            unit: mapped.unit.clone(),
            why: mapped.why.clone(),
        }
    }
}

impl Used {
    fn new(span: &Span) -> Self {
        let [start_s, end_s] = [span.start, span.end].map(|time| (1e3 * time).round() / 1e3);
        Self {
            used_for: used_for(span.of),
            start_s,
            end_s,
        }
    }
}

impl Held {
    fn new(window: &Window) -> Self {
        let readings = window.averages.iter().map(|average| {
            let mean = Mean {
                doubt: average.doubt,
                mean: average.mean,
                scatter: average.scatter,
                values: average.count,
            };
            (average.channel.key(), mean)
        });
        Self {
            engine_speed_rpm: window.speed,
            kind: window.kind.words(),
            load: window.load.map(|(channel, mean)| Load {
                mean,
                reading: channel.key(),
            }),
            name: window.name(),
            pedal_share: window.pedal,
            pieces: window.pieces,
            readings: readings.collect(),
            seconds: window.seconds,
            start_s: window.start,
        }
    }
}

impl Trace {
    fn new(pull: &Pull) -> Self {
        let signal = |(i, channel): (usize, &Channel)| {
            let values = pull.samples.iter().map(|sample| sample.values[i]);
            let values = values.map(|value| value.is_finite().then_some(value));
            (channel.key(), values.collect())
        };
        Self {
            signals: pull.channels.iter().enumerate().map(signal).collect(),
            time_s: pull.samples.iter().map(|sample| sample.time).collect(),
        }
    }
}

impl Answers for Read {
    type Data<'a> = LogFile;

    fn data(&self) -> LogFile {
        let log = &self.log;
        LogFile {
            ambient_kpa: log.ambient / 1e3,
            columns: log.mapping.iter().map(LogColumn::new).collect(),
            log: self.path.display().to_string(),
            moving: log.moving.iter().map(Held::new).collect(),
            notes: log.notes.clone(),
            pulls: log.pulls.iter().map(Trace::new).collect(),
            rows: log.rows,
            seconds: log.seconds,
            warm_s: log.warm,
            windows: log.windows.iter().map(Held::new).collect(),
            used: log.course.spans().iter().map(Used::new).collect(),
        }
    }

    fn dangers(&self) -> Vec<Danger> {
        self.log.dangers().iter().map(Danger::from).collect()
    }

    fn page(&self) -> Page {
        let log = &self.log;
        let about = say::rows(self.path.display(), log.rows, log.seconds);
        let seconds = |windows: &[Window]| windows.iter().map(|w| w.seconds).sum::<f64>();
        let [still, moving] = [&log.windows, &log.moving].map(|windows| seconds(windows));
        let used = say::used(still, moving, log.warm);
        let notes = log.notes.iter().map(|note| Line::new("note", note));
        let says = [Block::Says(says(log, still))].into_iter();
        let drawn = course(log).map(Block::Picture);
        let mut sections = vec![Section::new("", says.chain(drawn).collect())];
        let windows = log.windows.iter().enumerate();
        sections.extend(windows.map(|(i, window)| held(i, window)));
        if !log.moving.is_empty() {
            sections.push(Section::new("What moved", vec![moved(&log.moving)]));
        }
        let pulls = Block::list(log.pulls.iter().map(pull));
        sections.extend(pulls.map(|pulls| Section::new("Full-load pulls", vec![pulls])));
        let columns = Section::new("Columns", vec![columns(&log.mapping)]);
        sections.push(columns.folded(true).off_paper(true));
        Page {
            title: say::TITLE.into(),
            lead: [Line::new("log", about), Line::new("used", used)]
                .into_iter()
                .chain(notes)
                .collect(),
            sections,
            notes: vec![sentence(RULE), say::OF_THE_MEAN.into(), CAUTION.into()],
            ..Page::default()
        }
    }
}

/// What it can be judged by; `still` is how long something was held, s.
fn says(log: &Log, still: f64) -> String {
    let pulls = match log.pulls.len() {
        0 => say::NO_PULL.into(),
        1 => say::ONE_PULL.into(),
        several => say::pulls(several),
    };
    let mut names: Vec<String> = log.windows.iter().take(NAMED).map(Window::name).collect();
    if log.windows.len() > NAMED {
        names.push(say::and_more(log.windows.len() - NAMED));
    }
    match (names.is_empty(), log.pulls.is_empty()) {
        (true, true) => say::nothing(log.warm),
        (true, false) => say::not_held(log.warm, pulls),
        (false, _) => say::judged_by(names.join(", "), still, log.warm, pulls),
    }
}

fn held(index: usize, window: &Window) -> Section {
    let pieces = match window.pieces {
        1 => "1 piece".into(),
        several => format!("{several} pieces"),
    };
    let row = |average: &Average| {
        let channel = average.channel;
        let at = |key: &str| format!("/windows/{index}/readings/{}/{key}", channel.key());
        vec![
            Cell::words(channel.label()),
            Cell::words(channel.unit()),
            Cell::digits(average.mean, 5, at("mean")),
            Cell::digits(average.doubt, 2, at("doubt")),
            Cell::digits(average.scatter, 2, at("scatter")),
            Cell::number(average.count as f64, 0, at("values")),
        ]
    };
    let numbers =
        ["mean", "uncertainty", "scatter", "values"].map(|label| Column::numbers(label, ""));
    let head = ["reading", "unit"].map(Column::words).into_iter();
    let caption = say::held(window.seconds, pieces, window.start);
    let rows = window.averages.iter().map(row);
    Section::new(
        window.name(),
        vec![Block::table(caption, head.chain(numbers), rows)],
    )
}

/// What moved: one row a step of speed and load.
fn moved(windows: &[Window]) -> Block {
    let shown = [
        Reading::Manifold,
        Reading::MeteredAir,
        Reading::AbsoluteLoad,
        Reading::FuelTrim,
        Reading::ShortTrim,
        Reading::LongTrim,
        Reading::LambdaSensor,
    ];
    let shown = shown.map(Channel::Read).into_iter();
    let there = |channel: &Channel| windows.iter().any(|w| w.get(*channel).is_some());
    let shown: Vec<Channel> = shown.filter(there).take(MOST_SHOWN).collect();
    let row = |(i, window): (usize, &Window)| {
        let at = |key: &str| format!("/moving/{i}/{key}");
        let mut row = vec![
            Cell::words(window.kind.words()),
            Cell::number(window.speed, 0, at("engine_speed_rpm")),
            Cell::number(window.seconds, 0, at("seconds")),
        ];
        row.extend(shown.iter().map(|channel| match window.get(*channel) {
            Some(read) => {
                let at = at(&format!("readings/{}/mean", channel.key()));
                Cell::digits(read.mean, 3, at)
            }
            None => Cell::words(""),
        }));
        row
    };
    let head = [("speed", "rpm"), ("time", "s")].into_iter();
    let head = head.chain(shown.iter().map(|c| (c.label(), c.unit())));
    let head = head.map(|(label, unit)| Column::numbers(label, unit));
    let head = std::iter::once(Column::words("driven")).chain(head);
    Block::table(say::MOVED, head, windows.iter().enumerate().map(row))
}

fn pull(pull: &Pull) -> String {
    let [low, high] = pull.speeds();
    let start = pull.samples.first().map_or(0.0, |sample| sample.time);
    say::pull(start, low, high, pull.seconds(), pull.samples.len())
}
