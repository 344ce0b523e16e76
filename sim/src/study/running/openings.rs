//! When the valves of a drive stand open, and when the engine runs over its speed limit.

use crate::network::Reading;
use crate::study::running::trace::Sample;

/// A valve: its reading, its name, from which opening on it counts as open, and below which as
/// shut again, %. A valve that hunts about one of the two is not told twice.
pub type Valve = (Reading, &'static str, f64, f64);

/// Valves that are watched. Limits are own choice: a compressor bypass valve creeps shut over seconds at
/// idle, a wastegate leaks a hair at its seat.
pub const VALVES: [Valve; 2] = [
    (
        Reading::RecirculationValve,
        "compressor bypass valve",
        25.0,
        20.0,
    ),
    (Reading::Wastegate, "wastegate", 2.0, 1.0),
];

/// Times between which a valve stands open in these samples, s; no end if it still does.
/// Between two samples the opening is taken to change evenly.
pub fn openings(samples: &[Sample], valve: &Valve) -> Vec<(f64, Option<f64>)> {
    let (reading, _, open, shut) = *valve;
    let opening = |sample: &Sample| sample.readings.values[reading as usize];
    let mut all: Vec<(f64, Option<f64>)> = Vec::new();
    let mut stands_open = false;
    for (i, sample) in samples.iter().enumerate() {
        let now = opening(sample);
        let changed = match stands_open {
            false if now >= open => open,
            true if now <= shut => shut,
            _ => continue,
        };
        let time = match i.checked_sub(1).map(|before| &samples[before]) {
            None => sample.time,
            Some(before) => {
                let was = opening(before);
                let share = (changed - was) / (now - was);
                before.time + (sample.time - before.time) * share
            }
        };
        stands_open = !stands_open;
        match stands_open {
            true => all.push((time, None)),
            false => all
                .last_mut()
                .into_iter()
                .for_each(|last| last.1 = Some(time)),
        }
    }
    all
}

/// Boost, kPa, from which a surge is worth a word: below it the wheel hardly turns (own choice).
const BOOSTED: f64 = 5.0;
/// Time, s, within which surge that returns is the same (own choice).
const SPELL: f64 = 1.0;

/// Times between which the compressor stands left of its surge line under boost, s; no end if it
/// still does. Surge is told by the flow over that at the surge line of the same speed, below 1.
/// It comes and goes with every swing of the flow: what returns within a second is one spell.
pub fn surges(samples: &[Sample]) -> Vec<(f64, Option<f64>)> {
    let left = |sample: &Sample| {
        let read = |reading| sample.readings.get(reading);
        let margin = read(Reading::SurgeMargin).is_some_and(|margin| margin < 1.0);
        margin && read(Reading::Boost).is_some_and(|boost| boost > BOOSTED)
    };
    let mut all: Vec<(f64, Option<f64>)> = Vec::new();
    let mut surging = false;
    for sample in samples {
        match (surging, left(sample)) {
            (false, true) => match all.last_mut() {
                Some(last) if last.1.is_some_and(|to| sample.time - to < SPELL) => last.1 = None,
                _ => all.push((sample.time, None)),
            },
            (true, false) => {
                if let Some(last) = all.last_mut() {
                    last.1 = Some(sample.time);
                }
            }
            _ => {}
        }
        surging = left(sample);
    }
    all
}

/// The engine over its speed limit, where the engine computer cuts the fuel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverLimit {
    /// Time at which it gets there, s.
    pub from: f64,
    /// Time at which it is back below, s; none if it is not.
    pub to: Option<f64>,
    /// Highest speed, rpm.
    pub highest: f64,
}

/// When the engine runs over `limit` (rpm) in these samples; a dip of 1 % below is not told.
pub fn over_limit(samples: &[Sample], limit: f64) -> Vec<OverLimit> {
    let valve = (Reading::EngineSpeed, "", limit, 0.99 * limit);
    let times = openings(samples, &valve).into_iter();
    let told = times.map(|(from, to)| {
        let within = samples
            .iter()
            .filter(|s| s.time >= from && to.is_none_or(|to| s.time <= to));
        let speeds = within.map(|s| s.readings.values[Reading::EngineSpeed as usize]);
        OverLimit {
            from,
            to,
            highest: speeds.fold(limit, f64::max),
        }
    });
    told.collect()
}
