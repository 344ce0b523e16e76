//! The first time through a log: what its numbers look like.

use super::cells::Cells;
use super::groups::{Groups, Mark, without};
use super::silent::Silent;
use super::spread::Spread;
use super::steps::Steps;
use crate::InputError;
use crate::log::head::Head;
use crate::log::lines::{Held, Lines, number, split, text};
use crate::log::moment::clock;

/// Rows of a log and what was passed over.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Passed {
    /// Rows given on.
    pub rows: u64,
    /// Rows of words: column names that come again, remarks.
    pub words: u64,
    /// Rows with bytes that no text holds.
    pub spoilt: u64,
    /// Rows with fewer cells than names.
    pub short: u64,
    /// Rows in which the logger had no answer yet, or none any more.
    pub silent: u64,
    /// Rows with a word in place of the time.
    pub summary: u64,
}

/// Gives every row of numbers to `each`.
///
/// # Errors
/// The file cannot be read.
pub(super) fn rows(
    log: Held,
    head: &Head,
    mut each: impl FnMut(&Cells),
) -> Result<Passed, InputError> {
    let mut lines = Lines::open(log)?;
    let mut spans = Vec::new();
    let mut passed = Passed::default();
    let (mut bare, mut places) = (Vec::new(), Vec::new());
    loop {
        let past = lines.number >= head.lines;
        let Some(line) = lines.next()? else { break };
        if !past || is_empty(line) {
            continue;
        }
        split(line, head.delimiter, &mut spans);
        let (line, spans) = match head.parted.iter().any(Option::is_some) {
            true => {
                without((line, &spans), &head.parted, (&mut bare, &mut places));
                (&bare[..], &places)
            }
            false => (line, &spans),
        };
        let cells = Cells::new(line, spans);
        if of_words(&cells, spans.len()) {
            passed.words += 1;
            continue;
        }
        passed.short += u64::from(spans.len() < head.names.len());
        passed.rows += 1;
        each(&cells);
    }
    passed.spoilt = lines.spoilt;
    Ok(passed)
}

/// Nothing but separators and spaces.
fn is_empty(line: &[u8]) -> bool {
    line.iter()
        .all(|b| b.is_ascii_whitespace() || b",;|".contains(b))
}

/// No number in the first filled cells: most rows are decided by their first.
fn of_words(cells: &Cells, count: usize) -> bool {
    let cells = (0..count)
        .map(|i| cells.get(i))
        .filter(|cell| !cell.is_empty());
    !cells
        .take(50)
        .any(|cell| number(cell).is_some() || clock(cell).is_some())
}

/// What a column holds.
#[derive(Clone, Debug, Default)]
pub(super) struct Column {
    /// Cells with a number.
    pub numbers: u64,
    /// Those that can be true.
    pub within: u64,
    /// The first of them.
    pub first: f64,
    /// Cells with something else.
    pub words: u64,
    /// Cells with a time of day.
    pub clocks: u64,
    /// The first few different words.
    pub said: Vec<String>,
    /// Least and largest number, single bad cells left out.
    pub ends: [f64; 2],
    /// What may part its thousands.
    pub groups: Groups,
    /// How the numbers lie.
    pub spread: Spread,
    /// Smallest difference between numbers that follow each other.
    pub step: f64,
    /// Mean while the engine idles, and while it stands; with the number of values.
    pub idle: (f64, f64),
    /// See `idle`.
    pub still: (f64, f64),
    last: f64,
    gate: [f64; 2],
}

/// Different words kept of a column.
const WORDS_KEPT: usize = 8;

impl Column {
    fn new(gate: [f64; 2]) -> Self {
        Self {
            gate,
            first: f64::NAN,
            step: f64::INFINITY,
            last: f64::NAN,
            ..Self::default()
        }
    }

