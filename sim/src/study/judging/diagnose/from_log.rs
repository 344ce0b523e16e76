//! Conditions from a drive log: its steady windows, and points of its full-load pulls.

use super::file::Taken;
use super::taken::{
    aimed, commanded, from_moving, from_pulls, from_window, lambda, moving_name, pull_name,
};
use crate::network::Reading as R;
use crate::study::knowing::log::{Average, Channel, Kind, Pull, Window};
use crate::study::running::dangers::{Commanded, Driven};
use std::f64::consts::PI;

/// Most part-load windows taken, the longest first; most full-load windows.
const PART_LOAD: usize = 3;
const FULL_LOAD: usize = 2;
/// Most conditions taken from what was moving, the longest first.
const MOVING: usize = 16;
/// And from what was on the overrun.
const OVERRUN: usize = 4;
/// Part-load windows of a first look.
const STEADY: usize = 2;
/// A window tells what was moving within this share of its speed and load.
const TOLD: f64 = 0.08;
/// Pressure of the standard's air, kPa.
const STANDARD: f64 = 101.325;
/// Steps of engine speed, rpm, at which a pull is searched for dangers.
const WATCHED: f64 = 250.0;
/// Scatter of lambda from which it is not that of one mixture (own choice).
const ONE: f64 = 0.1;

/// Lambda under boost where nothing says what is wanted (own choice: most makes enrich to about this).
const RICH: f64 = 0.9;

/// What of a log is judged by.
#[derive(Clone, Debug)]
pub struct Judged {
    /// As conditions.
    pub conditions: Vec<Taken>,
    /// Which of them were moving, and from which to which engine speed, rpm.
    pub moving: std::ops::Range<usize>,
    /// See there.
    pub speeds: [f64; 2],
    /// Seconds of the log that stand behind each.
    pub seconds: Vec<f64>,
    /// Highest boost among them, kPa.
    pub boost: f64,
}

impl Judged {
    /// Seconds of the log that stand behind all of them.
    pub fn used(&self) -> f64 {
        self.seconds.iter().sum()
    }

    /// Without those of these names.
    pub fn without(&mut self, left_out: &[(String, String)]) {
        let out = |taken: &Taken| left_out.iter().any(|(name, _)| *name == taken.name);
        let kept: Vec<usize> = (0..self.conditions.len())
            .filter(|i| !out(&self.conditions[*i]))
            .collect();
        self.keep(&kept);
    }

    /// Only these of the conditions, by index.
    pub fn keep(&mut self, kept: &[usize]) {
        let before = |end: usize| kept.iter().filter(|i| **i < end).count();
        self.moving = before(self.moving.start)..before(self.moving.end);
        self.conditions = kept.iter().map(|i| self.conditions[*i].clone()).collect();
        self.seconds = kept.iter().map(|i| self.seconds[*i]).collect();
    }

    /// The few of them, by index, that tell most at once: idle, the part load held longest, and full load
    /// held or else passed in a pull at a middling speed. For a first look; the whole log is judged by all.
    pub fn telling(&self) -> Vec<usize> {
        let one = |wanted: &dyn Fn(&Taken) -> bool, most: usize| {
            let held = (0..self.moving.start).chain(self.moving.clone());
            held.filter(|i| wanted(&self.conditions[*i]))
                .take(most)
                .collect::<Vec<_>>()
        };
        let full = |taken: &Taken| taken.pedal.is_some();
        let part = |taken: &Taken| !taken.idle && !taken.overrun && !full(taken);
        let mut found = [
            one(&|taken| taken.idle, 1),
            one(&part, STEADY),
            one(&full, 1),
        ]
        .concat();
        let pulls = self.moving.end..self.conditions.len();
        if !found.iter().any(|i| full(&self.conditions[*i])) && !pulls.is_empty() {
            found.push(pulls.start + pulls.len() / 2);
        }
        found.sort_unstable();
        found
    }
}

/// What a log holds.
#[derive(Clone, Copy, Debug)]
pub struct Drive<'a> {
    /// What was held.
    pub windows: &'a [Window],
    /// Part load at which speed and load moved.
    pub moving: &'a [Window],
    /// Full-load pulls.
    pub pulls: &'a [Pull],
}

