//! Finds steady windows and pulls while a log goes by, once, in bounded memory.

use super::average::{Sums, average};
use super::cluster::Clusters;
use super::course::{Course, Use};
use super::moments::{Moment, Moments};
use super::pull::Pulls;
use super::{Average, Channel, Kind, Pull, Window};
use crate::network::Reading;

/// What must be known of a log before its rows are read.
#[derive(Clone, Debug)]
pub struct Pace {
    /// Length of the pieces whose means are compared, s: 1, or what it takes for each
    /// of speed, load and pedal to come once.
    pub block: f64,
    /// Time between rows, s, over which nothing is taken to be held;
    /// [`LONGEST_HELD`] at most.
    pub gap: f64,
    /// What stands for the pedal, where it rests and where it is down, in its unit.
    pub pedal: Option<(Channel, [f64; 2])>,
    /// What stands for load.
    pub load: Option<Channel>,
    /// Smallest step of each channel's values, in its unit.
    pub steps: Vec<f64>,
}

/// What was found.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Conditions that were held.
    pub windows: Vec<Window>,
    /// Part load and overrun at which speed and load moved, by where they lay.
    pub moving: Vec<Window>,
    /// Full-load pulls.
    pub pulls: Vec<Pull>,
    /// Time the engine ran cold, s.
    pub cold: f64,
    /// Time it ran warm, s.
    pub warm: f64,
    /// Time of windows beyond those kept, s.
    pub windows_dropped: f64,
    /// Pulls beyond those kept.
    pub pulls_dropped: u64,
    /// The log over time, and what its seconds are used for.
    pub course: Course,
}

/// Limits on the block means of speed (share, rpm), load (share) and pedal (share of travel).
const SPEED_LIMIT: (f64, f64) = (0.03, 40.0);
const LOAD_LIMIT: f64 = 0.06;
const PEDAL_LIMIT: f64 = 0.02;
/// Shortest window, s and blocks; lead-in left out, s; longest window, s.
const LEAST: (f64, usize) = (5.0, 4);
const LEAD_IN: f64 = 2.0;
const LONGEST: f64 = 60.0;
/// Longest time, s, over which a value is taken to be held, however slow the log (own choice:
/// twice the longest window).
pub const LONGEST_HELD: f64 = 2.0 * LONGEST;
/// Coolant, °C, from which the engine counts as warm (common practice, no source).
const WARM: f64 = 70.0;
/// Lambda above which fuel is cut, and manifold pressure, kPa, below which (own choice).
const CUT: (f64, f64) = (1.25, 90.0);
/// Engine speed, rpm, up to which the engine is taken to stand.
const STANDS_STILL: f64 = 300.0;
/// Speed, load, pedal share of a block.
type Gate = [f64; 3];

/// Blocks that have been steady so far.
#[derive(Clone, Debug, Default)]
struct Run {
    start: f64,
    blocks: Vec<Vec<Sums>>,
    least: Gate,
    most: Gate,
    sum: Gate,
    /// Goes on from a window that was closed for its length.
    settled: bool,
}

/// Finds windows and pulls; feed it rows in time.
#[derive(Clone, Debug)]
pub struct Finder {
    channels: Vec<Channel>,
    pace: Pace,
    held: Vec<f64>,
    time: f64,
    block_start: f64,
    block: Vec<Sums>,
    run: Run,
    clusters: Clusters,
    pulls: Pulls,
    moments: Moments,
    cold: f64,
    warm: f64,
    /// Last coolant temperature, °C: it holds over a gap of the log.
    coolant: f64,
    places: Places,
    course: Course,
}

/// Where the channels that decide stand.
#[derive(Clone, Copy, Debug)]
struct Places {
    speed: Option<usize>,
    load: Option<usize>,
    pedal: Option<usize>,
    road: Option<usize>,
    coolant: Option<usize>,
}

impl Finder {
    /// For rows of these channels.
    pub fn new(channels: &[Channel], pace: Pace) -> Self {
        let place = |channel: Channel| channels.iter().position(|c| *c == channel);
        let places = Places {
            speed: place(Channel::Read(Reading::EngineSpeed)),
            load: pace.load.and_then(place),
            pedal: pace.pedal.and_then(|(channel, _)| place(channel)),
            road: place(Channel::Read(Reading::RoadSpeed)),
            coolant: place(Channel::Coolant),
        };
        Self {
            channels: channels.to_vec(),
            held: vec![f64::NAN; channels.len()],
            block: vec![Sums::default(); channels.len()],
            time: f64::NAN,
            block_start: f64::NAN,
            run: Run::default(),
            clusters: Clusters::default(),
            pulls: Pulls::default(),
            moments: Moments::default(),
            cold: 0.0,
            warm: 0.0,
            coolant: f64::NAN,
            pace: Pace {
                block: pace.block.max(1.0),
                gap: pace.gap.min(LONGEST_HELD),
                ..pace
            },
            places,
            course: Course::new(channels),
        }
    }

