//! The gas at every node, from the states.

use super::Network;
use super::layout::{Node, VOLUMES, state};
use crate::medium::GasState;
use crate::scalar::{Over, Scalar};

/// Gas at every node at one moment.
#[derive(Clone, Copy, Debug)]
pub struct Gases<S> {
    /// The volumes, in the order of [`VOLUME_NODES`](super::layout::VOLUME_NODES).
    pub volumes: [GasState<S>; VOLUMES],
    /// Wastegate signal line.
    pub capsule: GasState<S>,
    /// Chamber of the compressor bypass valve.
    pub chamber: GasState<S>,
    /// Compressor inlet.
    pub union: GasState<S>,
    /// Atmosphere.
    pub ambient: GasState<S>,
}

impl<S: Scalar> Gases<S> {
    /// Gas at `node`.
    pub fn at(&self, node: Node) -> &GasState<S> {
        match node {
            Node::Capsule => &self.capsule,
            Node::Chamber => &self.chamber,
            Node::Union => &self.union,
            Node::Ambient => &self.ambient,
            volume => &self.volumes[volume as usize],
        }
    }
}

impl<P: Scalar> Network<P> {
    /// Volume of each of the seven volumes, m³.
    pub fn volume_sizes(&self) -> [P; VOLUMES] {
        let v = &self.vehicle;
        [
            v.inlet_duct.volume,
            v.hot_pipe.volume,
            v.cold_pipe.volume,
            v.manifold.volume,
            v.crankcase.volume,
            v.exhaust_manifold.volume,
            v.downpipe.volume,
        ]
    }

    pub(super) fn gases<S: Over<P>>(&self, x: &[S]) -> Gases<S> {
        let sizes = self.volume_sizes();
        let volumes = std::array::from_fn(|v| {
            self.medium
                .state_in_volume(sizes[v], x[3 * v], x[3 * v + 1], x[3 * v + 2])
        });
        let ambient = lift(&self.ambient_gas);
        let capsule = self.signal_gas(
            &ambient,
            x[state::CAPSULE],
            self.vehicle.wastegate.signal_volume,
        );
        let chamber = self.signal_gas(
            &ambient,
            x[state::CHAMBER],
            self.vehicle.recirculation_valve.signal_volume,
        );
        let union = (self.vehicle.inlet_duct)
            .union_gas(&volumes[Node::Inlet as usize], x[state::COMPRESSOR_FLOW]);
        Gases {
            volumes,
            capsule,
            chamber,
            union,
            ambient,
        }
    }

    /// A signal line: air at wall temperature, so that mass alone gives pressure.
    fn signal_gas<S: Over<P>>(&self, ambient: &GasState<S>, mass: S, volume: P) -> GasState<S> {
        let pressure = mass * ambient.gas_constant * ambient.temperature / volume;
        GasState {
            pressure,
            ..*ambient
        }
    }
}

/// Constant gas in another scalar.
fn lift<S: Scalar>(gas: &GasState<f64>) -> GasState<S> {
    GasState {
        pressure: S::constant(gas.pressure),
        temperature: S::constant(gas.temperature),
        fuel_fraction: S::constant(gas.fuel_fraction),
        gas_constant: S::constant(gas.gas_constant),
        gamma: S::constant(gas.gamma),
        enthalpy: S::constant(gas.enthalpy),
    }
}

impl Network<f64> {
    /// Internal energy of a kilogram of gas in the signal lines, J/kg.
    pub fn signal_energy(&self) -> f64 {
        let air = &self.ambient_gas;
        air.enthalpy - air.gas_constant * air.temperature
    }
}
