//! A cover bowed between its fixings: nothing at each fixing, the feeler reading
//! half-way.
//!
//! The bow is a parabola, `4x(1-x)` of the mid-span gap: the shape of a plate of
//! even curvature, as heat warps it. A cover bent by its gasket's even pressure is
//! `16/5 (x - 2x³ + x⁴)`, its area 4 % less.

use super::measured::{Measure, Measured};
use super::slot::across;
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::gap::{Across, SQUARE_ENTRANCE};
use crate::flow::upwind::{Law, Upwind};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};

quantities! {
    /// Cover that touches at its fixings only.
    pub struct BowedCover {
        /// Gap half-way between two fixings: the thickest feeler gauge that goes in.
        gap: Length [0.0, 5e-3],
        /// Distance between two fixings.
        span_length: Length [5e-3, 1.0],
        /// Number of bowed spans; a fraction for a span bowed in part.
        spans: Ratio [0.0, 100.0] = 1.0,
        /// Depth of the land, along the flow.
        depth: Length [1e-4, 0.1],
        /// Entrance loss in dynamic heads: 0.5 for a square edge, 0 for a well rounded one.
        entrance_loss: Ratio [0.0, 2.0] = SQUARE_ENTRANCE,
    }
}

/// Gauss-Legendre on half a span, `t = 2x` from a fixing (0) to mid-span (1): the
/// gap's share `t(2-t)` and the weight. Exact for the cube of the gap (laminar) and
/// for the gap itself (choked).
const HALF_SPAN: [[f64; 2]; 4] = [
    [node(0.069_431_844_202_973_71), 0.173_927_422_568_726_93],
    [node(0.330_009_478_207_571_87), 0.326_072_577_431_273_07],
    [node(0.669_990_521_792_428_1), 0.326_072_577_431_273_07],
    [node(0.930_568_155_797_026_3), 0.173_927_422_568_726_93],
];

const fn node(t: f64) -> f64 {
    t * (2.0 - t)
}

impl<P: Scalar> BowedCover<P> {
    /// Flow between two gases.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let numbers = [self.gap, self.depth, self.entrance_loss].map(S::lift);
        let mut flow = Upwind::new(a, b).flow::<3, 8>(numbers, SpanLaw);
        flow.mass = flow.mass * (self.spans * self.span_length);
        flow
    }
}

/// Flow a metre of span, from mid-span gap, depth and entrance loss.
struct SpanLaw;

impl Law<3> for SpanLaw {
    #[inline]
    fn size<T: Scalar>(
        &self,
        up: &GasState<T>,
        pressure_down: T,
        [middle, depth, loss]: [T; 3],
    ) -> T {
        let across = Across::new(up, pressure_down);
        let mut sum = T::constant(0.0);
        for [share, weight] in HALF_SPAN {
            let gap = middle * share;
            sum += across.strip(gap * 2.0, depth, loss).flux * gap * weight;
        }
        sum
    }
}

impl<P: Scalar> Measured<P> for BowedCover<P> {
    const MEASURE: Measure =
        Measure::gap("bow, by a feeler gauge half-way between two fixings");

    fn size(&self) -> P {
        self.gap
    }

    fn sized(self, gap: P) -> Self {
        Self { gap, ..self }
    }

    /// Mean of the parabola `4x(1-x)`: two thirds.
    fn area(&self, _outward: P) -> Option<P> {
        Some(self.gap * (2.0 / 3.0) * self.span_length * self.spans)
    }
}

impl BowedCover {
    /// How the gas moves through it, half-way between fixings.
    pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
        across(a, b)
            .strip(self.gap * 2.0, self.depth, self.entrance_loss)
            .regime()
    }
}
