//! A drilled or worn-through hole in a thin wall.

use super::Shape;
use super::measured::{Measure, Measured, circle};
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::orifice::{Discharge, orifice, self};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};

quantities! {
    /// Round hole with a sharp edge (`perry1949`).
    pub struct RoundHole {
        /// Diameter of the hole.
        diameter: Length [0.0, 0.1],
    }
}

impl<P: Scalar> RoundHole<P> {
    /// Flow between two gases.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let area = self.diameter * self.diameter * (std::f64::consts::PI / 4.0);
        orifice(S::lift(area), Discharge::SharpEdged, a, b)
    }
}

impl<P: Scalar> Measured<P> for RoundHole<P> {
    const MEASURE: Measure = Measure::bore("hole diameter");

    fn size(&self) -> P {
        self.diameter
    }

    fn sized(self, diameter: P) -> Self {
        Self { diameter }
    }

    fn area(&self, _outward: P) -> Option<P> {
        Some(circle(self.diameter))
    }
}

impl<P: Scalar> Shape<P> {
    /// The round hole that others are compared with; its diameter, m.
    pub fn hole(diameter: P) -> Self {
        Shape::RoundHole(RoundHole { diameter })
    }
}

impl RoundHole {
    /// How the gas moves through it.
    pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
        orifice::regime(a, b)
    }
}
