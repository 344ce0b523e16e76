//! What readings could not have shown: the largest leak at each place that passes for a healthy car
//! in them, by what the model foresees rather than by what was read.

use super::evidence::{Evidence, Read, Shown};
use super::ladders::Ladders;
use super::likelihood::Normal;
use crate::network::Place;

/// Distance, in standard deviations, from which a leak shows: 1.645 for one false alarm in twenty
/// and 1.645 for one miss in twenty (one-sided normal quantile).
const SHOWS: f64 = 2.0 * 1.645;
/// Steps of a ladder that are looked at from its end, and halvings of the last.
const STEPS: u32 = 24;
const HALVINGS: u32 = 8;

/// The largest leak at a place that would not have shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Missed {
    /// Where.
    pub place: Place,
    /// What it is called.
    pub name: String,
    /// Its size, m: a round sharp-edged hole, or a split as large as it is at 1 bar inside.
    pub size: f64,
    /// Whether even the largest that is looked for would not.
    pub any: bool,
}

/// What the readings of `evidence` would miss, the largest first.
///
/// A leak shows if its readings lie 2 × 1.645 standard deviations (of instruments and of how cars
/// differ, together) from a healthy car's. Codes and workshop checks are not counted.
pub fn missed(ladders: &Ladders, evidence: &Evidence) -> Vec<Missed> {
    let reads = &evidence.reads;
    let Some(sound) = Shown::of(ladders, &[], reads) else {
        return Vec::new();
    };
    let apart = |suspect: usize, u: f64| {
        // Where the engine does not run it cannot be missed.
        let shown = Shown::of(ladders, &[(suspect, u)], reads)?;
        let mut there: Vec<Read> = reads.clone();
        for (read, mean) in there.iter_mut().zip(&shown.means) {
            read.value = *mean;
        }
        Some(Normal::new(&there, &sound)?.distance().sqrt())
    };
    let hides = |suspect: usize, u: f64| apart(suspect, u).is_some_and(|apart| apart < SHOWS);
    let all = ladders.suspects.iter().enumerate();
    let all = all.filter_map(|(i, suspect)| {
        let place = suspect.place()?;
        let top = ladders.curves[suspect.curve].last()?.u;
        let step = |k: u32| top * f64::from(k) / f64::from(STEPS);
        let largest = (0..=STEPS).rev().find(|k| hides(i, step(*k)))?;
        let (mut low, mut high) = (step(largest), step((largest + 1).min(STEPS)));
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            match hides(i, middle) {
                true => low = middle,
                false => high = middle,
            }
        }
        Some(Missed {
            place,
            name: suspect.name(),
            size: suspect.size(low),
            any: largest == STEPS,
        })
    });
    let mut all: Vec<Missed> = all.collect();
    all.sort_by(|a, b| b.size.total_cmp(&a.size));
    all
}
