//! Radial turbine: swallowing like a nozzle pair, efficiency a parabola in the
//! blade-speed ratio.
//!
//! Sources: watson1982 (swallowing, blade-speed ratio), eriksson2014 (half of
//! the expansion in the nozzle: isentropic flow function at √r). Limits: fixed
//! geometry, mean-value flow (pulse energy folded into the efficiency).

use crate::flow::Flow;
use crate::flow::orifice::{Discharge, orifice};
use crate::medium::GasState;
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::positive_part;

quantities! {
    /// Turbine wheel and housing.
    pub struct Turbine {
        /// effective throat area
        throat_area: Area [2e-5, 5e-3],
        /// wheel inlet diameter
        wheel_diameter: Length [0.02, 0.15],
        /// best total-to-static efficiency, bearing loss not included
        peak_efficiency: Ratio [0.3, 0.9],
        /// blade-speed ratio of the best efficiency
        best_speed_ratio: Ratio [0.4, 0.9] = 0.65,
    }
}

/// Flow and torque of the turbine.
#[derive(Clone, Copy, Debug)]
pub struct Expansion<S> {
    /// Flow, inlet to outlet.
    pub flow: Flow<S>,
    /// Torque on the shaft, N m.
    pub torque: S,
}

impl<P: Scalar> Turbine<P> {
    /// The turbine between `inlet` and `outlet` at wheel speed `speed` (rad/s).
    pub fn expand<S: Over<P>>(
        &self,
        inlet: &GasState<S>,
        outlet: &GasState<S>,
        speed: S,
    ) -> Expansion<S> {
        // Half of the expansion (in the sense of equal ratios) falls across the nozzle.
        let throat = GasState {
            pressure: (inlet.pressure * outlet.pressure).sqrt(),
            ..*outlet
        };
        let flow = orifice(
            S::lift(self.throat_area),
            Discharge::Constant(1.0),
            inlet,
            &throat,
        );
        let cp = inlet.gas_constant * inlet.gamma / (inlet.gamma - 1.0);
        let ratio = (outlet.pressure / inlet.pressure).min(S::constant(1.0));
        let drop = expansion_drop(cp, inlet.temperature, ratio, inlet.gamma);
        // The width keeps the slope of √ finite at standstill: 200 J/kg is 0.2 K.
        let spouting = (positive_part(drop, 200.0) * 2.0).sqrt();
        // η Δh = η* (2b − b²) c²/2 with b = u/(c b*), over ω: finite where c → 0 and at standstill.
        let radius = S::lift(self.wheel_diameter * 0.5 / self.best_speed_ratio);
        let torque_per_flow = (spouting - radius * speed * 0.5) * radius * self.peak_efficiency;
        Expansion {
            flow,
            torque: positive_part(flow.mass, 1e-5) * torque_per_flow,
        }
    }
}

/// Isentropic enthalpy drop, J/kg: `cp T (1 − r^((γ−1)/γ))`, `r` = outlet over
/// inlet pressure. Perfect gas; dixon2014 ch. 8.
pub fn expansion_drop<S: Scalar>(cp: S, temperature: S, ratio: S, gamma: S) -> S {
    cp * temperature * (-(ratio.ln() * (gamma - 1.0) / gamma).exp() + 1.0)
}
