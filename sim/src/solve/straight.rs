//! A step of the states that is straight in pressure, temperature and composition.
//!
//! A volume's states are its mass, energy and fuel. A step straight in these bends its pressure:
//! mass and temperature that both change by 3 % leave a pressure off by 0.1 %, a hundred pascals
//! where an exhaust pipe stands ten pascals above the air. Newton, straight in the states, takes
//! that for a fault and cuts its steps; straight in what the flows see, it does not. To first
//! order both steps are the same.

use super::State;
use crate::dual::Dual;
use crate::network::Network;

/// A step in which no state changes by this share of itself is straight enough as it is: its
/// pressures are off by less than the square of it.
pub const SMALL: f64 = 1e-3;

/// Pressure and temperature fall at most to this share of themselves (own choice, as Newton's own
/// limit for masses).
const LEAST: f64 = 0.3;

/// The state a `share` of `step` away from `x`.
pub fn ahead(network: &Network<f64>, x: &State, step: &State, share: f64) -> State {
    let mut to = x + step * share;
    let medium = &network.medium;
    for (v, volume) in network.volume_sizes().into_iter().enumerate() {
        let i = 3 * v;
        let [mass, energy, fuel] = [i, i + 1, i + 2].map(|i| Dual::<1> {
            value: x[i],
            slope: [step[i]],
        });
        let gas = medium.state_in_volume(volume, mass, energy, fuel);
        let moved = |of: Dual<1>| of.value + share * of.slope[0];
        let [pressure, temperature] =
            [gas.pressure, gas.temperature].map(|of| moved(of).max(LEAST * of.value));
        let fraction = moved(fuel / mass).clamp(0.0, 1.0);
        let mass = pressure * volume / (medium.gas_constant(fraction) * temperature);
        to[i] = mass;
        to[i + 1] = mass * medium.internal_energy(temperature, fraction);
        to[i + 2] = mass * fraction;
    }
    to
}
