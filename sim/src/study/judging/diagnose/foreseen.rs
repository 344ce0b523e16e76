//! What could be dangerous at load, by the model's own prediction, over all hypotheses that are
//! still likely: where it could be, nobody is sent.

use super::effort::Risk;
use super::ladders::{Ladders, Rung};
use super::ranking::{Diagnosis, Hypothesis};
use crate::network::Reading;
use crate::network::readings::{READINGS, Readings};
use crate::study::running::dangers::{Aims, Danger};

/// A hypothesis is still likely above this (own choice).
pub const LIKELY: f64 = 0.05;
/// Shares of its probability below the sizes at which it is asked what it would do.
const SIZES: [f64; 3] = [0.05, 0.5, 0.95];

/// A danger that a likely hypothesis foresees.
#[derive(Clone, Debug, PartialEq)]
pub struct Foreseen {
    /// Index of the condition.
    pub condition: usize,
    /// Which, and where.
    pub danger: Danger,
    /// Index of the likeliest hypothesis that foresees it.
    pub hypothesis: usize,
}

/// Where a car may be driven for the next test.
#[derive(Clone, Debug, Default)]
pub struct Outlook {
    /// What is foreseen, the likeliest hypothesis first.
    pub foreseen: Vec<Foreseen>,
    /// By condition, whether the car may be driven there.
    allowed: Vec<bool>,
    /// Whether it may be driven at full load at all.
    full_load: bool,
}

impl Outlook {
    /// Of a diagnosis: where a danger stands, a reading must be taken again or the engine stalls,
    /// nothing is loaded; where a danger is foreseen not that.
    pub fn new(ladders: &Ladders, diagnosis: &Diagnosis) -> Self {
        let foreseen = foreseen(ladders, diagnosis);
        let risk = |c: usize| Risk::at(&ladders.conditions[c], ladders.boosted(c));
        let full = |c: usize| risk(c) == Risk::FullLoad;
        let all = 0..ladders.conditions.len();
        let barred = foreseen.iter().any(|f| full(f.condition));
        // What was not predicted is not known to be safe.
        let predicted = all
            .clone()
            .any(|c| full(c) && ladders.sound.spots[c].is_some());
        let calm = diagnosis.dangers.is_empty() && diagnosis.holds.is_none();
        let full_load = calm && predicted && !barred;
        let allowed = all.map(|c| {
            let loads = ladders.conditions[c].loads();
            let here = foreseen.iter().any(|f| f.condition == c);
            !loads || (calm && !here && (!full(c) || full_load))
        });
        Self {
            allowed: allowed.collect(),
            full_load,
            foreseen,
        }
    }

    /// Whether the car may be driven at a condition.
    pub fn allows(&self, condition: usize) -> bool {
        self.allowed.get(condition).copied().unwrap_or(false)
    }

    /// Whether it may be driven at full load.
    pub fn allows_full_load(&self) -> bool {
        self.full_load
    }
}

fn foreseen(ladders: &Ladders, diagnosis: &Diagnosis) -> Vec<Foreseen> {
    let car = &ladders.car.network;
    let aims = Aims::of_model(&car.vehicle, car.ambient.pressure);
    let likely = diagnosis.hypotheses.iter().enumerate();
    let likely = likely.filter(|(_, h)| h.probability > LIKELY);
    let mut all: Vec<Foreseen> = Vec::new();
    for (hypothesis, h) in likely {
        for (condition, at) in ladders.conditions.iter().enumerate() {
            if !at.loads() {
                continue;
            }
            let sizes = SIZES
                .iter()
                .filter_map(|share| predicted(ladders, h, *share, condition));
            let dangers = sizes.flat_map(|readings| aims.dangers_of(&readings, false));
            for danger in Danger::worst(dangers) {
                let same =
                    |f: &Foreseen| f.condition == condition && f.danger.hazard == danger.hazard;
                if !all.iter().any(same) {
                    all.push(Foreseen {
                        condition,
                        danger: danger.at(&at.name),
                        hypothesis,
                    });
                }
            }
        }
    }
    all
}

/// What a hypothesis shows at a condition, its sizes larger than they are with this probability;
/// none where it does not run there. Between rungs a straight line; two faults by their sum.
fn predicted(
    ladders: &Ladders,
    h: &Hypothesis,
    share: f64,
    condition: usize,
) -> Option<Readings<f64>> {
    let of = |rung: &Rung| Some(rung.spots[condition].as_ref()?.readings.values);
    let sound = of(&ladders.sound)?;
    let mut values = sound;
    for (k, suspect) in h.posterior.faults.iter().enumerate() {
        let u = h.posterior.quantile(k, share);
        let ladder = &ladders.curves[ladders.suspects[*suspect].curve];
        let above = ladder.partition_point(|rung| rung.u < u);
        let above = above.min(ladder.len() - 1);
        let (a, b) = (&ladder[above.saturating_sub(1)], &ladder[above]);
        let width = b.u - a.u;
        let t = if width > 0.0 { (u - a.u) / width } else { 0.0 };
        let (from, to) = (of(a)?, of(b)?);
        for i in 0..READINGS {
            values[i] += from[i] + t * (to[i] - from[i]) - sound[i];
        }
    }
    // It may be the sensor that is at fault.
    values[Reading::Manifold as usize] = f64::NAN;
    Some(Readings { values })
}