    /// Time between rows, s, over which nothing is taken to be held.
    pub fn gap(&self) -> f64 {
        self.pace.gap
    }

    /// The next row: `fresh` holds what came at `time` (s), not a number where nothing did.
    /// Time that runs back, or jumps over the gap, begins anew.
    pub fn row(&mut self, time: f64, fresh: &[f64]) {
        let passed = time - self.time;
        if !(0.0..=self.pace.gap).contains(&passed) {
            self.interrupt();
            self.held.fill(f64::NAN);
            self.block_start = time;
        }
        self.time = time;
        self.course.row(time, self.pace.gap, fresh);
        // A block is over when the first row beyond it comes; it ends where it should.
        // Counted by division, and at most `gap` at a row: a clock cannot make it long.
        let first = self.block_start;
        let over = ((time - first) / self.pace.block).floor();
        for i in 1..=over as u32 {
            self.close_block();
            self.block_start = first + f64::from(i) * self.pace.block;
        }
        for ((held, sums), value) in (self.held.iter_mut().zip(&mut self.block)).zip(fresh) {
            if value.is_finite() {
                *held = *value;
                sums.add(*value);
            }
        }
        let down = self.pedal_share(self.held_at(self.places.pedal)) >= Kind::DOWN;
        let told = (self.places.pedal).is_none_or(|i| fresh[i].is_finite());
        let pull = (self.pulls).row(&self.channels, time, (&self.held, fresh), (down, told));
        self.mark_pull(pull);
    }

    /// All that was found.
    pub fn finish(mut self) -> Found {
        self.interrupt();
        let (pulls, pulls_dropped) = self.pulls.finish(&self.channels);
        let pace = &self.pace;
        let moving = (self.moments).finish(&self.channels, pace.load, &pace.steps, pace.block);
        Found {
            windows_dropped: self.clusters.dropped,
            windows: self.clusters.finish(&self.channels),
            moving,
            pulls,
            cold: self.cold,
            warm: self.warm,
            pulls_dropped,
            course: self.course,
        }
    }

    fn interrupt(&mut self) {
        for sums in &mut self.block {
            *sums = Sums::default();
        }
        self.close_run(false);
        self.moments.interrupt();
        let pull = self.pulls.close(&self.channels);
        self.mark_pull(pull);
    }

    fn mark_pull(&mut self, pull: Option<[f64; 2]>) {
        if let Some([start, end]) = pull {
            self.course.mark(Use::Pull, start, end - start);
        }
    }

    fn held_at(&self, place: Option<usize>) -> f64 {
        place.map_or(f64::NAN, |i| self.held[i])
    }

    /// Share of the pedal's travel; not a number where unknown.
    fn pedal_share(&self, pedal: f64) -> f64 {
        let ends = self.pace.pedal.map_or([0.0, 0.0], |(_, ends)| ends);
        (pedal - ends[0]) / (ends[1] - ends[0])
    }

    fn close_block(&mut self) {
        let block = std::mem::replace(&mut self.block, vec![Sums::default(); self.held.len()]);
        let coolant = self.held_at(self.places.coolant);
        if coolant.is_finite() {
            self.coolant = coolant;
        }
        if self.coolant < WARM {
            self.cold += self.pace.block;
            (self.course).mark(Use::Cold, self.block_start, self.pace.block);
            self.moments.interrupt();
            self.close_run(false);
            return;
        }
        self.moment(&block);
        let Some(gate) = self.gate(&block) else {
            self.close_run(false);
            return;
        };
        let run = &self.run;
        let joined = |i: usize| (run.least[i].min(gate[i]), run.most[i].max(gate[i]));
        let within = run.blocks.is_empty()
            || (0..3).all(|i| {
                let (low, high) = joined(i);
                // Not a number: the log does not hold it.
                (high - low) <= limit(i, low, high) || gate[i].is_nan()
            });
        if !within {
            self.close_run(false);
        } else if self.run.blocks.len() as f64 * self.pace.block >= LONGEST {
            self.close_run(true);
        }
        let start = self.block_start;
        let run = &mut self.run;
        if run.blocks.is_empty() {
            (run.start, run.least, run.most, run.sum) = (start, gate, gate, [0.0; 3]);
        }
        for (i, value) in gate.into_iter().enumerate() {
            run.least[i] = run.least[i].min(value);
            run.most[i] = run.most[i].max(value);
            run.sum[i] += value;
        }
        run.blocks.push(block);
    }

