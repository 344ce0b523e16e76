//! A split in a hose or boot that opens with pressure inside.

use super::Shape;
use super::measured::{Measure, Measured};
use super::slot::{SlotLaw, across, strip};
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::gap::SQUARE_ENTRANCE;
use crate::flow::upwind::Upwind;
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};
use std::f64::consts::PI;

quantities! {
    /// Split whose lips part in proportion to the pressure inside, as an elastic crack does.
    pub struct Split {
        /// Length of the split.
        length: Length [1e-4, 0.5],
        /// Mean opening at the reference pressure.
        reference_opening: Length [0.0, 0.02],
        /// Pressure inside over that outside at which the opening is stated.
        reference_pressure: GaugePressure [1e3, 4e5] = 1e5,
        /// Mean opening with no pressure inside, and under vacuum: 0 when the lips close.
        closed_opening: Length [0.0, 0.02] = 0.0,
        /// Thickness of the wall.
        depth: Length [1e-4, 0.05] = 4e-3,
    }
}

/// Share of the reference pressure over which the lips begin to part (smoothing).
const ONSET: f64 = 0.05;
/// Length of a slender split over its opening (own choice; lips part in proportion to the
/// length, `anderson2017` ch. 2).
const SLENDER: f64 = 30.0;
/// Thickness of a hose's wall, m (own choice).
const WALL: f64 = 4e-3;

impl<P: Scalar> Split<P> {
    /// Mean opening, m, at `outward` pressure, Pa: b over a.
    ///
    /// `closed + (reference - closed) (1+δ) x²/(x+δ)`, x the share of the reference
    /// pressure: 0 slope at 0, then a straight line. Crack opening in proportion to
    /// pressure: linear elastic fracture mechanics, `anderson2017` ch. 2.
    pub fn opening<S: Over<P>>(&self, outward: S) -> S {
        let growth = (self.reference_opening - self.closed_opening).max(P::constant(0.0));
        if outward.value() <= 0.0 {
            return S::lift(self.closed_opening);
        }
        let x = outward / self.reference_pressure;
        x * x / (x + ONSET) * (growth * (1.0 + ONSET)) + self.closed_opening
    }

    /// Flow between two gases; b is the inside.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let opening = self.opening(b.pressure - a.pressure);
        let [length, depth] = [self.length, self.depth].map(S::lift);
        let numbers = [opening, length, depth, S::constant(SQUARE_ENTRANCE)];
        Upwind::new(a, b).flow::<4, 9>(numbers, SlotLaw)
    }
}

impl<P: Scalar> Measured<P> for Split<P> {
    const MEASURE: Measure =
        Measure::gap("opening of the lips where they part most").damage();

    fn size(&self) -> P {
        self.reference_opening.max(self.closed_opening)
    }

    fn sized(self, size: P) -> Self {
        let (open, closed) = (self.reference_opening, self.closed_opening);
        let share = |part: P, whole: P| match whole.value() > 0.0 {
            true => part / whole * size,
            false => P::constant(0.0),
        };
        let (reference_opening, closed_opening) = match open.value() >= closed.value() {
            true => (size, share(closed, open)),
            false => (share(open, closed), size),
        };
        Self {
            reference_opening,
            closed_opening,
            ..self
        }
    }

    fn area(&self, outward: P) -> Option<P> {
        Some(self.opening(outward) * self.length)
    }
}

impl<P: Scalar> Shape<P> {
    /// A split of a hose that is shut without pressure, and at `pressure` inside, Pa, as large as
    /// a round hole of `diameter`, m; its length grows with its opening.
    pub fn slender_split(diameter: P, pressure: f64) -> Self {
        let opening = diameter * (PI / 4.0 / SLENDER).sqrt();
        Shape::Split(Split {
            length: opening * SLENDER,
            reference_opening: opening,
            reference_pressure: P::constant(pressure),
            closed_opening: P::constant(0.0),
            depth: P::constant(WALL),
        })
    }
}

impl Split {
    /// How the gas moves through it.
    pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
        let opening = self.opening(b.pressure - a.pressure);
        strip(
            &across(a, b),
            opening,
            self.length,
            self.depth,
            SQUARE_ENTRANCE,
        )
        .regime()
    }
}
