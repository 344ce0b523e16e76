//! Leak shapes as flow elements: what must hold for every element between any
//! two states, closed forms for each shape, and how shapes are read.

mod closed_forms;
mod elements;
#[path = "../published/random.rs"]
mod random;
mod reading;
mod sizes;

use sim::Scalar;
use sim::medium::GasState;

const AMBIENT: f64 = 101_325.0;

fn gas<S: Scalar>(numbers: [S; 4]) -> GasState<S> {
    let [pressure, temperature, gas_constant, gamma] = numbers;
    GasState {
        pressure,
        temperature,
        fuel_fraction: S::constant(0.0),
        gas_constant,
        gamma,
        enthalpy: temperature * 1005.0,
    }
}

fn air(pressure: f64, temperature: f64) -> GasState<f64> {
    gas([pressure, temperature, 287.05, 1.4])
}

fn sides<S: Scalar>(n: [S; 8]) -> [GasState<S>; 2] {
    [gas([n[0], n[1], n[2], n[3]]), gas([n[4], n[5], n[6], n[7]])]
}
