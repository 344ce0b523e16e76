//! How well a faulty car explains the evidence.
//!
//! Readings are jointly normal about what the car would show, with covariance
//! `Σ = Σ_m + J Jᵀ`: instruments (and a share of what the fault changes), and the car's doubts through the exact sensitivities
//! (a standard linear Gaussian model; see any text on Bayesian linear regression).
//! **One reading may be bad**: with a stated prior probability one of them carries no
//! information, which a rank-one update of `Σ` says in closed form
//! (Sherman-Morrison); a reading that is a danger is never that one. Codes are one-sided: their watchdog's level, given the readings,
//! is normal, and set means above 1.

use super::evidence::{Evidence, Read, Shown};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};
use statrs::function::erf::erfc;
use std::f64::consts::{PI, SQRT_2};

/// Prior probability that one of the readings is bad (misread, wrong unit, loose plug).
const BAD: f64 = 0.03;
/// Standard deviation of a bad reading over that which the model gives it.
const ASTRAY: f64 = 20.0;
/// Prior probability that an idle stands higher than aimed at for a reason that is no fault, and by how
/// much, rpm; of an idle speed that is misread, as a share of other readings: a rev counter is seldom
/// wrong (own choice).
const RAISED: f64 = 0.1;
const HIGHER: f64 = 200.0;
const MISREAD: f64 = 0.02;
/// Thresholds and times differ from the stated ones: standard deviation of a level.
const LEVEL_DOUBT: f64 = 0.15;
/// Probability that a code tells nothing (cleared, or not yet set).
const CODE_WRONG: f64 = 0.03;
/// Probability that no code is set because the memory was cleared and nothing has been set since:
/// then all that should be there are missing at once (own choice).
const CLEARED: f64 = 0.03;

/// The fit of one faulty car to the readings.
#[derive(Clone, Debug)]
pub struct Fit {
    /// Logarithm of the likelihood of everything.
    pub log_likelihood: f64,
    /// Squared distance of the readings, `rᵀ Σ⁻¹ r`, without the bad one if there is one.
    pub distance: f64,
    /// Which reading is more likely bad than not, if any.
    pub bad: Option<usize>,
    /// Each reading less what is shown, in standard deviations of both.
    pub residuals: Vec<f64>,
    /// Codes (indices into the evidence) that are more likely wrong, set or not, than right.
    pub codes_against: Vec<usize>,
}

/// Joint normal law of the readings of one car.
pub struct Normal {
    inverse: DMatrix<f64>,
    half_log_determinant: f64,
    /// `r`.
    apart: DVector<f64>,
    /// `Σ⁻¹ r`.
    weighted: DVector<f64>,
    covariance: DMatrix<f64>,
}

impl Normal {
    /// That of `reads` in the car that shows `shown`; none if a number is not finite.
    pub fn new(reads: &[Read], shown: &Shown) -> Option<Self> {
        let count = reads.len();
        let mut covariance = &shown.by_doubt * shown.by_doubt.transpose();
        let all = shown.altogether * shown.altogether;
        covariance.ger(all, &shown.changes, &shown.changes, 1.0);
        for (i, read) in reads.iter().enumerate() {
            let own = shown.response[i] * shown.changes[i];
            let guessed = shown.guessed[i];
            covariance[(i, i)] += read.deviation * read.deviation + own * own + guessed * guessed;
        }
        let apart = DVector::from_fn(count, |i, _| reads[i].value - shown.means[i]);
        let factor: Cholesky<f64, Dyn> = covariance.clone().cholesky()?;
        let half_log_determinant = factor.l_dirty().diagonal().iter().map(|d| d.ln()).sum();
        // Σ⁻¹ = L⁻ᵀ L⁻¹: the product is what the library does fastest.
        let lower = factor
            .l()
            .solve_lower_triangular(&DMatrix::identity(count, count))?;
        let inverse = lower.tr_mul(&lower);
        let weighted = &inverse * &apart;
        Some(Self {
            inverse,
            half_log_determinant,
            apart,
            weighted,
            covariance,
        })
    }

    /// `rᵀ Σ⁻¹ r`.
    pub fn distance(&self) -> f64 {
        self.apart.dot(&self.weighted)
    }

    /// Logarithm of the density of the readings.
    pub fn log_density(&self) -> f64 {
        let count = self.apart.len() as f64;
        -0.5 * (self.distance() + count * (2.0 * PI).ln()) - self.half_log_determinant
    }

    /// Log density if reading `i` is bad, and the distance without it.
    fn without(&self, i: usize) -> (f64, f64) {
        let wide = ASTRAY * ASTRAY * self.covariance[(i, i)];
        self.astray(wide, (self.inverse[(i, i)], self.weighted[i]))
    }

    /// The same if it is right, and all that `goes` with it is as far from what is aimed at.
    fn moved(&self, goes: &DVector<f64>) -> (f64, f64) {
        let own = goes.dot(&(&self.inverse * goes));
        self.astray(HIGHER * HIGHER, (own, goes.dot(&self.weighted)))
    }

