//! Two faults at once, on request.
//!
//! What two faults show together is first taken from what each shows alone
//! ([`Shown::of_two`]). The most likely pairs are then solved at their best sizes, what the sum
//! missed there is kept as a correction around these sizes, and the best sizes are sought again.

use super::catalogue::PAIR;
use super::evidence::{Evidence, Shown};
use super::ladders::Ladders;
use super::likelihood::{Fit, log_add};
use super::posterior::{Posterior, Sample, Seen, beside, stands};
use nalgebra::DVector;

/// Pairs solved once, whatever comes of it.
const SOLVED: usize = 30;
/// Pairs then solved as often as it takes, at most: none that was not may lead.
const MOST_SOLVED: usize = 40;
/// Log weight behind the best at which a pair is not solved further.
const BEHIND: f64 = 8.0;
/// Times that a pair is solved, and how far around the last sizes better ones are then sought,
/// in rungs.
const REACH: [f64; 4] = [2.0, 1.0, 0.5, 0.5];
/// Points on either side of the best size at which a better one is sought.
const POINTS: i32 = 4;
/// Step along `u` over which a correction's slope is taken.
const STEP: f64 = 0.02;
/// Most rungs of each ladder that are combined with all others.
const RUNGS: usize = 17;
/// How far along `u` a correction holds in full, and where nothing is left of it (own choice).
const HOLDS: (f64, f64) = (0.1, 0.3);

/// Two suspects.
struct Pair<'a> {
    ladders: &'a Ladders,
    evidence: &'a Evidence,
    faults: [usize; 2],
    seen: [&'a Seen<'a>; 2],
    sound: &'a (Shown, Shown),
    solved: Option<Solved>,
    rounds: usize,
    /// Logarithm of the probability before any reading.
    prior: f64,
    posterior: Option<Posterior>,
}

/// What solving a pair gave beyond the sum, and its slopes over both `u`.
struct Solved {
    at: [f64; 2],
    beyond: Beyond,
    slopes: [Option<Beyond>; 2],
}

struct Beyond {
    means: DVector<f64>,
    levels: DVector<f64>,
    /// Log likelihood of the conditions at which the engine did not run, itself.
    stands: f64,
}

/// Every pair that the evidence does not rule out.
pub fn pairs(ladders: &Ladders, evidence: &Evidence) -> Vec<Posterior> {
    let sound = Shown::at(ladders, &ladders.sound, &evidence.reads);
    let Some(sound) = sound else {
        return Vec::new();
    };
    let levels = Shown::levels(ladders, &ladders.sound.spots, evidence);
    let sound = (sound, levels);
    let seen = ladders.suspects.iter();
    let seen: Vec<Seen> = seen.map(|s| Seen::new(ladders, evidence, *s)).collect();
    let priors: Vec<f64> = ladders.suspects.iter().map(|s| s.prior).collect();
    let [sum, squares] = [1, 2].map(|n| priors.iter().map(|p| p.powi(n)).sum::<f64>());
    // So that all pairs together have the probability `PAIR`.
    let share = (PAIR / (0.5 * (sum * sum - squares))).ln();
    let mut all: Vec<Pair> = Vec::new();
    for j in 0..seen.len() {
        for i in 0..j {
            let mut pair = Pair {
                ladders,
                evidence,
                faults: [i, j],
                seen: [&seen[i], &seen[j]],
                sound: &sound,
                solved: None,
                rounds: 0,
                prior: (priors[i] * priors[j]).ln() + share,
                posterior: None,
            };
            pair.posterior = pair.weigh(pair.rungs());
            all.push(pair);
        }
    }
    order(&mut all);
    let likely = all.iter_mut().take(SOLVED);
    likely.for_each(|pair| pair.set_right(&REACH[..1]));
    for _ in 0..MOST_SOLVED {
        order(&mut all);
        let least = all.first().map_or(f64::NEG_INFINITY, Pair::weight) - BEHIND;
        let mut left = all.iter_mut().take_while(|pair| pair.weight() > least);
        match left.find(|pair| pair.rounds < REACH.len()) {
            Some(pair) => pair.set_right(&REACH[pair.rounds..]),
            None => break,
        }
    }
    all.into_iter().filter_map(|pair| pair.posterior).collect()
}

/// Most likely first, without those that cannot be.
fn order(all: &mut Vec<Pair>) {
    all.retain(|pair| pair.weight() > f64::NEG_INFINITY);
    all.sort_by(|a, b| b.weight().total_cmp(&a.weight()));
}