impl<'a> Drive<'a> {
    /// The windows that are judged by: of each kind those held longest.
    fn held(&self, kind: Kind, most: usize) -> Vec<&'a Window> {
        // An idle is an idle, however long it lasts.
        let idles = self.moving.iter().filter(|w| w.kind == Kind::Idle);
        let windows = self.windows.iter().chain(idles);
        let mut found: Vec<_> = windows.filter(|w| w.kind == kind && is_loaded(w)).collect();
        found.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
        found.truncate(most);
        found
    }

    /// What was moving and is judged by: the longest, but where a window tells the same.
    fn moved(&self, held: &[&Window]) -> Vec<&'a Window> {
        let told = |w: &Window| held.iter().any(|held| apart(held, w) < TOLD);
        let longest = |kind: Kind, most: usize| {
            let moving = self.moving.iter().filter(|w| w.kind == kind);
            let mut found: Vec<_> = moving.filter(|w| is_loaded(w) && !told(w)).collect();
            found.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
            found.truncate(most);
            found
        };
        let mut found = longest(Kind::PartLoad, MOVING);
        found.extend(longest(Kind::Overrun, OVERRUN));
        found
    }

    /// What is judged by.
    pub fn judged(&self) -> Judged {
        let part = self.held(Kind::PartLoad, PART_LOAD);
        let moved = self.moved(&part);
        let held = [
            self.held(Kind::Idle, 1),
            part,
            self.held(Kind::FullLoad, FULL_LOAD),
        ]
        .concat();
        let windows = held.iter().chain(&moved);
        let mut conditions: Vec<Taken> = held.iter().map(|w| from_window(w)).collect();
        let mut seconds: Vec<f64> = held.iter().map(|w| w.seconds).collect();
        let first = conditions.len();
        for window in &moved {
            let taken = from_moving(window);
            seconds.extend(taken.as_ref().map(|_| window.seconds));
            conditions.extend(taken);
        }
        let count = conditions.len() - first;
        let (pulled, passes) = from_pulls(self.pulls);
        let pulls = self.pulls.iter().map(Pull::seconds).sum::<f64>();
        let each = pulls / pulled.len().max(1) as f64;
        seconds.extend(pulled.iter().map(|_| each));
        let speeds = moved.iter().map(|w| w.speed);
        let boosts = windows.flat_map(|w| &w.averages).chain(&passes);
        conditions.extend(pulled);
        Judged {
            moving: first..first + count,
            speeds: [
                speeds.clone().fold(f64::INFINITY, f64::min),
                speeds.fold(0.0, f64::max),
            ],
            boost: boosts.filter_map(boost).fold(0.0, f64::max),
            conditions,
            seconds,
        }
    }

    /// Every point of a log: all windows, and all pulls from end to end. Too many to be judged by,
    /// but none may hide a danger.
    pub fn passed(&self) -> Vec<Driven> {
        // Without a pedal a window may hold both fuel and its cut.
        let one = |w: &Window, a: &Average| w.pedal.is_some() || !lambda(a) || a.scatter < ONE;
        let windows = self.windows.iter().map(|w| {
            let reads = w.averages.iter().filter(|a| one(w, a)).copied();
            let reads: Vec<Average> = reads.collect();
            let (speed, pedal) = match w.kind {
                Kind::Idle => (None, Some(0.0)),
                Kind::PartLoad => (Some(w.speed), w.pedal),
                Kind::FullLoad => (Some(w.speed), Some(1.0)),
                Kind::Overrun => (Some(w.speed), Some(0.0)),
            };
            driven(w.name(), speed, pedal, &reads)
        });
        let moving = self.moving.iter().filter(|w| w.kind == Kind::PartLoad);
        // Off boost a lambda that moves while the pedal does harms nothing and proves nothing.
        let moving = moving.map(|w| Driven {
            moving: true,
            ..driven(
                moving_name(w),
                Some(w.speed),
                w.pedal,
                &within_doubt(&w.averages),
            )
        });
        let pulls = self.pulls.iter().flat_map(|pull| {
            let [low, high] = pull.speeds();
            let steps = (low / WATCHED).ceil() as usize..=(high / WATCHED).floor() as usize;
            steps.filter_map(move |step| {
                let speed = step as f64 * WATCHED;
                let averages = pull.at(speed)?;
                let mut driven = driven(pull_name(speed), Some(speed), Some(1.0), &averages);
                // While boost builds, what is wanted and what is there are not of one moment.
                let built = pull.built(speed);
                driven.commanded.boost = aimed(&averages).filter(|_| built).map(|kpa| 1e3 * kpa);
                Some(driven)
            })
        });
        windows.chain(moving).chain(pulls).collect()
    }
}

/// How far two conditions lie apart in speed or load, as a share.
fn apart(a: &Window, b: &Window) -> f64 {
    let load = match (a.load, b.load) {
        (Some((_, a)), Some((_, b))) => (a / b).ln().abs(),
        _ => f64::INFINITY,
    };
    (a.speed / b.speed).ln().abs().max(load)
}

/// Boost, kPa, that a reading tells of; the air around is taken to be that of the standard.
fn boost(average: &Average) -> Option<f64> {
    match average.channel {
        Channel::Read(R::Manifold) => Some(average.mean - STANDARD),
        Channel::Read(R::Boost | R::BoostSensor) => Some(average.mean),
        _ => None,
    }
}

/// Readings with a mixture as near to what was wanted, or else to [`RICH`], as its doubt allows: a few moments
/// that all move one way are no danger for where they seem to lead.
fn within_doubt(averages: &[Average]) -> Vec<Average> {
    let wanted = commanded(averages).unwrap_or(RICH);
    let kept = averages.iter().map(|a| {
        let near = wanted.clamp(a.mean - a.doubt, a.mean + a.doubt);
        let mean = if lambda(a) { near } else { a.mean };
        Average { mean, ..*a }
    });
    kept.collect()
}

fn driven(name: String, rpm: Option<f64>, pedal: Option<f64>, averages: &[Average]) -> Driven {
    let reads = averages.iter().filter_map(|a| match a.channel {
        Channel::Read(reading) => Some((reading, a.mean)),
        _ => None,
    });
    Driven {
        name,
        speed: rpm.map(|rpm| rpm * PI / 30.0),
        pedal,
        reads: reads.collect(),
        commanded: Commanded {
            lambda: commanded(averages),
            boost: None,
        },
        ..Driven::default()
    }
}

/// Whether the load of a part-load window can be told.
fn is_loaded(window: &Window) -> bool {
    let known = [R::MeteredAir, R::AbsoluteLoad, R::Manifold];
    known
        .iter()
        .any(|reading| window.get(Channel::Read(*reading)).is_some())
}
