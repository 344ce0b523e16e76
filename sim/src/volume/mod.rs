//! Lumped volumes and the streams that pass between them.
//!
//! A volume's state is its mass, internal energy and fuel-derived mass; what
//! passes between two volumes is taken from one and given to the other, so
//! conservation does not depend on what an element computes.

use crate::flow::Flow;
use crate::medium::GasState;
use crate::scalar::Scalar;
use crate::{quantities, scalar::Over};

quantities! {
    /// A pipe or plenum with a wall.
    pub struct Pipe {
        /// gas volume
        volume: Volume [5e-5, 0.05],
        /// heat conductance from gas to wall
        wall_conductance: Conductance [0.0, 100.0] = 0.0,
        /// wall temperature above ambient
        wall_above_ambient: TemperatureDifference [-50.0, 700.0] = 0.0,
    }
}

quantities! {
    /// The duct between mass air flow sensor and compressor.
    pub struct InletDuct {
        /// gas volume
        volume: Volume [5e-5, 0.05],
        /// bore at the compressor inlet, where the breather union sits
        union_bore: Length [0.02, 0.15],
    }
}

quantities! {
    /// A length of exhaust.
    pub struct ExhaustPipe {
        /// gas volume
        volume: Volume [5e-5, 0.05],
        /// heat conductance from gas to surroundings
        wall_conductance: Conductance [0.0, 100.0] = 0.0,
        /// bore
        bore: Length [0.015, 0.15],
        /// pressure pulsation over that of the whole firing flow in this bore
        pulsation: Ratio [0.0, 2.0],
    }
}

impl<P: Scalar> Pipe<P> {
    /// Heat from gas to wall, W.
    pub fn wall_heat<S: Over<P>>(&self, gas: &GasState<S>, ambient: f64) -> S {
        (gas.temperature - ambient - self.wall_above_ambient) * self.wall_conductance
    }
}

impl<P: Scalar> InletDuct<P> {
    /// Static gas at the compressor inlet, where the stream of `flow` kg/s is
    /// fastest: `p − ½ρv²` (Bernoulli; Mach below 0.4, held above half the duct
    /// pressure).
    pub fn union_gas<S: Over<P>>(&self, duct: &GasState<S>, flow: S) -> GasState<S> {
        let area = self.union_bore * self.union_bore * (std::f64::consts::PI / 4.0);
        let flux = flow / area;
        let dynamic = flux * flux / (duct.density() * 2.0);
        let limit = duct.pressure * 0.5;
        let dynamic = dynamic / ((dynamic / limit).squared() + 1.0).sqrt();
        GasState {
            pressure: duct.pressure - dynamic,
            ..*duct
        }
    }
}

impl<P: Scalar> ExhaustPipe<P> {
    /// Amplitude of the firing pulsation, Pa, for a mean flow of `flow` kg/s.
    ///
    /// The flow swings by about its own mean; a travelling wave makes that a
    /// pressure swing of `a ṁ/A` (plane-wave impedance, munjal2014 ch. 2), times
    /// the share that reaches this length of pipe. Held below half the pressure.
    pub fn pulsation<S: Over<P>>(&self, gas: &GasState<S>, flow: S) -> S {
        let area = self.bore * self.bore * (std::f64::consts::PI / 4.0);
        let sound = (gas.gamma * gas.gas_constant * gas.temperature).sqrt();
        let swing = sound * flow / area * self.pulsation;
        swing / ((swing / (gas.pressure * 0.5)).squared() + 1.0).sqrt()
    }
}

/// Mass, enthalpy and fuel-derived mass passing from one place to another.
#[derive(Clone, Copy, Debug)]
pub struct Stream<S> {
    /// kg/s.
    pub mass: S,
    /// W.
    pub enthalpy: S,
    /// kg/s.
    pub fuel: S,
}

impl<S: Scalar> Stream<S> {
    /// What `flow` carries from gas `a` to gas `b`.
    pub fn of(flow: &Flow<S>, a: &GasState<S>, b: &GasState<S>) -> Self {
        Self {
            mass: flow.mass,
            enthalpy: flow.enthalpy(a, b),
            fuel: flow.fuel(a, b),
        }
    }

    /// Nothing.
    pub fn none() -> Self {
        let zero = S::constant(0.0);
        Self {
            mass: zero,
            enthalpy: zero,
            fuel: zero,
        }
    }

    /// `self + other·share`.
    pub fn plus(self, other: &Self, share: f64) -> Self {
        Self {
            mass: self.mass + other.mass * share,
            enthalpy: self.enthalpy + other.enthalpy * share,
            fuel: self.fuel + other.fuel * share,
        }
    }
}