impl Pair<'_> {
    fn weight(&self) -> f64 {
        let weight = self.posterior.as_ref().map(|p| p.log_weight);
        weight.unwrap_or(f64::NEG_INFINITY)
    }

    /// Sizes of each that are combined with all of the other.
    fn rungs(&self) -> [Vec<f64>; 2] {
        self.seen.map(|seen| {
            let all: Vec<f64> = seen.sizes().collect();
            let step = all.len().div_ceil(RUNGS).max(1);
            let last = all.len().saturating_sub(1);
            let kept = all.iter().enumerate();
            let kept = kept.filter(|(i, _)| i % step == 0 || *i == last);
            kept.map(|(_, u)| *u).collect()
        })
    }

    /// Solves the pair at its best sizes and seeks better ones around, a few times.
    fn set_right(&mut self, reaches: &[f64]) {
        let rungs = self.rungs();
        for (round, reach) in reaches.iter().enumerate() {
            self.rounds += 1;
            let Some(best) = self.posterior.as_ref().map(|p| [p.best[0], p.best[1]]) else {
                return;
            };
            self.solved = self.solve(best);
            if self.solved.is_none() {
                self.posterior = None;
                return;
            }
            let grid = rungs.each_ref().map(|rungs| {
                let steps = rungs.windows(2).map(|pair| pair[1] - pair[0]);
                (rungs, reach * steps.fold(0.0, f64::max))
            });
            let mut grid = [0, 1].map(|k| near(grid[k].0, best[k], grid[k].1));
            if round + 1 == reaches.len() {
                // In the end all sizes count.
                for (near, rungs) in grid.iter_mut().zip(&rungs) {
                    near.extend(rungs);
                    near.sort_by(f64::total_cmp);
                    near.dedup();
                }
            }
            self.posterior = self.weigh(grid);
        }
    }

    /// None where the engine does not run at a condition with readings.
    fn solve(&self, at: [f64; 2]) -> Option<Solved> {
        let beyond = self.beyond(at)?;
        let slopes = [0, 1].map(|k| {
            let mut to = at;
            to[k] += if at[k] < 0.5 { STEP } else { -STEP };
            let there = self.beyond(to)?;
            let per = 1.0 / (to[k] - at[k]);
            Some(Beyond {
                means: (there.means - &beyond.means) * per,
                levels: (there.levels - &beyond.levels) * per,
                stands: 0.0,
            })
        });
        Some(Solved { at, beyond, slopes })
    }

    fn beyond(&self, at: [f64; 2]) -> Option<Beyond> {
        let [a, b] = self.faults.map(|i| self.ladders.suspects[i]);
        let solved = self.ladders.solved(&[(a, at[0]), (b, at[1])]);
        let (shown, levels) = self.summed(at)?;
        let mut means = -shown.means;
        for (mean, read) in means.iter_mut().zip(&self.evidence.reads) {
            let side = solved[read.condition].as_ref()?;
            *mean += side.readings.get(read.reading)?;
        }
        let mut beyond = -levels.means;
        for (level, (code, _)) in beyond.iter_mut().zip(&self.evidence.codes) {
            let enabled = solved.iter().flatten();
            let enabled = enabled.filter_map(|side| side.levels[*code as usize]);
            let highest = enabled.fold(f64::NEG_INFINITY, f64::max);
            *level += if highest.is_finite() { highest } else { -1.0 };
        }
        Some(Beyond {
            means,
            levels: beyond,
            stands: stands(self.evidence, |c| solved[c].is_some()),
        })
    }

    /// What both show by what each shows alone.
    fn summed(&self, at: [f64; 2]) -> Option<(Shown, Shown)> {
        let (a, b) = (self.seen[0].shown(at[0])?, self.seen[1].shown(at[1])?);
        Some(self.both(&a, &b))
    }

    fn both(&self, a: &(Shown, Shown), b: &(Shown, Shown)) -> (Shown, Shown) {
        let (shown, levels) = self.sound;
        (
            Shown::of_two(self.ladders, &self.evidence.reads, [&a.0, &b.0, shown]),
            Shown::together(&a.1, &b.1, levels),
        )
    }

    /// Its weight, sizes and fit over a grid of sizes.
    fn weigh(&self, grid: [Vec<f64>; 2]) -> Option<Posterior> {
        let alone = [0, 1].map(|k| {
            let sizes = grid[k].iter();
            sizes.map(|u| self.seen[k].shown(*u)).collect::<Vec<_>>()
        });
        let widths = grid.each_ref().map(|sizes| widths(sizes));
        let mut best: Option<(f64, [f64; 2], Fit, Shown)> = None;
        let mut total = f64::NEG_INFINITY;
        let mut along = [vec![], vec![]];
        for (i, a) in alone[0].iter().enumerate() {
            for (j, b) in alone[1].iter().enumerate() {
                let (Some(a), Some(b)) = (a, b) else { continue };
                let at = [grid[0][i], grid[1][j]];
                let Some((log, fit, shown)) = self.at(at, a, b) else {
                    continue;
                };
                total = log_add(total, log + widths[0][i] + widths[1][j]);
                gather(&mut along[0], at[0], log + widths[1][j]);
                gather(&mut along[1], at[1], log + widths[0][i]);
                if best.as_ref().is_none_or(|best| log > best.0) {
                    best = Some((log, at, fit, shown));
                }
            }
        }
        let (_, at, fit, shown) = best?;
        along[1].sort_by(|a: &Sample, b| a.u.total_cmp(&b.u));
        Some(Posterior {
            faults: self.faults.to_vec(),
            log_weight: total + self.prior,
            samples: along.to_vec(),
            best: at.to_vec(),
            fit,
            shown,
        })
    }

    /// Log likelihood with the priors of both sizes, and the fit, of what each shows alone.
    fn at(
        &self,
        at: [f64; 2],
        a: &(Shown, Shown),
        b: &(Shown, Shown),
    ) -> Option<(f64, Fit, Shown)> {
        let (mut shown, mut levels) = self.both(a, b);
        let mut stands = self.seen[0].stands(at[0]).max(self.seen[1].stands(at[1]));
        if let Some(solved) = &self.solved {
            let share = solved.share(at);
            solved.add(at, share, [&mut shown.means, &mut levels.means]);
            stands += share * (solved.beyond.stands - stands);
            shown.changes = &shown.means - &self.sound.0.means;
        }
        let fit = Fit::new(self.evidence, &shown, &levels)?;
        let suspects = self.faults.map(|i| self.ladders.suspects[i]);
        let faults = [0, 1].map(|k| (suspects[k], suspects[k].size(at[k])));
        let prior: f64 = faults.iter().map(|(s, size)| s.log_prior(*size)).sum();
        let log = prior + fit.log_likelihood + stands + beside(self.evidence, &faults);
        Some((log, fit, shown))
    }
}

