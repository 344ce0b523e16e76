//! The course of a log for drawing: its signals thinned to the least and the most of each step of
//! time, so that no peak is lost, and which seconds of it are used, in bounded memory.

use super::{Channel, Kind};

/// Steps of time at most: as many as a drawing has columns. Where a log is longer, steps double.
const STEPS: usize = 1024;
/// Shortest step, s.
const SHORTEST: f64 = 1.0 / 64.0;
/// Spans and breaks kept at most (own choice: 11 hours that change every 2 s).
const MOST: usize = 20_000;

/// What seconds of a log are used for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Use {
    /// A condition that was held.
    Held(Kind),
    /// Speed or load moved a little; what is held is among it.
    Moved(Kind),
    /// A full-load pull.
    Pull,
    /// Not at all: the engine was cold.
    Cold,
}

/// Seconds that are used for one thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// For what.
    pub of: Use,
    /// From when, s since the first row, breaks left out.
    pub start: f64,
    /// Until when.
    pub end: f64,
}

/// A jump of the clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Break {
    /// When, s since the first row, breaks left out.
    pub at: f64,
    /// How far the clock jumped, s; below zero where it ran back.
    pub jump: f64,
}

/// The course of a log.
///
/// # Examples
/// ```
/// use sim::network::Reading;
/// use sim::study::knowing::log::{Channel, Course};
/// let speed = Channel::Read(Reading::EngineSpeed);
/// let mut course = Course::new(&[speed]);
/// for row in 0..100_000 {
///     let rpm = if row == 70_001 { 6000.0 } else { 800.0 };
///     course.row(0.1 * f64::from(row), 5.0, &[rpm]);
/// }
/// // However many rows there are, one that stands out is still there.
/// let steps = course.steps(speed);
/// assert!(steps.len() <= 1024 && steps.iter().any(|[_, _, most]| *most == 6000.0));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Course {
    channels: Vec<Channel>,
    step: f64,
    /// Least and most of every channel in each step; infinite the wrong way round where none came.
    ends: Vec<Vec<[f64; 2]>>,
    last: f64,
    /// The log's clock less the time breaks left out.
    ahead: f64,
    spans: Vec<Span>,
    breaks: Vec<Break>,
    seconds: f64,
}

const NONE: [f64; 2] = [f64::INFINITY, f64::NEG_INFINITY];

fn join(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0].min(b[0]), a[1].max(b[1])]
}

impl Course {
    /// For rows of these channels.
    pub fn new(channels: &[Channel]) -> Self {
        Self {
            channels: channels.to_vec(),
            step: SHORTEST,
            last: f64::NAN,
            ..Self::default()
        }
    }

    /// The next row at `time`, s; a step of the clock beyond `gap`, or back, is a break.
    pub fn row(&mut self, time: f64, gap: f64, values: &[f64]) {
        let passed = time - self.last;
        if self.last.is_nan() {
            self.ahead = time;
        } else if !(0.0..=gap).contains(&passed) {
            if self.breaks.len() < MOST {
                let (at, jump) = (self.seconds, passed);
                self.breaks.push(Break { at, jump });
            }
            self.ahead += passed;
        }
        self.last = time;
        self.seconds = self.seconds.max(time - self.ahead);
        while self.seconds / self.step >= STEPS as f64 {
            self.double();
        }
        let at = (self.seconds / self.step) as usize;
        if self.ends.len() <= at {
            self.ends.resize(at + 1, vec![NONE; self.channels.len()]);
        }
        for (ends, value) in self.ends[at].iter_mut().zip(values) {
            if value.is_finite() {
                *ends = join(*ends, [*value; 2]);
            }
        }
    }

    fn double(&mut self) {
        self.step *= 2.0;
        let pairs = self.ends.chunks(2).map(|pair| {
            let mut first = pair[0].clone();
            for (a, b) in first.iter_mut().zip(pair.get(1).into_iter().flatten()) {
                *a = join(*a, *b);
            }
            first
        });
        self.ends = pairs.collect();
    }

    /// Seconds from `start` on, by the log's clock, are used.
    pub(super) fn mark(&mut self, of: Use, start: f64, seconds: f64) {
        let start = start - self.ahead;
        let end = start + seconds;
        let full = self.is_cut();
        let mut before = self.spans.iter_mut().rev().take(4);
        // One where nothing lies between but rounding.
        match before.find(|span| span.of == of && (span.end - start).abs() < 1e-6) {
            Some(span) => span.end = end,
            None if !full => self.spans.push(Span { of, start, end }),
            None => {}
        }
    }

    /// Length, s, breaks left out.
    pub fn seconds(&self) -> f64 {
        self.seconds
    }

    /// What its seconds are used for, in no order.
    pub fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// Whether there was more to mark than is kept.
    pub fn is_cut(&self) -> bool {
        self.spans.len() >= MOST
    }

    /// Jumps of the clock.
    pub fn breaks(&self) -> &[Break] {
        &self.breaks
    }

    /// A channel over time: the middle of each step in which it came, s, its least and its most, in
    /// the channel's unit; empty where the log does not hold it.
    pub fn steps(&self, channel: Channel) -> Vec<[f64; 3]> {
        let Some(i) = self.channels.iter().position(|c| *c == channel) else {
            return Vec::new();
        };
        let all = self.ends.iter().enumerate();
        let came = all.filter(|(_, ends)| ends[i][0] <= ends[i][1]);
        came.map(|(k, ends)| [(k as f64 + 0.5) * self.step, ends[i][0], ends[i][1]])
            .collect()
    }
}
