//! A hose off its stub, or a plug left out: the whole bore is open.

use super::measured::{Measure, Measured, circle};
use crate::quantities;
use crate::flow::{Flow, Regime};
use crate::flow::orifice::{Discharge, orifice, self};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};

quantities! {
    /// Open stub. The coefficient is that of a short tube with a square inner edge, measured by
    /// Weisbach at 0.81 to 0.84 (`britannica1911`, "Hydraulics" paragraph 63).
    pub struct HoseOff {
        /// Bore of the open stub.
        bore: Length [0.0, 0.15],
        /// Discharge coefficient: 0.82 with a square inner edge, 0.92 with a rounded one.
        discharge_coefficient: Ratio [0.4, 1.0] = 0.82,
    }
}

impl<P: Scalar> HoseOff<P> {
    /// Flow between two gases.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let bore = self.bore * self.bore * (std::f64::consts::PI / 4.0);
        orifice(
            S::lift(bore * self.discharge_coefficient),
            Discharge::Constant(1.0),
            a,
            b,
        )
    }
}

impl<P: Scalar> Measured<P> for HoseOff<P> {
    const MEASURE: Measure = Measure::bore("bore of the open stub").damage();

    fn size(&self) -> P {
        self.bore
    }

    fn sized(self, bore: P) -> Self {
        Self { bore, ..self }
    }

    fn area(&self, _outward: P) -> Option<P> {
        Some(circle(self.bore))
    }
}

impl HoseOff {
    /// How the gas moves through it.
    pub fn regime(&self, a: &GasState<f64>, b: &GasState<f64>) -> Regime {
        orifice::regime(a, b)
    }
}
