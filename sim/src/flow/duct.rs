//! Pressure loss of ducts, filters, coolers, catalysts and silencers.

use super::Flow;
use crate::medium::GasState;
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::step;

/// Gas constant of dry air, J/(kg K), for the density at reference conditions.
/// Source: `iso2533`.
const AIR_GAS_CONSTANT: f64 = 287.052_87;

/// The properties carried are blended below this share of the reference flow.
const BLEND_BAND: f64 = 5e-3;

/// Added to the laminar share, so that the slope at zero flow stays finite
/// even for a duct stated to have no laminar part.
const LEAST_LAMINAR_SHARE: f64 = 1e-7;

quantities! {
    /// Loss of a flow passage, stated at one flow of air.
    ///
    /// `Δp = (R₁ μ ṁ + k ṁ|ṁ|)/ρ`: viscous and inertial part, both greater in thinner gas.
    pub struct DuctLoss {
        /// Pressure loss at the reference flow.
        reference_loss: PressureDifference [1.0, 1e5],
        /// Flow at which the loss is stated.
        reference_flow: MassFlow [1e-4, 5.0],
        /// Mean pressure in the passage when the loss was stated.
        reference_pressure: AbsolutePressure [2e4, 5e5] = 101_325.0,
        /// Mean temperature in the passage when the loss was stated.
        reference_temperature: Temperature [223.15, 1373.15] = 293.15,
        /// Share of the reference flow at which the viscous part of the loss equals the other; small for
        /// a pipe, near 1 for filter paper (workshop rule of thumb, no published source).
        laminar_share: Ratio [1e-3, 1.0] = 0.05,
    }
}

impl<P: Scalar> DuctLoss<P> {
    /// Flow between two gases.
    ///
    /// Source: Forchheimer's law in `idelchik1986` ch. 8, solved for the flow:
    /// with q the share of the reference flow and s the laminar share,
    /// `q² + s (μ/μ_ref) q = (1+s) Δp ρ/(Δp_ref ρ_ref)`. Density is the mean of both
    /// sides: for gas of one temperature `Δp (ρ_a+ρ_b)/2 = (p_a²-p_b²)/(2RT)` is then the
    /// exact integral along the passage, and nothing switches when the flow turns.
    /// For losses well below the pressure itself; no choking.
    pub fn flow<S: Over<P>>(&self, a: &GasState<S>, b: &GasState<S>) -> Flow<S> {
        let share = self.laminar_share + LEAST_LAMINAR_SHARE;
        let reference = GasState {
            pressure: self.reference_pressure,
            temperature: self.reference_temperature,
            gas_constant: P::constant(AIR_GAS_CONSTANT),
            fuel_fraction: P::constant(0.0),
            gamma: P::constant(1.4),
            enthalpy: P::constant(0.0),
        };
        let unit = self.reference_loss * reference.density() * 2.0 / (share + 1.0);
        let difference = (a.pressure - b.pressure) * (a.density() + b.density()) / unit;
        let mean = GasState {
            temperature: (a.temperature + b.temperature) * 0.5,
            ..*a
        };
        let viscous = mean.viscosity() * (share / reference.viscosity());
        let root = (viscous * viscous + difference.abs() * 4.0).sqrt();
        let relative = difference * 2.0 / (viscous + root);
        Flow {
            mass: relative * self.reference_flow,
            from_a: step(relative, -BLEND_BAND, BLEND_BAND),
        }
    }
}
