//! Air, burned gas, their mixtures, and the atmosphere.
//!
//! A mixture is described by its **fuel fraction** F: the mass of fuel-derived
//! atoms per mass of gas (0 in air, 1/(1+A/F) in stoichiometric burned gas). F
//! is conserved by mixing, so one number carries the composition through the
//! whole network: lambda = (1-F)/(F A/F_stoich).

use crate::scalar::Scalar;

/// The gas of one scenario: ambient air (with its humidity) and the burned gas
/// that the chosen fuel makes with it.
#[derive(Clone, Debug)]
pub struct Medium {}

/// Gas at one place.
#[derive(Clone, Copy, Debug)]
pub struct GasState<S> {
    /// Pa, absolute.
    pub pressure: S,
    /// K.
    pub temperature: S,
    /// Fuel fraction F, kg of fuel-derived mass per kg of gas.
    pub fuel_fraction: S,
    /// Specific gas constant, J/(kg K).
    pub gas_constant: S,
    /// Ratio of specific heats.
    pub gamma: S,
    /// Absolute specific enthalpy (heats of formation included), J/kg.
    pub enthalpy: S,
}

impl<S: Scalar> GasState<S> {
    /// kg/m³.
    pub fn density(&self) -> S {
        self.pressure / (self.gas_constant * self.temperature)
    }
}
