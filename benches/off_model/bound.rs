//! What physics and instruments leave: how well cars of the other model are told apart by somebody who
//! knows each of them to the last number, and everything that may be wrong with it, to its size.

use super::engine::{BURNS, Car, Wrong};
use super::typed::{Points, driven, shown};
use super::wrongs::WRONGS;
use sim::Reading as R;
use sim::study::judging::diagnose::garage::Chance;
use sim::study::knowing::doubt::instrument;

/// Readings of a set; none where the engine does not run.
type Told = Option<Vec<(R, f64)>>;

/// What a car shows without its instruments' noise, a set of readings each; none where the engine does
/// not run.
fn exact(car: &Car, wrong: Wrong, at: Points) -> Option<Vec<Told>> {
    let sets = driven(car, at).into_iter().enumerate();
    let sets = sets.map(|(i, (.., driven))| {
        let point = car.point(wrong, driven)?;
        let reads = shown(i, &point).into_iter();
        let reads = reads.map(|(_, reading, value, ..)| (reading, value));
        Some((point.lambda <= BURNS[i.min(1)]).then(|| reads.collect()))
    });
    sets.collect()
}

/// Probability that a car is healthy, with this wrong with it, to two such readers: half before anything is
/// read, the rest shared evenly among all that may be wrong. One knows the healthy car to the last number, one
/// by a reading of each instrument.
pub fn healthy(
    car: &Car,
    truth: Option<usize>,
    at: Points,
    chance: &mut Chance,
) -> Option<[f64; 2]> {
    let told = |wrong: Wrong| exact(car, wrong, at);
    let read = told(truth.map_or(Wrong::Nothing, |i| WRONGS[i].0))?;
    let noise: Vec<f64> = (read.iter().flatten().flatten())
        .map(|_| chance.normal())
        .collect();
    let sound = told(Wrong::Nothing);
    let ill: Vec<_> = WRONGS
        .iter()
        .filter_map(|(wrong, _)| told(*wrong))
        .collect();
    Some([1.0, std::f64::consts::SQRT_2].map(|spread| {
        // Squared distance of what was read from what is told; an engine that runs where it was seen
        // not to is no answer.
        let law = |told: &Vec<Told>| {
            let mut noise = noise.iter().copied();
            let mut sum = 0.0;
            for (shown, told) in read.iter().zip(told) {
                let (Some(shown), Some(told)) = (shown, told) else {
                    if shown.is_some() != told.is_some() {
                        return f64::NEG_INFINITY;
                    }
                    continue;
                };
                for ((reading, value), (_, told)) in shown.iter().zip(told) {
                    let deviation: f64 = spread * instrument(*reading).deviation(*value);
                    let off: f64 = (value - told) / deviation;
                    sum -= 0.5 * (off + noise.next().unwrap_or(0.0)).powi(2);
                }
            }
            sum
        };
        let sound = sound.as_ref().map_or(f64::NEG_INFINITY, law);
        let ill: Vec<f64> = ill.iter().map(law).collect();
        let most = ill.iter().copied().fold(sound, f64::max);
        let of = |log: f64| (log - most).exp();
        let ill: f64 = ill.into_iter().map(of).sum();
        of(sound) / (of(sound) + ill / WRONGS.len() as f64)
    }))
}