impl Solved {
    /// Share of the correction that holds at other sizes.
    fn share(&self, at: [f64; 2]) -> f64 {
        let (full, none) = HOLDS;
        let shares = at.iter().zip(self.at);
        let shares = shares.map(|(u, here)| (none - (u - here).abs()) / (none - full));
        shares.map(|share| share.clamp(0.0, 1.0)).product()
    }

    /// Adds a share of the correction, which goes with both sizes as far as it holds in full.
    fn add(&self, at: [f64; 2], share: f64, [means, levels]: [&mut DVector<f64>; 2]) {
        means.axpy(share, &self.beyond.means, 1.0);
        levels.axpy(share, &self.beyond.levels, 1.0);
        for (k, slope) in self.slopes.iter().enumerate() {
            let Some(slope) = slope else { continue };
            let along = (at[k] - self.at[k]).clamp(-HOLDS.0, HOLDS.0);
            means.axpy(share * along, &slope.means, 1.0);
            levels.axpy(share * along, &slope.levels, 1.0);
        }
    }
}

/// Sizes around one, within those of a ladder.
fn near(rungs: &[f64], u: f64, reach: f64) -> Vec<f64> {
    let (low, high) = (rungs[0], rungs[rungs.len() - 1]);
    let steps = (-POINTS..=POINTS).map(|k| u + reach * f64::from(k) / f64::from(POINTS));
    steps.filter(|u| (low..=high).contains(u)).collect()
}

/// Logarithms of the widths that sizes stand for in an integral: the trapezoids' halves.
fn widths(sizes: &[f64]) -> Vec<f64> {
    let last = sizes.len().saturating_sub(1);
    let each = (0..sizes.len()).map(|i| {
        let (from, to) = (sizes[i.saturating_sub(1)], sizes[(i + 1).min(last)]);
        (0.5 * (to - from)).ln()
    });
    each.collect()
}

fn gather(along: &mut Vec<Sample>, u: f64, log: f64) {
    match along.iter_mut().find(|sample| sample.u == u) {
        Some(sample) => sample.log = log_add(sample.log, log),
        None => along.push(Sample { u, log }),
    }
}
