//! A reading as a plane over speed, load and how fast both change, and its height where both rest.
//!
//! Bayesian linear regression (rasmussen_williams2006, section 2.1): slopes and lags have priors, so a few moments
//! that all move the same way say little of rest, and say so.

use nalgebra::{SMatrix, SVector};

/// Terms: 1, speed, load (both as logarithms from the middle), and their rates a second.
pub(super) const TERMS: usize = 5;
pub(super) type Terms = SVector<f64, TERMS>;

/// How steep a reading may be over speed and load: share of it for as large a share of these.
const STEEP: f64 = 2.0;
/// How far it may lag or lead, s (pipes fill, sensors follow: own choice).
const LAG: f64 = 0.4;
/// Least scatter of a single moment, share of the reading: no plane is better than that over a cell.
const LEAST_SCATTER: f64 = 0.003;

/// What is gathered of one reading.
#[derive(Clone, Debug, Default)]
pub(super) struct Plane {
    normal: SMatrix<f64, TERMS, TERMS>,
    right: Terms,
    square: f64,
    count: f64,
}

/// Its height at a place.
pub(super) struct Height {
    pub mean: f64,
    pub doubt: f64,
    pub scatter: f64,
    pub count: u64,
    /// Mean of the moments themselves, however they moved, and their standard deviation.
    pub moments: [f64; 2],
}

impl Height {
    /// No further from the mean of the moments than they scatter; as much more in doubt. A mixture is
    /// commanded: it follows no rate, and a few moments that move the same way must not draw it to where
    /// none of them was.
    pub fn keep_to_moments(&mut self) {
        let [own, spread] = self.moments;
        let kept = self.mean.clamp(own - spread, own + spread);
        self.doubt = self.doubt.hypot(self.mean - kept);
        self.mean = kept;
    }
}

impl Plane {
    pub fn add(&mut self, terms: &Terms, value: f64) {
        self.normal += terms * terms.transpose();
        self.right += terms * value;
        self.square += value * value;
        self.count += 1.0;
    }

    /// The height at `terms`, where the moments count as `independent` ones at most and values
    /// come in steps of `step`; `unit` is what a reading near nothing is measured by, none for a
    /// logarithm.
    pub fn height(
        &self,
        terms: &Terms,
        independent: f64,
        step: f64,
        unit: Option<f64>,
    ) -> Option<Height> {
        if self.count < 1.0 {
            return None;
        }
        let scale = unit.map_or(1.0, |unit| (self.right[0] / self.count).abs().max(unit));
        let floor = (LEAST_SCATTER * scale).powi(2) + step * step / 12.0;
        let each = (independent / self.count).min(1.0);
        let prior = Terms::from([0.0, STEEP, STEEP, LAG * STEEP, LAG * STEEP]);
        let prior = prior.map(|x| if x > 0.0 { (x * scale).powi(-2) } else { 0.0 });
        let mut variance = floor.max((0.03 * scale).powi(2));
        let mut found = (0.0, 0.0);
        for _ in 0..4 {
            let weight = each / variance;
            let precision = self.normal * weight + SMatrix::from_diagonal(&prior);
            let factor = precision.cholesky()?;
            let planes = factor.solve(&(self.right * weight));
            found = (terms.dot(&planes), terms.dot(&factor.solve(terms)));
            let left =
                self.square - 2.0 * planes.dot(&self.right) + planes.dot(&(self.normal * planes));
            // Two own moments of an assumed scatter: a single one does not prove there is none.
            variance = (left.max(0.0) + 2.0 * floor) / (self.count + 2.0);
            variance = variance.max(floor);
        }
        let (mean, square) = found;
        let own = self.right[0] / self.count;
        let spread = (self.square / self.count - own * own).max(0.0).sqrt();
        (mean.is_finite() && square.is_finite()).then(|| Height {
            mean,
            doubt: square.max(0.0).sqrt(),
            scatter: variance.sqrt(),
            count: self.count as u64,
            moments: [own, spread],
        })
    }
}
