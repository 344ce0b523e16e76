//! The healthy twin: whose readings those of a healthy car are, and what they leave in doubt.

use crate::network::Reading;
use crate::words;
use nalgebra::{DMatrix, DVector};

words! {
    /// Whose readings those of a healthy car are.
    pub enum Of {
        /// this very car, before the fault or after a repair
        ThisCar = "this_car",
        /// another healthy car of the same make and engine
        Sister = "sister",
    }
}

/// Probability of such readings from a healthy car of the file below which they are no use.
const NO_TWIN: f64 = 1e-3;
/// What records of healthy cars leave in doubt about this one.
#[derive(Clone, Debug)]
pub struct Twin {
    /// Mean of the independent doubts.
    pub mean: DVector<f64>,
    /// Factor of their covariance.
    pub factor: DMatrix<f64>,
}

/// How well records fit healthy cars of the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Match {
    /// Records, and readings in them.
    pub count: [usize; 2],
    /// Probability of readings so far off, from healthy cars of the file.
    pub fit: f64,
    /// The reading farthest off, given all the others: which, the condition's name, standard
    /// deviations.
    pub worst: (Reading, String, f64),
}

impl Match {
    /// Whether the records are of use: else they are left aside.
    pub fn used(&self) -> bool {
        self.fit >= NO_TWIN
    }
}
