//! Two faults at once, on request.
//!
//! What two faults show together is first taken as the sum of what each shows; the most
//! likely pairs are then solved together, and their sum is set right by the difference.

use super::atlas::Atlas;
use super::catalogue::PAIR;
use super::evidence::{Evidence, Shown};
use super::likelihood::{Fit, log_add};
use super::posterior::{Posterior, Sample, beside};

/// Pairs that are solved together.
const SOLVED: usize = 8;

/// One rung of one suspect as the evidence sees it.
struct Seen {
    u: f64,
    shown: Shown,
    levels: Shown,
}

/// Every pair that the evidence does not rule out.
pub fn pairs(atlas: &Atlas, evidence: &Evidence) -> Vec<Posterior> {
    let sound = seen(atlas, evidence, &atlas.sound.spots, 0.0);
    let Some(sound) = sound else {
        return Vec::new();
    };
    let ladders: Vec<Vec<Seen>> = (atlas.suspects.iter())
        .map(|suspect| {
            let rungs = atlas.curves[suspect.curve].iter().step_by(2);
            rungs
                .filter_map(|rung| seen(atlas, evidence, &rung.spots, rung.u))
                .collect()
        })
        .collect();
    let mut found = Vec::new();
    for i in 0..ladders.len() {
        for j in i + 1..ladders.len() {
            let together = pair(atlas, evidence, (i, j), (&ladders[i], &ladders[j]), &sound);
            found.extend(together);
        }
    }
    found.sort_by(|a, b| b.log_weight.total_cmp(&a.log_weight));
    for posterior in found.iter_mut().take(SOLVED) {
        set_right(atlas, evidence, posterior);
    }
    found
}

fn seen(
    atlas: &Atlas,
    evidence: &Evidence,
    spots: &[Option<super::atlas::Spot>],
    u: f64,
) -> Option<Seen> {
    Some(Seen {
        u,
        shown: Shown::at(atlas, spots, &evidence.reads)?,
        levels: Shown::levels(atlas, spots, &evidence.codes),
    })
}

fn pair(
    atlas: &Atlas,
    evidence: &Evidence,
    (i, j): (usize, usize),
    (first, second): (&[Seen], &[Seen]),
    sound: &Seen,
) -> Option<Posterior> {
    let (a, b) = (atlas.suspects[i], atlas.suspects[j]);
    let mut best: Option<(f64, f64, f64, Fit, Shown)> = None;
    let mut total = f64::NEG_INFINITY;
    let mut along = [vec![], vec![]];
    let cell = (1.0 / (first.len() * second.len()) as f64).ln();
    for one in first {
        for two in second {
            let shown = Shown::together(&one.shown, &two.shown, &sound.shown);
            let levels = Shown::together(&one.levels, &two.levels, &sound.levels);
            let Some(fit) = Fit::new(evidence, &shown, &levels) else {
                continue;
            };
            let faults = [(a, a.size(one.u)), (b, b.size(two.u))];
            let prior: f64 = faults.iter().map(|(s, size)| s.log_prior(*size)).sum();
            let log = prior + fit.log_likelihood + beside(evidence, &faults);
            total = log_add(total, log + cell);
            for (along, u) in along.iter_mut().zip([one.u, two.u]) {
                gather(along, u, log);
            }
            if best.as_ref().is_none_or(|best| log > best.0) {
                best = Some((log, one.u, two.u, fit, shown));
            }
        }
    }
    let (_, u, v, fit, shown) = best?;
    let [samples, others] = along;
    Some(Posterior {
        faults: vec![i, j],
        log_weight: total + (a.prior * b.prior * PAIR).ln(),
        samples: vec![samples, others],
        best: vec![u, v],
        fit,
        shown,
    })
}

fn gather(along: &mut Vec<Sample>, u: f64, log: f64) {
    match along.iter_mut().find(|sample| sample.u == u) {
        Some(sample) => sample.log = log_add(sample.log, log),
        None => along.push(Sample { u, log }),
    }
}

/// Solves a pair at its best sizes and moves what it shows, and its weight, accordingly.
fn set_right(atlas: &Atlas, evidence: &Evidence, posterior: &mut Posterior) {
    let faults: Vec<_> = (posterior.faults.iter().zip(&posterior.best))
        .map(|(i, u)| (atlas.suspects[*i], *u))
        .collect();
    let solved = atlas.solved(&faults);
    for (i, read) in evidence.reads.iter().enumerate() {
        let value =
            (solved[read.condition].as_ref()).and_then(|readings| readings.get(read.reading));
        match value {
            Some(value) => posterior.shown.means[i] = value,
            None => {
                posterior.log_weight = f64::NEG_INFINITY;
                return;
            }
        }
    }
    let none = Evidence {
        codes: Vec::new(),
        ..evidence.clone()
    };
    let levels = Shown::levels(atlas, &atlas.sound.spots, &[]);
    if let Some(fit) = Fit::new(&none, &posterior.shown, &levels) {
        posterior.log_weight += 0.5 * (posterior.fit.distance - fit.distance).min(0.0);
        posterior.fit = fit;
    }
}
