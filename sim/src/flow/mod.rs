//! Flow elements: pure functions of the gas on their two sides.

use crate::medium::GasState;
use crate::scalar::Scalar;

/// What passes through a flow element between sides a and b.
#[derive(Clone, Copy, Debug)]
pub struct Flow<S> {
    /// kg/s, positive from a to b.
    pub mass: S,
    /// Share of side a in the properties carried: 1 when flowing a to b, 0 when
    /// flowing b to a, smooth between within the element's laminar band.
    pub from_a: S,
}

impl<S: Scalar> Flow<S> {
    /// Nothing passes.
    pub fn none() -> Self {
        Self { mass: S::constant(0.0), from_a: S::constant(0.5) }
    }

    /// Enthalpy carried, W, positive from a to b.
    pub fn enthalpy(&self, a: &GasState<S>, b: &GasState<S>) -> S {
        self.mass * (b.enthalpy + self.from_a * (a.enthalpy - b.enthalpy))
    }

    /// Fuel-derived mass carried, kg/s, positive from a to b.
    pub fn fuel(&self, a: &GasState<S>, b: &GasState<S>) -> S {
        self.mass * (b.fuel_fraction + self.from_a * (a.fuel_fraction - b.fuel_fraction))
    }
}
