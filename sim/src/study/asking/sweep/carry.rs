//! A first guess for one car and day from the steady point of another.
//!
//! What makes an engine's state useless elsewhere is the atmosphere: the filter's
//! pressure loss is a hundredth of a day's change of pressure. So every pressure is
//! carried over in its ratio to the atmosphere, and the fresh gas as much warmer as the
//! air; flows, speeds and openings stay.

use crate::network::Network;
use crate::network::layout::{Node, VOLUME_NODES, state};
use crate::solve::State;

/// The state `x` of `from`, as a guess for `to`.
pub fn carried(from: &Network<f64>, to: &Network<f64>, x: &State) -> State {
    let mut guess = *x;
    let (before, now) = (&from.ambient, &to.ambient);
    let ratio = now.pressure / before.pressure;
    let warmer = now.temperature - before.temperature;
    let (old, new) = (from.volume_sizes(), to.volume_sizes());
    for (v, node) in VOLUME_NODES.into_iter().enumerate() {
        let i = 3 * v;
        let gas = (from.medium).state_in_volume(old[v], x[i], x[i + 1], x[i + 2]);
        let burned = matches!(node, Node::Exhaust | Node::Downpipe | Node::Crankcase);
        let temperature = gas.temperature + if burned { 0.0 } else { warmer };
        let share = gas.fuel_fraction;
        let mass = gas.pressure * ratio * new[v] / (to.medium.gas_constant(share) * temperature);
        guess[i] = mass;
        guess[i + 1] = mass * to.medium.internal_energy(temperature, share);
        guess[i + 2] = mass * share;
    }
    // Signal lines hold air at the temperature of the atmosphere.
    let cooler = ratio * before.temperature / now.temperature;
    let lines = |network: &Network<f64>| {
        let v = &network.vehicle;
        [
            v.wastegate.signal_volume,
            v.recirculation_valve.signal_volume,
        ]
    };
    let (old, new) = (lines(from), lines(to));
    for (line, i) in [state::CAPSULE, state::CHAMBER].into_iter().enumerate() {
        guess[i] *= cooler * new[line] / old[line];
    }
    guess
}
