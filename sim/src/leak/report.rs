//! What a leak amounts to, in words a workshop uses.

use super::Shape;
use crate::flow::Regime;
use crate::flow::orifice::{Discharge, orifice};
use crate::medium::GasState;

/// A leak between two states of the gas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Report {
    /// kg/s, positive inwards (a to b).
    pub mass_flow: f64,
    /// Diameter, m, of the sharp-edged round hole that passes as much between the
    /// same states; 0 when nothing flows.
    pub equivalent_hole: f64,
    /// How the gas moves through it.
    pub regime: Regime,
}

impl Shape {
    /// What flows between two gases, and as what.
    pub fn report(&self, a: &GasState<f64>, b: &GasState<f64>) -> Report {
        let mass_flow = self.flow(a, b).mass;
        Report {
            mass_flow,
            equivalent_hole: equivalent_hole(mass_flow, a, b),
            regime: self.regime(a, b),
        }
    }
}

/// Diameter, m, of the sharp-edged round hole (`perry1949`) that passes `mass_flow`,
/// kg/s, between two gases; 0 when nothing can flow.
///
/// # Examples
/// ```
/// use sim::{Shape, equivalent_hole, workshop::AIR};
/// let [outside, boost] = [101e3, 181e3].map(|pressure| AIR.state(pressure, 293.15));
/// let flow = Shape::hole(3e-3).flow(&outside, &boost).mass;
/// assert!(flow < 0.0); // Out of the pipe.
/// assert!((equivalent_hole(flow, &outside, &boost) - 3e-3).abs() < 1e-12);
/// ```
pub fn equivalent_hole(mass_flow: f64, a: &GasState<f64>, b: &GasState<f64>) -> f64 {
    let flux = orifice(1.0, Discharge::SharpEdged, a, b).mass;
    if flux == 0.0 {
        return 0.0;
    }
    (mass_flow / flux * 4.0 / std::f64::consts::PI)
        .max(0.0)
        .sqrt()
}
