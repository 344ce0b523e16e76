//! Each hypothesis with its probability and the law of its size.

use super::catalogue::{SOUND, Suspect};
use super::evidence::{Evidence, Read, Shown, hole};
use super::focus::Focus;
use super::ladders::{BEHIND, Ladders, Rung};
use super::likelihood::{Fit, Normal, log_add};

/// Points between two rungs at which a peak is looked for, with the covariance of a rung.
const CUTS: usize = 8;
/// Log likelihood below the best at which it is not worth looking closer.
const HOPELESS: f64 = 30.0;
/// Most halvings of such a step.
const HALVINGS: usize = 5;
/// Log likelihood below the best at which a step does not matter.
const NEGLIGIBLE: f64 = 8.0;
/// Change of the log likelihood over a step that is let pass as straight.
const STRAIGHT: f64 = 0.4;
/// Probability that the engine runs where the model says that it does not, and the other way.
const RUNS_ASTRAY: f64 = 0.1;

/// A hypothesis: which suspects, none for a healthy car.
#[derive(Clone, Debug)]
pub struct Posterior {
    /// Indices into [`Ladders::suspects`].
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
pub(super) struct Seen<'a> {
    evidence: &'a Evidence,
    suspect: Suspect,
    rungs: Vec<SeenRung>,
}

struct SeenRung {
    u: f64,
    /// Readings and levels; none where a reading cannot be there.
    shown: Option<(Shown, Shown)>,
    /// Log likelihood of the conditions at which the engine did not run.
    stands: f64,
}