    fn add(&mut self, cell: &[u8], state: State) {
        if cell.is_empty() {
            return;
        }
        self.groups.add(cell);
        let Some(value) = number(cell) else {
            self.words += 1;
            self.clocks += u64::from(clock(cell).is_some());
            if self.said.len() < WORDS_KEPT && cell.len() < 60 {
                let said = text(cell);
                if !self.said.contains(&said) {
                    self.said.push(said);
                }
            }
            return;
        };
        self.numbers += 1;
        if !(self.gate[0]..=self.gate[1]).contains(&value) {
            return;
        }
        self.within += 1;
        if self.first.is_nan() {
            self.first = value;
        }
        self.spread.add(value);
        let step = (value - self.last).abs();
        if step > 0.0 && step < self.step {
            self.step = step;
        }
        self.last = value;
        let mean = match state {
            State::Idle => &mut self.idle,
            State::Still => &mut self.still,
            State::Other => return,
        };
        mean.1 += 1.0;
        mean.0 += (value - mean.0) / mean.1;
    }

    /// Whether it is more words than numbers.
    pub fn is_text(&self) -> bool {
        self.words > self.numbers
    }
}

#[derive(Clone, Copy)]
enum State {
    Idle,
    Still,
    Other,
}

/// What the whole log looks like.
#[derive(Clone, Debug)]
pub(super) struct Survey {
    pub columns: Vec<Column>,
    pub passed: Passed,
    /// Steps of the time column.
    pub steps: Steps,
}

impl Survey {
    /// What parts the thousands in each column, `speed` that of the engine's speed.
    pub fn parted(&self, speed: Option<(usize, f64)>) -> Vec<Option<Mark>> {
        let turns = |i: usize| speed.is_some_and(|(at, factor)| at == i && factor == 1.0);
        let columns = self.columns.iter().enumerate();
        columns
            .map(|(i, column)| column.groups.mark(turns(i)))
            .collect()
    }
}

/// Engine speeds, rpm, between which it idles, and below which it stands; a pedal or road
/// speed decides better, but not every log has them.
const IDLES: [f64; 2] = [450.0, 1150.0];
const STANDS: f64 = 30.0;

/// Looks at the columns in `wanted` (all if a cell of theirs may decide something), at their
/// numbers within the ends given there, with the engine's speed (rpm per number) and the time in theirs, if known.
///
/// # Errors
/// The file cannot be read.
pub(super) fn survey(
    log: Held,
    head: &Head,
    wanted: &[Option<[f64; 2]>],
    speed: Option<(usize, f64)>,
    time: Option<usize>,
    silent: &Silent,
) -> Result<Survey, InputError> {
    let open = [f64::NEG_INFINITY, f64::INFINITY];
    let mut columns: Vec<Column> = (wanted.iter())
        .map(|gate| Column::new(gate.unwrap_or(open)))
        .collect();
    let mut steps = Steps::new();
    let (mut turns, mut before) = (f64::NAN, f64::NAN);
    let (mut unanswered, mut summary) = (0, 0);
    let looked: Vec<usize> = (0..wanted.len()).filter(|i| wanted[*i].is_some()).collect();
    let mut passed = rows(log, head, |cells| {
        if silent.is_summary(cells) {
            summary += 1;
            return;
        }
        if silent.is(cells) {
            unanswered += 1;
            return;
        }
        if let Some((i, factor)) = speed {
            before = turns;
            turns = number(cells.get(i)).map_or(turns, |value| value * factor);
        }
        // One bad cell of the speed is no engine that stands.
        let state = if turns < STANDS && before < STANDS {
            State::Still
        } else if (IDLES[0]..=IDLES[1]).contains(&turns) {
            State::Idle
        } else {
            State::Other
        };
        for i in &looked {
            columns[*i].add(cells.get(*i), state);
        }
        let now = time.map_or(&[][..], |i| cells.get(i));
        if let Some(now) = number(now).or_else(|| Some(clock(now)?.0)) {
            steps.add(now);
        }
    })?;
    steps.finish();
    passed.silent = unanswered;
    passed.summary = summary;
    for column in &mut columns {
        column.ends = column.spread.ends();
    }
    Ok(Survey {
        columns,
        passed,
        steps,
    })
}
