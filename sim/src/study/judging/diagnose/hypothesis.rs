//! A hypothesis in the answer: its size with its doubt, and what each reading says of it.

use super::checks::Check;
use super::evidence::Evidence;
use super::ladders::Ladders;
use super::posterior::Posterior;
use crate::say::judging as say;
use statrs::function::gamma::gamma_ur;

/// A size with its doubt.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// Most likely.
    pub best: f64,
    /// Below this with 5 %.
    pub low90: f64,
    /// Above this with 5 %.
    pub high90: f64,
    /// Their unit; none for a plain ratio.
    pub unit: &'static str,
}

/// What one reading says of a hypothesis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Witness {
    /// Index into [`Evidence::reads`].
    pub read: usize,
    /// What the hypothesis shows.
    pub shown: f64,
    /// What a healthy car shows.
    pub sound: f64,
    /// Reading less shown, in standard deviations of both.
    pub apart: f64,
    /// The same for a healthy car.
    pub sound_apart: f64,
}

/// A hypothesis in the answer.
#[derive(Clone, Debug)]
pub struct Hypothesis {
    /// How it was reached.
    pub posterior: Posterior,
    /// Given the evidence.
    pub probability: f64,
    /// One a fault.
    pub sizes: Vec<Size>,
    /// Probability of readings at least as far off, if it were true at its best size.
    pub fit: f64,
    /// Every reading, those that move it most first.
    pub witnesses: Vec<Witness>,
}

impl Hypothesis {
    pub(super) fn new(
        ladders: &Ladders,
        evidence: &Evidence,
        (posterior, sound): (Posterior, Option<&Posterior>),
        probability: f64,
    ) -> Self {
        let sizes = posterior.faults.iter().enumerate().map(|(k, i)| {
            let suspect = &ladders.suspects[*i];
            let (unit, factor) = suspect.unit();
            let shown = |u: f64| suspect.size(u) * factor;
            let [low, middle, high] =
                [0.05, 0.5, 0.95].map(|share| shown(posterior.quantile(k, share)));
            let (low, high) = (low.min(high), low.max(high));
            // Where the likelihood is flat its top may stand at an end.
            let best = shown(posterior.best[k]);
            Size {
                best: if (low..=high).contains(&best) {
                    best
                } else {
                    middle
                },
                low90: low,
                high90: high,
                unit,
            }
        });
        let judged = evidence.reads.len() - usize::from(posterior.fit.bad.is_some());
        Self {
            sizes: sizes.collect(),
            probability,
            fit: exceeded(posterior.fit.distance, judged),
            witnesses: witnesses(evidence, &posterior, sound),
            posterior,
        }
    }

    /// Whether it leaves a code that is set unexplained: the code is not believed, or a
    /// reading that may be its cause is not. A lone misread value is no such case.
    pub fn doubts_codes(&self, evidence: &Evidence) -> bool {
        let fit = &self.posterior.fit;
        let set = |i: &usize| evidence.codes[*i].1;
        let any = evidence.codes.iter().any(|(_, set)| *set);
        fit.codes_against.iter().any(set) || (fit.bad.is_some() && any)
    }

    /// Whether it is one fault, no leak, so small that the check of its part would find nothing: what so
    /// small a number explains, a car unlike its file explains as well.
    pub(super) fn is_too_small(&self, ladders: &Ladders) -> bool {
        let [index] = self.posterior.faults[..] else {
            return false;
        };
        let suspect = ladders.suspects[index];
        let fault = (suspect, suspect.size(self.posterior.best[0]));
        suspect.kind().is_some() && Check::of(&fault).is_some_and(|check| !check.would_see(&fault))
    }

    /// The words for it.
    pub fn name(&self, ladders: &Ladders) -> String {
        let faults = self.posterior.faults.iter();
        let names: Vec<String> = faults.map(|i| ladders.suspects[*i].name()).collect();
        match names.is_empty() {
            true => say::no_fault().into(),
            false => names.into_iter().reduce(say::both).unwrap_or_default(),
        }
    }
}

/// Probability that the squared length of `count` standard normal numbers exceeds `distance`.
fn exceeded(distance: f64, count: usize) -> f64 {
    if count == 0 || distance <= 0.0 {
        return 1.0;
    }
    gamma_ur(count as f64 / 2.0, distance / 2.0)
}

/// Every reading beside what is shown by the hypothesis and by a healthy car.
fn witnesses(
    evidence: &Evidence,
    posterior: &Posterior,
    sound: Option<&Posterior>,
) -> Vec<Witness> {
    let all = (0..evidence.reads.len()).map(|i| {
        let shown = posterior.shown.means[i];
        let apart = posterior.fit.residuals[i];
        let (sound, sound_apart) = sound.map_or((shown, apart), |sound| {
            (sound.shown.means[i], sound.fit.residuals[i])
        });
        Witness {
            read: i,
            shown,
            sound,
            apart,
            sound_apart,
        }
    });
    let mut all: Vec<Witness> = all.collect();
    let weight = |w: &Witness| w.apart.abs().max((w.sound_apart - w.apart).abs());
    all.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
    all
}
