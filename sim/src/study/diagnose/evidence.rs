//! What was found at the car.

use super::atlas::{Atlas, Spot};
use super::checks::Check;
use crate::control::Code;
use crate::network::{Place, Reading};

/// A reading at one of the conditions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Read {
    /// Index of the condition.
    pub condition: usize,
    /// Which.
    pub reading: Reading,
    /// Its value, the reading's own unit.
    pub value: f64,
    /// Standard deviation of instrument and moment, the same unit.
    pub deviation: f64,
}

/// A hole measured by a workshop test of a section (pressure decay, flow).
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// Places that the section holds.
    pub places: Vec<Place>,
    /// Diameter of the sharp-edged hole that leaks as much beyond a tight section, m; 0
    /// where it was tight.
    pub diameter: f64,
    /// Standard deviation, m.
    pub deviation: f64,
}

/// Everything that was found.
#[derive(Clone, Debug, Default)]
pub struct Evidence {
    /// Readings.
    pub reads: Vec<Read>,
    /// Trouble codes that were looked for, and whether they were set.
    pub codes: Vec<(Code, bool)>,
    /// Conditions at which the engine did not run.
    pub not_running: Vec<usize>,
    /// Workshop tests of sections.
    pub openings: Vec<Opening>,
    /// Other checks, with the index of what they found among [`Check::outcomes`], and how
    /// far that is believed, 0 to 1.
    pub checks: Vec<(Check, usize, f64)>,
}

/// What a faulty car would show of the evidence, linear in what is in doubt.
///
/// Doubts are independent standard normal numbers: those of the car, then one for the
/// demand of each condition.
#[derive(Clone, Debug)]
pub struct Shown {
    /// One a reading.
    pub means: Vec<f64>,
    /// Their slopes over `u`.
    pub by_u: Vec<f64>,
    /// Their slopes over the doubts, one row a reading.
    pub by_doubt: Vec<Vec<f64>>,
}

impl Shown {
    /// What a rung's `spots` show of `reads`; none where the engine does not run at one of
    /// their conditions, or a reading has no meaning there.
    pub fn at(atlas: &Atlas, spots: &[Option<Spot>], reads: &[Read]) -> Option<Self> {
        let mut shown = Shown {
            means: Vec::with_capacity(reads.len()),
            by_u: Vec::with_capacity(reads.len()),
            by_doubt: Vec::with_capacity(reads.len()),
        };
        for read in reads {
            let spot = spots[read.condition].as_ref()?;
            let row = read.reading as usize;
            shown.means.push(spot.readings.get(read.reading)?);
            let slope = |column: usize| spot.slopes.readings[(row, column)];
            shown.by_u.push(slope(atlas.columns().1));
            shown.by_doubt.push(doubts(atlas, read.condition, slope));
        }
        Some(shown)
    }

    /// The highest level of each of `codes` over all conditions; codes that no condition
    /// enables show −1.
    pub fn levels(atlas: &Atlas, spots: &[Option<Spot>], codes: &[(Code, bool)]) -> Self {
        let mut shown = Shown {
            means: Vec::new(),
            by_u: Vec::new(),
            by_doubt: Vec::new(),
        };
        for (code, _) in codes {
            let enabled = spots.iter().enumerate().filter_map(|(c, spot)| {
                let spot = spot.as_ref()?;
                Some((c, spot, spot.levels[*code as usize]?))
            });
            let highest = enabled.max_by(|a, b| a.2.total_cmp(&b.2));
            let row = *code as usize;
            match highest {
                Some((c, spot, level)) => {
                    let slope = |column: usize| spot.slopes.levels[(row, column)];
                    shown.means.push(level);
                    shown.by_u.push(slope(atlas.columns().1));
                    shown.by_doubt.push(doubts(atlas, c, slope));
                }
                None => {
                    shown.means.push(-1.0);
                    shown.by_u.push(0.0);
                    shown.by_doubt.push(vec![0.0; atlas.doubts()]);
                }
            }
        }
        shown
    }

    /// Two faults at once, each shown alone: the sum of what they change in a sound car.
    pub fn together(a: &Self, b: &Self, sound: &Self) -> Self {
        let add = |a: &[f64], b: &[f64], sound: &[f64]| -> Vec<f64> {
            let both = a.iter().zip(b).zip(sound);
            both.map(|((a, b), sound)| a + b - sound).collect()
        };
        let rows = a.by_doubt.iter().zip(&b.by_doubt).zip(&sound.by_doubt);
        Self {
            means: add(&a.means, &b.means, &sound.means),
            by_u: vec![0.0; a.means.len()],
            by_doubt: rows.map(|((a, b), sound)| add(a, b, sound)).collect(),
        }
    }

    /// Between two rungs `width` apart, `t` of the way: the cubic through both with their
    /// slopes, doubts on a straight line.
    pub fn between(a: &Self, b: &Self, width: f64, t: f64) -> Self {
        let s = 1.0 - t;
        let count = a.means.len();
        let (from, to) = (s * s * (1.0 + 2.0 * t), t * t * (1.0 + 2.0 * s));
        let (rise, fall) = (s * s * t * width, s * t * t * width);
        let means = (0..count)
            .map(|i| from * a.means[i] + to * b.means[i] + rise * a.by_u[i] - fall * b.by_u[i]);
        let rows = a.by_doubt.iter().zip(&b.by_doubt);
        Self {
            means: means.collect(),
            by_u: (0..count).map(|i| s * a.by_u[i] + t * b.by_u[i]).collect(),
            by_doubt: rows
                .map(|(a, b)| a.iter().zip(b).map(|(a, b)| s * a + t * b).collect())
                .collect(),
        }
    }
}

/// Slopes over the doubts of the car and over the demand of `condition`.
fn doubts(atlas: &Atlas, condition: usize, slope: impl Fn(usize) -> f64) -> Vec<f64> {
    let count = atlas.doubt.count();
    let mut row = vec![0.0; atlas.doubts()];
    for (j, entry) in row.iter_mut().take(count).enumerate() {
        *entry = (0..count)
            .map(|k| slope(k) * atlas.doubt.factor[(k, j)])
            .sum();
    }
    row[count + condition] = slope(atlas.columns().0);
    row
}
