//! Each hypothesis with its probability and the law of its size.

use super::atlas::{Atlas, Rung};
use super::catalogue::{SOUND, Suspect};
use super::evidence::{Evidence, Read, Shown};
use super::likelihood::{Fit, log_add};

/// Points a rung is first cut into: a step that a narrow peak cannot hide in.
const CUTS: usize = 4;
/// Most halvings of such a step.
const HALVINGS: usize = 6;
/// Log likelihood below the best at which a step does not matter.
const NEGLIGIBLE: f64 = 10.0;
/// Departure from a straight log likelihood, at the middle of a step, that is let pass.
const STRAIGHT: f64 = 0.05;
/// Probability that the engine runs where the model says that it does not, and the other way.
const RUNS_ASTRAY: f64 = 0.1;

/// A hypothesis: which suspects, none for a sound car.
#[derive(Clone, Debug)]
pub struct Posterior {
    /// Indices into [`Atlas::suspects`].
    pub faults: Vec<usize>,
    /// Logarithm of prior times likelihood, size integrated out.
    pub log_weight: f64,
    /// Log likelihood over `u` of each fault, in order, the other integrated out.
    pub samples: Vec<Vec<Sample>>,
    /// Best `u` of each fault.
    pub best: Vec<f64>,
    /// Fit at the best size.
    pub fit: Fit,
    /// What it would show there.
    pub shown: Shown,
}

/// A point of the likelihood over the size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Where.
    pub u: f64,
    /// Log likelihood.
    pub log: f64,
}

/// The car as the evidence sees it: per rung what it would show.
struct Seen<'a> {
    evidence: &'a Evidence,
    suspect: Suspect,
    rungs: Vec<(f64, Option<(Shown, Shown)>, f64)>,
}

impl Posterior {
    /// The sound car; none if readings have no meaning in it.
    pub fn sound(atlas: &Atlas, evidence: &Evidence) -> Option<Self> {
        let shown = Shown::at(atlas, &atlas.sound.spots, &evidence.reads)?;
        let levels = Shown::levels(atlas, &atlas.sound.spots, &evidence.codes);
        let fit = Fit::new(evidence, &shown, &levels)?;
        let other = running(evidence, &atlas.sound) + beside(evidence, &[]);
        Some(Self {
            faults: Vec::new(),
            log_weight: fit.log_likelihood + other + SOUND.ln(),
            samples: Vec::new(),
            best: Vec::new(),
            fit,
            shown,
        })
    }

    /// One suspect; none if no size of it can have given the readings.
    pub fn of(atlas: &Atlas, evidence: &Evidence, index: usize) -> Option<Self> {
        let seen = Seen::new(atlas, evidence, atlas.suspects[index]);
        let samples = seen.samples();
        let best = samples.iter().max_by(|a, b| a.log.total_cmp(&b.log))?;
        let (shown, levels) = seen.shown(best.u)?;
        let fit = Fit::new(evidence, &shown, &levels)?;
        let integral = integral(&samples);
        Some(Self {
            faults: vec![index],
            log_weight: integral + atlas.suspects[index].prior.ln(),
            best: vec![best.u],
            fit,
            shown,
            samples: vec![samples],
        })
    }

    /// What it would show of other readings, at its best sizes.
    pub fn shows(&self, atlas: &Atlas, reads: &[Read]) -> Option<Shown> {
        let sound = Shown::at(atlas, &atlas.sound.spots, reads)?;
        let mut together = sound.clone();
        for (i, u) in self.faults.iter().zip(&self.best) {
            let ladder = &atlas.curves[atlas.suspects[*i].curve];
            let above = ladder
                .partition_point(|rung| rung.u < *u)
                .min(ladder.len() - 1);
            let (a, b) = (&ladder[above.saturating_sub(1)], &ladder[above]);
            let width = b.u - a.u;
            let t = if width > 0.0 { (u - a.u) / width } else { 0.0 };
            let (a, b) = (
                Shown::at(atlas, &a.spots, reads)?,
                Shown::at(atlas, &b.spots, reads)?,
            );
            together = Shown::together(&together, &Shown::between(&a, &b, width, t), &sound);
        }
        Some(together)
    }

    /// `u` of fault `k` below which a share of its probability lies.
    pub fn quantile(&self, k: usize, share: f64) -> f64 {
        let samples = &self.samples[k];
        let total = integral(samples);
        let mut below = f64::NEG_INFINITY;
        for pair in samples.windows(2) {
            let piece = piece(pair[0], pair[1]);
            let next = log_add(below, piece);
            if next - total >= share.ln() {
                let (from, to) = ((below - total).exp(), (next - total).exp());
                let t = if to > from {
                    (share - from) / (to - from)
                } else {
                    0.5
                };
                return pair[0].u + t.clamp(0.0, 1.0) * (pair[1].u - pair[0].u);
            }
            below = next;
        }
        samples.last().map_or(0.0, |last| last.u)
    }
}

