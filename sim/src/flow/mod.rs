//! Flow elements: pure functions of the gas on their two sides.

pub mod duct;
pub mod fanno;
pub mod friction;
pub mod gap;
pub mod isentropic;
pub mod orifice;
pub mod standards;
pub mod upwind;

use crate::medium::GasState;
use crate::scalar::Scalar;
use crate::words;

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
        Self {
            mass: S::constant(0.0),
            from_a: S::constant(0.5),
        }
    }

    /// Enthalpy carried, W, positive from a to b.
    pub fn enthalpy(&self, a: &GasState<S>, b: &GasState<S>) -> S {
        self.carried(&a.enthalpy, &b.enthalpy)
    }

    /// Fuel-derived mass carried, kg/s, positive from a to b.
    pub fn fuel(&self, a: &GasState<S>, b: &GasState<S>) -> S {
        self.carried(&a.fuel_fraction, &b.fuel_fraction)
    }

    /// Outside the narrow band where the flow turns, one side alone is carried
    /// (the share's slope is 0 there too): most flows, at a third of the cost.
    fn carried(&self, a: &S, b: &S) -> S {
        let share = self.from_a.value();
        if share == 1.0 {
            self.mass * *a
        } else if share == 0.0 {
            self.mass * *b
        } else {
            self.mass * (*b + self.from_a * (*a - *b))
        }
    }
}

words! {
    /// How the gas moves through an opening.
    pub enum Regime {
        /// Held back by viscosity: Reynolds number below 2000, or a hole with next to no pressure difference.
        Laminar = "laminar",
        /// Between the two: Reynolds number 2000 to 4000.
        Transitional = "transitional",
        /// Turbulent: held back by inertia, below the speed of sound.
        Turbulent = "turbulent",
        /// At the speed of sound in the narrowest place: a lower outlet pressure draws no more.
        Choked = "choked",
    }
}