    /// The covariance grown by so much along a direction (Sherman-Morrison): `vᵀ Σ⁻¹ v` and `vᵀ Σ⁻¹ r`
    /// are given.
    fn astray(&self, wide: f64, (own, pull): (f64, f64)) -> (f64, f64) {
        let grown = 1.0 + wide * own;
        let pull = pull * pull;
        let log = self.log_density() - 0.5 * grown.ln() + 0.5 * wide * pull / grown;
        (log, self.distance() - pull / own)
    }

    /// The law of the other readings, which reading `i` says nothing of: its variance grown
    /// beyond all bounds (Sherman-Morrison).
    fn without_telling(&self, i: usize) -> Self {
        let column = self.inverse.column(i).into_owned();
        let own = self.inverse[(i, i)];
        Self {
            inverse: &self.inverse - &column * column.transpose() / own,
            weighted: &self.weighted - &column * (self.weighted[i] / own),
            half_log_determinant: self.half_log_determinant,
            apart: self.apart.clone(),
            covariance: self.covariance.clone(),
        }
    }

    /// `rᵀ Σ⁻¹ r` for other means, `Σ` kept.
    pub fn distance_to(&self, reads: &[Read], means: &DVector<f64>) -> f64 {
        let apart = DVector::from_fn(reads.len(), |i, _| reads[i].value - means[i]);
        apart.dot(&(&self.inverse * &apart))
    }

    /// Squared distance of two means, `Σ` kept.
    pub fn between(&self, a: &DVector<f64>, b: &DVector<f64>) -> f64 {
        let apart = a - b;
        apart.dot(&(&self.inverse * &apart))
    }

    /// Means and covariance of more readings or levels, linear in the same doubts, given
    /// the readings.
    pub fn given(&self, shown: &Shown, more: &Shown) -> (DVector<f64>, DMatrix<f64>) {
        let shared = &shown.by_doubt * more.by_doubt.transpose();
        let mean = &more.means + shared.tr_mul(&self.weighted);
        let before = &more.by_doubt * more.by_doubt.transpose();
        (mean, before - shared.tr_mul(&(&self.inverse * &shared)))
    }
}

impl Fit {
    /// Of the readings and codes that a car shows.
    pub fn new(evidence: &Evidence, shown: &Shown, levels: &Shown) -> Option<Self> {
        let reads = &evidence.reads;
        let normal = Normal::new(reads, shown)?;
        let good = normal.log_density() + (1.0 - BAD).ln();
        let each = (BAD / reads.len().max(1) as f64).ln();
        let bads = (0..reads.len()).map(|i| {
            let (log, left) = normal.without(i);
            let raised = shown.raised.iter().find(|(speed, _)| *speed == i);
            match raised {
                // A danger is believed.
                _ if evidence.standing.contains(&i) => (f64::NEG_INFINITY, normal.distance()),
                Some((_, goes)) => {
                    let (moved, beside) = normal.moved(goes);
                    let log = log_add(log + each + MISREAD.ln(), moved + RAISED.ln());
                    (log, left.min(beside))
                }
                None => (log + each, left),
            }
        });
        let bads: Vec<(f64, f64)> = bads.collect();
        let log = bads.iter().map(|(log, _)| *log).fold(good, log_add);
        let suspect = (0..bads.len()).max_by(|a, b| bads[*a].0.total_cmp(&bads[*b].0));
        let bad = suspect.filter(|i| bads[*i].0 > good);
        // Codes follow from the readings that are believed.
        let (means, covariance) = match bad {
            Some(i) => normal.without_telling(i).given(shown, levels),
            None => normal.given(shown, levels),
        };
        let chances = evidence.codes.iter().enumerate().map(|(i, (_, set))| {
            let (mean, variance) = (means[i], covariance[(i, i)].max(0.0));
            let doubt = LEVEL_DOUBT * mean.abs().max(1.0);
            let above = (mean - 1.0) / (variance + doubt * doubt).sqrt();
            let is_set = (1.0 - levels.unset) * cumulative(above);
            (1.0 - CODE_WRONG) * if *set { is_set } else { 1.0 - is_set }
        });
        let chances: Vec<f64> = chances.collect();
        let astray = 0.5 * CODE_WRONG;
        let mut codes: f64 = chances.iter().map(|chance| (astray + chance).ln()).sum();
        if chances.len() > 1 && evidence.codes.iter().all(|(_, set)| !set) {
            codes = log_add(codes + (1.0 - CLEARED).ln(), CLEARED.ln());
        }
        let against = (0..chances.len()).filter(|i| chances[*i] < astray);
        let fit = Self {
            log_likelihood: log + codes,
            codes_against: against.collect(),
            distance: bad.map_or(normal.distance(), |i| bads[i].1),
            bad,
            residuals: (0..reads.len())
                .map(|i| normal.apart[i] / normal.covariance[(i, i)].sqrt())
                .collect(),
        };
        fit.log_likelihood.is_finite().then_some(fit)
    }
}

/// `ln(eᵃ + eᵇ)`.
pub fn log_add(a: f64, b: f64) -> f64 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if low == f64::NEG_INFINITY {
        return high;
    }
    high + (low - high).exp().ln_1p()
}

/// Probability that a standard normal number is below `z`.
pub fn cumulative(z: f64) -> f64 {
    0.5 * erfc(-z / SQRT_2)
}
