//! The ring gap around a pipe in its bore: seal missing, or too thin to touch.

use super::measured::{Measure, Measured, circle};
use super::slot::across;
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::gap::{Across, SQUARE_ENTRANCE};
use crate::flow::upwind::{Law, Upwind};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
use std::f64::consts::PI;

quantities! {
    /// Pipe loose in a bore.
    pub struct RingGap {
        /// Outer diameter of the pipe (of the seal, when that is what is too thin).
        pipe_diameter: Length [2e-3, 0.2],
        /// Diameter of the bore; no leak when not larger than the pipe.
        bore_diameter: Length [2e-3, 0.2],
        /// Depth of the land along the flow; with the seal missing, the thickness of the wall or lip that
        /// is left.
        depth: Length [1e-4, 0.2],
        /// How far the pipe sits off centre: 0 in the middle, 1 touching the bore.
        eccentric: Ratio [0.0, 1.0] = 0.0,
        /// Entrance loss in dynamic heads: 0.5 for a square edge, 0 for a well rounded one.
        entrance_loss: Ratio [0.0, 2.0] = SQUARE_ENTRANCE,
    }
}

/// cos θ at four points of half the circle: the gap is `c (1 + e cos θ)`, and the
/// mean over them is exact up to its seventh power.
const AROUND: [f64; 4] = [C1, C2, -C2, -C1];
/// cos π/8 and cos 3π/8.
const C1: f64 = 0.923_879_532_511_286_7;
const C2: f64 = 0.382_683_432_365_089_8;

impl<P: Scalar> RingGap<P> {
    /// Clearance of the centred pipe.
    fn clearance(&self) -> P {
        ((self.bore_diameter - self.pipe_diameter) * 0.5).max(P::constant(0.0))
    }

    /// Flow between two gases.
    ///
    /// Laminar, a pipe at the side passes 2.5 times as much as a centred one
    /// (`1 + 3/2 e²`, `white2016` ch. 6); choked, no more.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let numbers = [
            self.clearance(),
            self.eccentric,
            self.depth,
            self.entrance_loss,
        ]
        .map(S::lift);
        let mut flow = Upwind::new(a, b).flow::<4, 9>(numbers, RingLaw);
        // Along the middle of the ring, gap times circumference is its exact area.
        flow.mass = flow.mass * ((self.bore_diameter + self.pipe_diameter) * (PI / 2.0));
        flow
    }
}

/// Flow a metre of circumference, from clearance, eccentricity, depth and entrance loss.
struct RingLaw;

impl Law<4> for RingLaw {
    #[inline]
    fn size<T: Scalar>(&self, up: &GasState<T>, pressure_down: T, further: [T; 4]) -> T {
        let [clearance, eccentric, depth, loss] = further;
        let across = Across::new(up, pressure_down);
        let mut sum = T::constant(0.0);
        for cos in AROUND {
            let gap = clearance * (eccentric * cos + 1.0);
            sum += across.strip(gap * 2.0, depth, loss).flux * gap;
        }
        sum * (1.0 / AROUND.len() as f64)
    }
}

impl<P: Scalar> Measured<P> for RingGap<P> {
    const MEASURE: Measure = Measure::gap("gap all round, half the difference of the diameters");

    /// Below zero where the pipe is thicker than its bore.
    fn size(&self) -> P {
        (self.bore_diameter - self.pipe_diameter) * 0.5
    }

    fn sized(self, gap: P) -> Self {
        Self {
            bore_diameter: self.pipe_diameter + gap * 2.0,
            ..self
        }
    }

    fn area(&self, _outward: P) -> Option<P> {
        let ring = circle(self.bore_diameter) - circle(self.pipe_diameter);
        Some(ring.max(P::constant(0.0)))
    }
}

impl RingGap {
    /// How the gas moves through it, where the gap is widest.
    pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
        let gap = self.clearance() * (1.0 + self.eccentric);
        across(a, b)
            .strip(gap * 2.0, self.depth, self.entrance_loss)
            .regime()
    }
}
