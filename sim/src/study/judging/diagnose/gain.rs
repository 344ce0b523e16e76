//! What a test tells: the mutual information between the hypothesis and the test's outcome, in bits
//! (lindley1956): the entropy of the hypotheses now, less what is expected to be left of it.
//! A check's outcomes are counted out; a measurement's are drawn, from a fixed sequence.

use nalgebra::{DMatrix, DVector};
use statrs::function::erf::erf_inv;
use std::f64::consts::{LN_2, PI, SQRT_2};

/// Draws of a measurement.
const DRAWS: usize = 160;

/// Mutual information of hypotheses, by their probabilities, and outcomes, by their odds with each;
/// bits.
pub(super) fn counted(probabilities: impl Iterator<Item = f64> + Clone, odds: &[Vec<f64>]) -> f64 {
    let count = odds.first().map_or(0, Vec::len);
    let mut gain = 0.0;
    for outcome in 0..count {
        let each = || probabilities.clone().zip(odds);
        let all: f64 = each().map(|(p, odds)| p * odds[outcome]).sum();
        for (p, odds) in each() {
            if odds[outcome] > 0.0 {
                gain += p * odds[outcome] * (odds[outcome] / all).ln() / LN_2;
            }
        }
    }
    gain.max(0.0)
}

/// A normal law of a measurement.
pub(super) struct Law {
    pub mean: DVector<f64>,
    lower: DMatrix<f64>,
    log_scale: f64,
}

impl Law {
    pub fn new(mean: DVector<f64>, covariance: DMatrix<f64>) -> Option<Self> {
        let count = mean.len() as f64;
        let lower = covariance.cholesky()?.l();
        let log_determinant: f64 = lower.diagonal().iter().map(|d| d.ln()).sum();
        Some(Self {
            mean,
            lower,
            log_scale: -log_determinant - 0.5 * count * (2.0 * PI).ln(),
        })
    }

    fn log_density(&self, at: &DVector<f64>) -> f64 {
        let apart = self.lower.solve_lower_triangular(&(at - &self.mean));
        apart.map_or(f64::NEG_INFINITY, |z| {
            self.log_scale - 0.5 * z.norm_squared()
        })
    }
}

/// Mutual information of hypotheses and a measurement, bits, by draws.
pub(super) fn drawn(laws: &[(f64, Law)]) -> f64 {
    let total: f64 = laws.iter().map(|(probability, _)| probability).sum();
    let mut gain = 0.0;
    for (probability, law) in laws {
        let share = probability / total;
        let draws = (share * DRAWS as f64).ceil() as usize;
        let size = law.mean.len();
        let mut told = 0.0;
        for draw in 0..draws {
            let z = DVector::from_fn(size, |i, _| quasi_normal(draw, i));
            let at = &law.mean + &law.lower * z;
            let here = law.log_density(&at);
            let all: f64 = (laws.iter())
                .map(|(p, other)| p / total * (other.log_density(&at) - here).exp())
                .sum();
            told -= all.ln();
        }
        gain += share * told / draws as f64;
    }
    (gain / LN_2).max(0.0)
}

/// A standard normal number, evenly spread over draws: additive recurrence by roots of primes.
fn quasi_normal(draw: usize, axis: usize) -> f64 {
    const PRIMES: [f64; 24] = [
        2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0, 23.0, 29.0, 31.0, 37.0, 41.0, 43.0, 47.0, 53.0,
        59.0, 61.0, 67.0, 71.0, 73.0, 79.0, 83.0, 89.0,
    ];
    let step = PRIMES[axis % PRIMES.len()].sqrt();
    let even = ((draw as f64 + 0.5) * step).fract();
    SQRT_2 * erf_inv(2.0 * even.clamp(1e-9, 1.0 - 1e-9) - 1.0)
}
