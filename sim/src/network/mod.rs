//! The air path as a network: places joined by flow elements, their balances
//! and the air ledger.
//!
//! [`Network::evaluate`] is the one right-hand side. Steady solver, integrator,
//! exact Jacobian and readings all call it; they differ in the scalar only.

mod balance;
mod gas;
pub mod layout;
pub mod places;
pub mod readings;
mod start;
mod streams;
mod vehicle;

pub use balance::Rates;
pub use gas::Gases;
pub use places::{Leak, Place};
pub use readings::{AirLedger, Reading, Readings};
pub use streams::{LeakFlow, MOST_LEAKS, Streams};
pub use vehicle::{RecirculationOutlet, Vehicle};

use crate::control::Command;
use crate::medium::{GasState, Medium};
use crate::scalar::{Over, Scalar};
use layout::{Node, STATES};

/// The air around the car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ambient {
    /// Pa absolute.
    pub pressure: f64,
    /// K.
    pub temperature: f64,
    /// Moles of water vapour per mole of air.
    pub water_mole_fraction: f64,
}

/// A car, its leaks, the air around it, and what driver and brake ask of it.
#[derive(Clone, Debug)]
pub struct Network<P: Scalar> {
    /// The car.
    pub vehicle: Vehicle<P>,
    /// Its leaks.
    pub leaks: Vec<Leak<P>>,
    /// Air and burned gas.
    pub medium: Medium,
    /// Around it.
    pub ambient: Ambient,
    /// What is asked of it.
    pub command: Command,
    ambient_gas: GasState<f64>,
}

/// Everything at one moment: gases, streams, rates.
#[derive(Clone, Debug)]
pub struct Moment<S> {
    /// Gas at every node.
    pub gases: Gases<S>,
    /// What passes between them.
    pub streams: Streams<S>,
    /// Rates of states and ledger.
    pub rates: Rates<S>,
}

impl Network<f64> {
    /// A car in its surroundings.
    pub fn new(
        vehicle: Vehicle<f64>,
        leaks: Vec<Leak<f64>>,
        ambient: Ambient,
        command: Command,
    ) -> Self {
        let medium = Medium::new(&vehicle.fuel, ambient.water_mole_fraction);
        let ambient_gas = medium.state(ambient.pressure, ambient.temperature, 0.0);
        Self {
            vehicle,
            leaks,
            medium,
            ambient,
            command,
            ambient_gas,
        }
    }

    /// The same car without its leaks.
    pub fn healthy(&self) -> Self {
        Self {
            leaks: Vec::new(),
            ..self.clone()
        }
    }

    /// The same car with other orders.
    pub fn with(&self, command: Command) -> Self {
        Self {
            command,
            ..self.clone()
        }
    }
}

impl<P: Scalar> Network<P> {
    /// The same network in another scalar; `each` sees every parameter's dotted
    /// key (`turbine.throat_area`, `leak.0.round_hole.diameter`) and value.
    pub fn map<Q: Scalar>(&self, each: &mut dyn FnMut(&str, P) -> Q) -> Network<Q> {
        let leaks = self.leaks.iter().enumerate().map(|(i, leak)| Leak {
            place: leak.place,
            shape: leak.shape.map(&mut |key, value| {
                each(&format!("leak.{i}.{}.{key}", leak.shape.name()), value)
            }),
        });
        Network {
            leaks: leaks.collect(),
            vehicle: self.vehicle.map(each),
            medium: self.medium.clone(),
            ambient: self.ambient,
            command: self.command,
            ambient_gas: self.ambient_gas,
        }
    }

    /// Where the recirculation valve lets the air go.
    pub fn valve_outlet(&self) -> Node {
        match self.vehicle.recirculation_outlet {
            RecirculationOutlet::InletDuct => Node::Inlet,
            RecirculationOutlet::Atmosphere => Node::Ambient,
        }
    }

    /// Gases, streams and rates at state `x`.
    pub fn evaluate<S: Over<P>>(&self, x: &[S; STATES]) -> Moment<S> {
        let gases = self.gases(x);
        let streams = self.streams(x, &gases);
        let rates = self.rates(x, &gases, &streams);
        Moment {
            gases,
            streams,
            rates,
        }
    }

    /// Rates of states and ledger at state `x`: [`evaluate`](Self::evaluate)
    /// without moving the rest about, for the solvers.
    pub fn rates_at<S: Over<P>>(&self, x: &[S; STATES]) -> Rates<S> {
        let gases = self.gases(x);
        let streams = self.streams(x, &gases);
        self.rates(x, &gases, &streams)
    }
}
