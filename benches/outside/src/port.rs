//! What the Python side needs: the numbers of the equations, and rates at random
//! states to check its port by.

use crate::drive::{Drive, Piece, Run};
use serde_json::{Map, Value, json};
use sim::control::SpeedMode;
use sim::network::Network;
use sim::network::layout::{STATES, state};
use sim::solve::{State, rates};

/// The command of a network whose speed is held.
pub fn command_of(network: &Network<f64>) -> Value {
    let SpeedMode::Held(speed) = network.command.speed else {
        unreachable!("held speeds only")
    };
    json!({
        "speed": speed,
        "gear": network.command.gear,
        "pedal": network.command.pedal,
        "pedal_rate": network.command.pedal_rate,
    })
}

/// The drive's pieces.
pub fn pieces(drive: &Drive) -> Value {
    let piece = |piece: &Piece| json!({ "from": piece.from, "times": piece.times, "command": command_of(&piece.network) });
    drive.pieces.iter().map(piece).collect()
}

/// A state some way off `near`, so that every branch of the equations is met.
fn random_state(mut x: State, number: usize, random: &mut impl FnMut() -> f64) -> State {
    for k in 0..STATES {
        x[k] *= 1.0 + 0.2 * (random() - 0.5);
    }
    for k in [state::PEDAL, state::WASTEGATE, state::RECIRCULATION] {
        x[k] = random();
    }
    let memories = [state::TRIM, state::IDLE_TRIM, state::PART_TRIM, state::DUTY];
    for k in memories {
        x[k] = 0.6 * (random() - 0.5);
    }
    x[state::ENGINE] = 60.0 + 500.0 * random();
    x[state::OXYGEN] = 0.7 + 1.3 * random();
    x[state::ARRIVED] = x[state::OXYGEN];
    if number.is_multiple_of(5) {
        x[state::COMPRESSOR_FLOW] *= -0.3;
    }
    x
}

/// The numbers of the equations, and rates at a thousand states.
pub fn export(drive: &Drive, reference: &Run) -> Value {
    let network = &drive.pieces[0].network;
    let mut parameters = Map::new();
    let _: Network<f64> = network.map(&mut |key, value| {
        parameters.insert(key.to_owned(), json!(value));
        value
    });
    let gas = network.evaluate(&drive.start.data.0[0]).gases.ambient;
    let mut seed = 1_u64;
    let mut random = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut check = |number: usize| {
        let near = reference.outputs[(number * 7) % reference.outputs.len()];
        let x = random_state(near, number, &mut random);
        let network = &drive.pieces[number % drive.pieces.len()].network;
        json!({
            "state": x.as_slice(),
            "command": command_of(network),
            "rates": rates(network, &x).states.to_vec(),
        })
    };
    json!({
        "parameters": parameters,
        // The gas's polynomials are not public: their printed form is exact.
        "medium": format!("{:?}", network.medium),
        "ambient_gas": {
            "p": gas.pressure, "t": gas.temperature, "f": gas.fuel_fraction,
            "r": gas.gas_constant, "g": gas.gamma, "h": gas.enthalpy,
        },
        "checks": (0..1000).map(&mut check).collect::<Vec<_>>(),
    })
}
