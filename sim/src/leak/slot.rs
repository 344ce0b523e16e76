//! A slot of even gap: a lifted flange, a missing corner of a gasket.

use super::measured::{Measure, Measured};
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::gap::{Across, SQUARE_ENTRANCE, Strip};
use crate::flow::upwind::{Law, Upwind};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};

quantities! {
    /// Slot closed at both ends.
    pub struct Slot {
        /// Height of the gap.
        gap: Length [0.0, 0.02],
        /// Length along the joint, across the flow.
        length: Length [1e-4, 2.0],
        /// Depth of the land, along the flow.
        depth: Length [1e-4, 0.2],
        /// Entrance loss in dynamic heads: 0.5 for a square edge, 0 for a well rounded one.
        entrance_loss: Ratio [0.0, 2.0] = SQUARE_ENTRANCE,
    }
}

impl<P: Scalar> Slot<P> {
    /// Flow between two gases.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let numbers = [self.gap, self.length, self.depth, self.entrance_loss].map(S::lift);
        Upwind::new(a, b).flow::<4, 9>(numbers, SlotLaw)
    }
}

/// Flow through a slot of a gap, length, depth and entrance loss.
pub(super) struct SlotLaw;

impl Law<4> for SlotLaw {
    #[inline]
    fn size<T: Scalar>(&self, up: &GasState<T>, pressure_down: T, further: [T; 4]) -> T {
        let [gap, length, depth, loss] = further;
        strip(&Across::new(up, pressure_down), gap, length, depth, loss).flux * gap * length
    }
}

impl<P: Scalar> Measured<P> for Slot<P> {
    const MEASURE: Measure = Measure::gap("gap");

    fn size(&self) -> P {
        self.gap
    }

    fn sized(self, gap: P) -> Self {
        Self { gap, ..self }
    }

    fn area(&self, _outward: P) -> Option<P> {
        Some(self.gap * self.length)
    }
}

impl Slot {
    /// How the gas moves through it.
    pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
        let across = across(a, b);
        strip(
            &across,
            self.gap,
            self.length,
            self.depth,
            self.entrance_loss,
        )
        .regime()
    }
}

/// A slot closed at both ends: four times its section over its perimeter.
#[inline]
pub(super) fn strip<T: Scalar>(
    across: &Across<T>,
    gap: T,
    length: T,
    depth: T,
    loss: T,
) -> Strip<T> {
    let hydraulic_diameter = gap * length * 2.0 / (gap + length);
    across.strip(hydraulic_diameter, depth, loss)
}

/// What the strips between two gases share, in plain numbers.
pub(super) fn across(a: &GasState<f64>, b: &GasState<f64>) -> Across<f64> {
    let up = Upwind::new(a, b);
    Across::new(&up.gas, up.pressure_down)
}