impl Posterior {
    /// The healthy car; none if readings have no meaning in it.
    pub fn sound(ladders: &Ladders, evidence: &Evidence) -> Option<Self> {
        let shown = Shown::at(ladders, &ladders.sound, &evidence.reads)?;
        let levels = Shown::levels(ladders, &ladders.sound.spots, evidence);
        let fit = Fit::new(evidence, &shown, &levels)?;
        let runs = |c: usize| ladders.sound.spots[c].is_some();
        let other = stands(evidence, runs) + beside(evidence, &[]);
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
    pub fn of(ladders: &Ladders, evidence: &Evidence, index: usize) -> Option<Self> {
        let seen = Seen::new(ladders, evidence, ladders.suspects[index]);
        let samples = seen.samples();
        let best = samples.iter().max_by(|a, b| a.log.total_cmp(&b.log))?;
        let (shown, levels) = seen.shown(best.u)?;
        let fit = Fit::new(evidence, &shown, &levels)?;
        let integral = integral(&samples);
        Some(Self {
            faults: vec![index],
            log_weight: integral + ladders.suspects[index].prior.ln(),
            best: vec![best.u],
            fit,
            shown,
            samples: vec![samples],
        })
    }

    /// What it would show of other readings, at its best sizes.
    pub fn shows(&self, ladders: &Ladders, reads: &[Read]) -> Option<Shown> {
        let faults = self.faults.iter().copied().zip(self.best.iter().copied());
        Shown::of(ladders, &faults.collect::<Vec<_>>(), reads)
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
    pub fn new(ladders: &Ladders, evidence: &'a Evidence, suspect: Suspect) -> Self {
        let rungs = ladders.curves[suspect.curve].iter().map(|rung| {
            let shown = Shown::at(ladders, rung, &evidence.reads);
            let levels = Shown::levels(ladders, &rung.spots, evidence);
            SeenRung {
                u: rung.u,
                shown: shown.map(|shown| (shown, levels)),
                stands: stands(evidence, |c| rung.spots[c].is_some()),
            }
        });
        Self {
            evidence,
            suspect,
            rungs: rungs.collect(),
        }
    }

    /// What is shown at `u`; none between rungs of which one does not run.
    pub fn shown(&self, u: f64) -> Option<(Shown, Shown)> {
        let above = self.rungs.partition_point(|rung| rung.u < u);
        let (a, b) = match above {
            0 => (self.rungs.first()?, self.rungs.first()?),
            above if above == self.rungs.len() => (self.rungs.last()?, self.rungs.last()?),
            above => (&self.rungs[above - 1], &self.rungs[above]),
        };
        let ((shown_a, levels_a), (shown_b, levels_b)) = (a.shown.as_ref()?, b.shown.as_ref()?);
        let width = b.u - a.u;
        let t = if width > 0.0 { (u - a.u) / width } else { 0.0 };
        Some((
            Shown::between(shown_a, shown_b, width, t),
            Shown::between(levels_a, levels_b, width, t),
        ))
    }

    /// Sizes of the rungs.
    pub fn sizes(&self) -> impl Iterator<Item = f64> {
        self.rungs.iter().map(|rung| rung.u)
    }

    /// Log likelihood of the conditions at which the engine did not run, by the nearest rung.
    pub fn stands(&self, u: f64) -> f64 {
        let apart = |rung: &&SeenRung| (rung.u - u).abs();
        let near = self.rungs.iter();
        let near = near.min_by(|a, b| apart(a).total_cmp(&apart(b)));
        near.map_or(0.0, |near| near.stands)
    }

    fn sample(&self, u: f64) -> Option<Sample> {
        let (shown, levels) = self.shown(u)?;
        let fit = Fit::new(self.evidence, &shown, &levels)?;
        let size = self.suspect.size(u);
        let faults = [(self.suspect, size)];
        let log = self.suspect.log_prior(size)
            + fit.log_likelihood
            + self.stands(u)
            + beside(self.evidence, &faults);
        Some(Sample { u, log })
    }

    /// The likelihood over the size: at the rungs, and between those where there may be a
    /// peak, steps halved where they matter and are not straight.
    fn samples(&self) -> Vec<Sample> {
        let hopes = self.hopes();
        let top = hopes.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let mut known: Vec<Option<Sample>> = Vec::new();
        for (i, hope) in hopes.iter().enumerate() {
            let (from, to) = (self.rungs[i].u, self.rungs[i + 1].u);
            let cuts = if *hope > top - HOPELESS { CUTS / 2 } else { 1 };
            for k in 0..cuts {
                known.push(self.sample(from + (to - from) * k as f64 / cuts as f64));
            }
        }
        known.extend(self.rungs.last().map(|rung| self.sample(rung.u)));
        for _ in 0..HALVINGS {
            let finer = self.halved(&known);
            let done = finer.len() == known.len();
            known = finer;
            if done {
                break;
            }
        }
        known.into_iter().flatten().collect()
    }

    /// For each two rungs the best log likelihood of the readings between them, about: with
    /// the covariance of the lower one, no reading bad.
    fn hopes(&self) -> Vec<f64> {
        let pairs = self.rungs.windows(2).map(|pair| {
            let (Some((a, _)), Some((b, _))) = (&pair[0].shown, &pair[1].shown) else {
                return f64::NEG_INFINITY;
            };
            let Some(law) = Normal::new(&self.evidence.reads, a) else {
                return f64::NEG_INFINITY;
            };
            let width = pair[1].u - pair[0].u;
            let cuts = (0..=CUTS).map(|k| {
                let means = Shown::means_between(a, b, width, k as f64 / CUTS as f64);
                -0.5 * law.distance_to(&self.evidence.reads, &means)
            });
            cuts.fold(f64::NEG_INFINITY, f64::max)
        });
        pairs.collect()
    }

    fn halved(&self, known: &[Option<Sample>]) -> Vec<Option<Sample>> {
        let top = known.iter().flatten().map(|sample| sample.log);
        let top = top.fold(f64::NEG_INFINITY, f64::max);
        let mut finer = Vec::with_capacity(2 * known.len());
        for pair in known.windows(2) {
            finer.push(pair[0]);
            let (Some(a), Some(b)) = (pair[0], pair[1]) else {
                continue;
            };
            if a.log.max(b.log) > top - NEGLIGIBLE && (a.log - b.log).abs() > STRAIGHT {
                finer.push(self.sample(0.5 * (a.u + b.u)));
            }
        }
        finer.extend(known.last());
        finer
    }
}

/// Squared distance of two rungs that need none between them.
const SMALL: f64 = 1.0;
/// Squared distance between a rung and where the slope of its neighbour leads, up to which
/// the step needs none either: the cubic through both misses a small part of it only.
const BENT: f64 = 1.0;

impl Evidence {
    /// Whether nothing says where to look: codes and engines that do not run do not.
    fn blind(&self) -> bool {
        self.reads.is_empty() || !self.not_running.is_empty()
    }
}

/// Predictions near the readings.
impl Focus for Evidence {
    /// What the rung shows of the readings, and their law there; none where they cannot be read.
    type View = Option<(Shown, Normal)>;

    fn view(&self, ladders: &Ladders, rung: &Rung) -> Self::View {
        let shown = Shown::at(ladders, rung, &self.reads)?;
        let law = Normal::new(&self.reads, &shown)?;
        Some((shown, law))
    }

    fn distance(&self, view: &Self::View) -> f64 {
        if self.blind() {
            return 0.0;
        }
        view.as_ref()
            .map_or(f64::INFINITY, |(_, law)| law.distance())
    }

    fn matters(&self, step: [&Self::View; 2], along: f64, nearest: f64) -> bool {
        let ([Some((from, a)), Some((to, b))], false) = (step, self.blind()) else {
            return true;
        };
        // What was read may lie between two rungs that are far from it, but not farther
        // than they are from each other.
        let width = a.between(&from.means, &to.means);
        let here = a.distance().min(b.distance());
        let bent = [from, to].map(|end| {
            let straight = &from.means + &end.by_u * along;
            a.between(&to.means, &straight)
        });
        let curved = width > SMALL && bent[0].max(bent[1]) > BENT;
        curved && (here < nearest + BEHIND || here < width)
    }
}

/// Log likelihood of the conditions at which the engine did not run; `runs` says at which it
/// would.
pub(super) fn stands(evidence: &Evidence, runs: impl Fn(usize) -> bool) -> f64 {
    let odds = evidence.not_running.iter().map(|c| match runs(*c) {
        true => RUNS_ASTRAY,
        false => 1.0 - RUNS_ASTRAY,
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
        let shown = hole(faults, &opening.places);
        let apart = (opening.diameter - shown) / opening.deviation;
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
