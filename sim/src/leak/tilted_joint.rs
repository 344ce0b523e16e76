//! A round joint open on one side: one bolt loose, a clamp or cap on askew.
//!
//! The faces touch at one point of the circle; from there the gap widens to what the
//! feeler gauge says on the far side, `(1 + cos θ)/2` of it at the angle θ. Two flat faces
//! that are tilted do just that. Stated for faces narrower than a quarter of their
//! diameter, where their mean circumference stands for all of it.

use super::measured::{Measure, Measured};
use super::slot::across;
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::gap::{Across, SQUARE_ENTRANCE};
use crate::flow::upwind::{Law, Upwind};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
use std::f64::consts::PI;

quantities! {
    /// Round joint whose faces touch on one side only.
    pub struct TiltedJoint {
        /// Gap on the open side, where it is widest: the thickest feeler gauge that goes in.
        gap: Length [0.0, 0.02],
        /// Mean diameter of the sealing face.
        face_diameter: Length [5e-3, 0.3],
        /// Width of the sealing face, along the flow.
        depth: Length [1e-4, 0.05],
        /// Entrance loss in dynamic heads: 0.5 for a square edge, 0 for a well rounded one.
        entrance_loss: Ratio [0.0, 2.0] = SQUARE_ENTRANCE,
    }
}

/// The gap's share of the widest at four points of half the circle, from the open side:
/// the mean over them is exact up to the seventh power of the gap.
const AROUND: [f64; 4] = [
    0.5 * (1.0 + C1),
    0.5 * (1.0 + C2),
    0.5 * (1.0 - C2),
    0.5 * (1.0 - C1),
];
/// cos π/8 and cos 3π/8.
const C1: f64 = 0.923_879_532_511_286_7;
const C2: f64 = 0.382_683_432_365_089_8;

impl<P: Scalar> TiltedJoint<P> {
    /// Flow between two gases.
    ///
    /// Laminar, it passes 5/16 of a joint that is as wide all round: the ring with its pipe
    /// against the bore, `1 + 3/2 e²` at e = 1 (`white2016` ch. 6); choked, a half.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let numbers = [self.gap, self.depth, self.entrance_loss].map(S::lift);
        let mut flow = Upwind::new(a, b).flow::<3, 8>(numbers, TiltLaw);
        flow.mass = flow.mass * (self.face_diameter * PI);
        flow
    }
}

/// Flow a metre of circumference, from widest gap, depth and entrance loss.
struct TiltLaw;

impl Law<3> for TiltLaw {
    #[inline]
    fn size<T: Scalar>(
        &self,
        up: &GasState<T>,
        pressure_down: T,
        [widest, depth, loss]: [T; 3],
    ) -> T {
        let across = Across::new(up, pressure_down);
        let mut sum = T::constant(0.0);
        for share in AROUND {
            let gap = widest * share;
            sum += across.strip(gap * 2.0, depth, loss).flux * gap;
        }
        sum * (1.0 / AROUND.len() as f64)
    }
}

impl<P: Scalar> Measured<P> for TiltedJoint<P> {
    const MEASURE: Measure = Measure::gap("gap on the open side, by a feeler gauge");

    fn size(&self) -> P {
        self.gap
    }

    fn sized(self, gap: P) -> Self {
        Self { gap, ..self }
    }

    /// Half the widest gap, all round.
    fn area(&self, _outward: P) -> Option<P> {
        Some(self.gap * self.face_diameter * (PI / 2.0))
    }
}

impl TiltedJoint {
    /// How the gas moves through it, where the gap is widest.
    pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
        across(a, b)
            .strip(self.gap * 2.0, self.depth, self.entrance_loss)
            .regime()
    }
}
