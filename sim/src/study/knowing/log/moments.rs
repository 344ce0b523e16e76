//! Moments at which speed and load move a little, gathered by where they lie: what no steady
//! window holds, which is most of a drive.
//!
//! A moment is a piece of [`Pace::block`](super::Pace) length between two others of the same kind.
//! Those of one cell (a step of speed and of load) give each reading as a plane over speed, load
//! and their rates; what counts is its height where nothing changes.

use super::average::Sums;
use super::plane::{Plane, Terms};
use super::{Average, Channel, Kind, Window};
use std::collections::BTreeMap;

/// Sides of a cell: logarithm of speed and of load (own choice: over so much, the logarithm of air
/// is a plane within half a per cent).
const SIDES: [f64; 2] = [0.3, 0.4];
/// Most that speed and load may change in a second, as shares of them.
const RATES: [f64; 2] = [0.25, 0.7];
/// Time, s, after which a moment in a cell is a new one rather than the same again.
const MEMORY: f64 = 3.0;
/// Least moments in a cell.
const LEAST: f64 = 2.0;
/// Cells at most.
const MOST: usize = 1000;

/// A piece of the log: when, how driven, what was read.
#[derive(Clone, Debug)]
pub(super) struct Moment {
    pub start: f64,
    pub kind: Kind,
    /// Speed, rpm, and load.
    pub place: [f64; 2],
    /// Of each channel.
    pub means: Vec<Sums>,
}

#[derive(Clone, Debug)]
struct Cell {
    start: f64,
    last: f64,
    visits: u32,
    moments: f64,
    /// Sums of the logarithms of speed and load from the middle.
    off: [f64; 2],
    pedal: Sums,
    planes: Vec<Plane>,
}

/// The cells so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Moments {
    recent: Vec<Moment>,
    cells: BTreeMap<(Kind, [i32; 2]), Cell>,
}

fn middle(i: usize, cell: i32) -> f64 {
    (f64::from(cell) + 0.5) * SIDES[i]
}

impl Moments {
    /// The log is interrupted, or driven in a way that is no use here.
    pub fn interrupt(&mut self) {
        self.recent.clear();
    }

    /// The next piece; `pedal` its share of travel. What becomes part of a condition: how it was
    /// driven, and from when on.
    pub fn add(
        &mut self,
        channels: &[Channel],
        moment: Moment,
        pedal: f64,
        block: f64,
    ) -> Option<(Kind, f64)> {
        if self
            .recent
            .last()
            .is_some_and(|last| last.kind != moment.kind)
        {
            self.interrupt();
        }
        self.recent.push(moment);
        let [before, now, after] = &self.recent[..] else {
            return None;
        };
        let rate = |i: usize| (after.place[i] / before.place[i]).ln() / (2.0 * block);
        let rates = [rate(0), rate(1)];
        let slow = now.kind != Kind::FullLoad && (0..2).all(|i| rates[i].abs() <= RATES[i]);
        let now = slow.then(|| now.clone());
        if let Some(now) = &now {
            self.gather(channels, now, rates, (pedal, block));
        }
        self.recent.remove(0);
        now.map(|now| (now.kind, now.start))
    }

    fn gather(
        &mut self,
        channels: &[Channel],
        now: &Moment,
        rates: [f64; 2],
        (pedal, block): (f64, f64),
    ) {
        let logs = now.place.map(f64::ln);
        let key = (
            now.kind,
            [0, 1].map(|i| (logs[i] / SIDES[i]).floor() as i32),
        );
        if self.cells.len() >= MOST && !self.cells.contains_key(&key) {
            return;
        }
        let cell = self.cells.entry(key).or_insert_with(|| Cell {
            start: now.start,
            last: f64::NEG_INFINITY,
            visits: 0,
            moments: 0.0,
            off: [0.0; 2],
            pedal: Sums::default(),
            planes: vec![Plane::default(); now.means.len()],
        });
        cell.visits += u32::from(now.start - cell.last > 1.5 * block);
        cell.last = now.start;
        cell.moments += 1.0;
        cell.pedal.add(pedal);
        let off = [0, 1].map(|i| logs[i] - middle(i, key.1[i]));
        (0..2).for_each(|i| cell.off[i] += off[i]);
        let terms = Terms::from([1.0, off[0], off[1], rates[0], rates[1]]);
        let read = cell.planes.iter_mut().zip(&now.means).zip(channels);
        for ((plane, sums), channel) in read {
            let value = match channel.is_amount() {
                true => sums.mean.ln(),
                false => sums.mean,
            };
            if sums.count > 0.0 && value.is_finite() {
                plane.add(&terms, value);
            }
        }
    }

    /// The cells as conditions, by speed.
    pub fn finish(
        self,
        channels: &[Channel],
        load: Option<Channel>,
        steps: &[f64],
        block: f64,
    ) -> Vec<Window> {
        let kept = self.cells.iter().filter(|(_, cell)| cell.moments >= LEAST);
        let windows = kept.map(|(key, cell)| {
            let off = cell.off.map(|sum| sum / cell.moments);
            let at = |i: usize| (middle(i, key.1[i]) + off[i]).exp();
            let visits = f64::from(cell.visits);
            let independent = visits + (cell.moments - visits) * (block / MEMORY).min(1.0);
            let terms = Terms::from([1.0, off[0], off[1], 0.0, 0.0]);
            let planes = cell.planes.iter().zip(channels).enumerate();
            let averages = planes.filter_map(|(i, (plane, channel))| {
                let step = steps.get(i).copied().unwrap_or(0.0);
                let logs = channel.is_amount();
                let unit = (!logs).then(|| channel.small());
                let step = if logs { 0.0 } else { step };
                let mut height = plane.height(&terms, independent, step, unit)?;
                if channel.is_mixture() {
                    height.keep_to_moments();
                }
                let mean = if logs { height.mean.exp() } else { height.mean };
                let scale = if logs { mean } else { 1.0 };
                Some(Average {
                    channel: *channel,
                    mean,
                    scatter: scale * height.scatter,
                    doubt: scale * height.doubt,
                    count: height.count,
                })
            });
            Window {
                kind: key.0,
                start: cell.start,
                seconds: cell.moments * block,
                pieces: cell.visits,
                speed: at(0),
                load: load.map(|load| (load, at(1))),
                pedal: cell.pedal.mean.is_finite().then_some(cell.pedal.mean),
                averages: averages.collect(),
            }
        });
        windows.collect()
    }
}