impl<'a> Seen<'a> {
    fn new(atlas: &Atlas, evidence: &'a Evidence, suspect: Suspect) -> Self {
        let rungs = atlas.curves[suspect.curve].iter().map(|rung| {
            let shown = Shown::at(atlas, &rung.spots, &evidence.reads);
            let levels = Shown::levels(atlas, &rung.spots, &evidence.codes);
            (
                rung.u,
                shown.map(|shown| (shown, levels)),
                running(evidence, rung),
            )
        });
        Self {
            evidence,
            suspect,
            rungs: rungs.collect(),
        }
    }

    /// What is shown at `u`; none between rungs of which one does not run.
    fn shown(&self, u: f64) -> Option<(Shown, Shown)> {
        let above = self.rungs.partition_point(|rung| rung.0 < u);
        let (a, b) = match above {
            0 => (self.rungs.first()?, self.rungs.first()?),
            above if above == self.rungs.len() => (self.rungs.last()?, self.rungs.last()?),
            above => (&self.rungs[above - 1], &self.rungs[above]),
        };
        let ((shown_a, levels_a), (shown_b, levels_b)) = (a.1.as_ref()?, b.1.as_ref()?);
        let width = b.0 - a.0;
        let t = if width > 0.0 { (u - a.0) / width } else { 0.0 };
        Some((
            Shown::between(shown_a, shown_b, width, t),
            Shown::between(levels_a, levels_b, width, t),
        ))
    }

    fn sample(&self, u: f64) -> Option<Sample> {
        let (shown, levels) = self.shown(u)?;
        let fit = Fit::new(self.evidence, &shown, &levels)?;
        let near = self
            .rungs
            .iter()
            .min_by(|a, b| (a.0 - u).abs().total_cmp(&(b.0 - u).abs()))?;
        let faults = [(self.suspect, self.suspect.size(u))];
        let log = fit.log_likelihood + near.2 + beside(self.evidence, &faults);
        Some(Sample { u, log })
    }

    /// The likelihood over the size: at the rungs and between them, steps halved where
    /// they matter and are not straight.
    fn samples(&self) -> Vec<Sample> {
        let steps = (self.rungs.len() - 1) * CUTS;
        let first = (0..=steps).map(|i| self.sample(i as f64 / steps as f64));
        let mut known: Vec<Option<Sample>> = first.collect();
        for _ in 0..HALVINGS {
            let top = known.iter().flatten().map(|sample| sample.log);
            let top = top.fold(f64::NEG_INFINITY, f64::max);
            let mut finer = Vec::with_capacity(known.len());
            let mut halved = false;
            for pair in known.windows(2) {
                finer.push(pair[0]);
                let (Some(a), Some(b)) = (pair[0], pair[1]) else {
                    continue;
                };
                let bent = (a.log - b.log).abs() > STRAIGHT * 4.0;
                if a.log.max(b.log) > top - NEGLIGIBLE && bent {
                    finer.push(self.sample(0.5 * (a.u + b.u)));
                    halved = true;
                }
            }
            finer.extend(known.last());
            known = finer;
            if !halved {
                break;
            }
        }
        known.into_iter().flatten().collect()
    }
}

/// Log likelihood of the conditions at which the engine did not run.
fn running(evidence: &Evidence, rung: &Rung) -> f64 {
    let odds = evidence.not_running.iter().map(|c| match rung.spots[*c] {
        Some(_) => RUNS_ASTRAY,
        None => 1.0 - RUNS_ASTRAY,
    });
    odds.map(f64::ln).sum()
}

/// Log likelihood of what was found with the engine standing, if `faults` are there.
pub fn beside(evidence: &Evidence, faults: &[(Suspect, f64)]) -> f64 {
    let checks = evidence.checks.iter().map(|(check, outcome, trust)| {
        let odds = check.odds(faults);
        let blind = 1.0 / odds.len() as f64;
        let odds = odds.get(*outcome).copied().unwrap_or(blind);
        (trust * odds + (1.0 - trust) * blind).ln()
    });
    let openings = evidence.openings.iter().map(|opening| {
        let inside = faults.iter().filter(|(suspect, _)| {
            suspect
                .place()
                .is_some_and(|place| opening.places.contains(&place))
        });
        let area: f64 = inside.map(|(_, size)| size * size).sum();
        let apart = (opening.diameter - area.sqrt()) / opening.deviation;
        -0.5 * apart * apart - opening.deviation.ln()
    });
    checks.sum::<f64>() + openings.sum::<f64>()
}

/// Log of the integral between two samples, the log likelihood straight between them.
fn piece(a: Sample, b: Sample) -> f64 {
    let width = b.u - a.u;
    let rise = b.log - a.log;
    let mean = if rise.abs() < 1e-6 {
        a.log
    } else {
        let (high, fall) = (a.log.max(b.log), rise.abs());
        high + (-(-fall).exp_m1() / fall).ln()
    };
    mean + width.ln()
}

fn integral(samples: &[Sample]) -> f64 {
    let pieces = samples.windows(2).map(|pair| piece(pair[0], pair[1]));
    pieces.fold(f64::NEG_INFINITY, log_add)
}