    /// A block as a moment, however fast things change in it.
    fn moment(&mut self, block: &[Sums]) {
        let mean = |place: Option<usize>| {
            let at = place?;
            let sums = &block[at];
            let mean = if sums.count > 0.0 {
                sums.mean
            } else {
                self.held[at]
            };
            mean.is_finite().then_some(mean)
        };
        let Some(speed) = mean(self.places.speed).filter(|speed| *speed > STANDS_STILL) else {
            self.moments.interrupt();
            return;
        };
        self.warm += self.pace.block;
        let pedal = mean(self.places.pedal).map_or(f64::NAN, |pedal| self.pedal_share(pedal));
        let kind = match self.cut(block, pedal) {
            true => Kind::Overrun,
            false => self.kind(speed, pedal, mean(self.places.road)),
        };
        let load = mean(self.places.load).filter(|load| *load > 0.0);
        match load {
            Some(load) => {
                let moment = Moment {
                    start: self.block_start,
                    kind,
                    place: [speed, load],
                    means: block.to_vec(),
                };
                let block = self.pace.block;
                let gathered = self.moments.add(&self.channels, moment, pedal, block);
                if let Some((kind, start)) = gathered {
                    self.course.mark(Use::Moved(kind), start, block);
                }
            }
            None => self.moments.interrupt(),
        }
    }

    /// Means of speed, load and pedal over a block; none where the engine's speed is not
    /// known, a signal that the log holds has not come yet, or it moves too much.
    fn gate(&self, block: &[Sums]) -> Option<Gate> {
        let mut gate = [f64::NAN; 3];
        let places = [self.places.speed, self.places.load, self.places.pedal];
        for (i, place) in places.into_iter().enumerate() {
            let Some(at) = place else { continue };
            let sums = &block[at];
            let mean = if sums.count > 0.0 {
                sums.mean
            } else {
                self.held[at]
            };
            if mean.is_nan() {
                return None;
            }
            let (value, scatter) = match i {
                2 => {
                    let unit = self.pedal_share(1.0) - self.pedal_share(0.0);
                    (self.pedal_share(mean), sums.variance().sqrt() * unit)
                }
                _ => (mean, sums.variance().sqrt()),
            };
            gate[i] = value;
            // Twice: values within a block carry noise that its mean does not.
            if scatter > 2.0 * limit(i, value, value) {
                return None;
            }
        }
        (gate[0] > STANDS_STILL).then_some(gate)
    }

    /// Whether the fuel is cut, where no pedal says that it is released: so lean nothing burns, and
    /// not under boost, where it would be a danger.
    fn cut(&self, block: &[Sums], pedal: f64) -> bool {
        let read = |reading| {
            let place = self
                .channels
                .iter()
                .position(|c| *c == Channel::Read(reading));
            place.map(|i| block[i]).filter(|sums| sums.count > 0.0)
        };
        let lean = read(Reading::LambdaSensor).is_some_and(|sums| sums.mean > CUT.0);
        pedal.is_nan() && lean && read(Reading::Manifold).is_none_or(|sums| sums.mean < CUT.1)
    }

    /// What the engine was doing. A throttle is no pedal: at a standing idle it opens as it must.
    fn kind(&self, speed: f64, pedal: f64, road: Option<f64>) -> Kind {
        let throttle = Channel::Read(Reading::Throttle);
        let stood_for = (self.pace.pedal).is_some_and(|(channel, _)| channel == throttle);
        match stood_for && Kind::stands(speed, road) && road.is_some() {
            true => Kind::Idle,
            false => Kind::of(speed, pedal, road),
        }
    }

    fn close_run(&mut self, settled: bool) {
        let run = std::mem::take(&mut self.run);
        self.run.settled = settled;
        let lead = (LEAD_IN / self.pace.block).ceil() as usize;
        let skip = if run.settled { 0 } else { lead };
        let kept = run.blocks.get(skip..).unwrap_or_default();
        let seconds = kept.len() as f64 * self.pace.block;
        if kept.len() < LEAST.1 || seconds < LEAST.0 {
            return;
        }
        let averages: Vec<Option<Average>> = (self.channels.iter().enumerate())
            .map(|(i, channel)| {
                let blocks: Vec<&Sums> = kept.iter().map(|block| &block[i]).collect();
                average(
                    *channel,
                    &blocks,
                    self.pace.steps.get(i).copied().unwrap_or(0.0),
                )
            })
            .collect();
        let mean = run.sum.map(|sum| sum / run.blocks.len() as f64);
        let at = |place: Option<usize>| place.and_then(|i| averages[i]).map(|a| a.mean);
        let speed = at(self.places.speed).unwrap_or(mean[0]);
        let kind = self.kind(speed, mean[2], at(self.places.road));
        // What is held there is among what moves.
        if kind == Kind::Overrun {
            return;
        }
        let window = Window {
            kind,
            start: run.start + skip as f64 * self.pace.block,
            seconds,
            pieces: 1,
            speed,
            load: self.pace.load.zip(at(self.places.load)),
            pedal: (self.places.pedal.is_some()).then_some(mean[2]),
            averages: averages.iter().flatten().copied().collect(),
        };
        self.course.mark(Use::Held(kind), window.start, seconds);
        self.clusters.add(window, &averages);
    }
}

/// How far the block means of speed, load or pedal may lie apart.
fn limit(which: usize, low: f64, high: f64) -> f64 {
    let mean = 0.5 * (low + high).abs();
    match which {
        0 => (SPEED_LIMIT.0 * mean).max(SPEED_LIMIT.1),
        1 => LOAD_LIMIT * mean,
        _ => PEDAL_LIMIT,
    }
}
