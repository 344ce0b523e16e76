//! Heat between the wall of a standing vessel and the gas in it.

use crate::constants::STANDARD_GRAVITY;
use crate::medium::GasState;
use crate::scalar::Scalar;

/// Prandtl number of air, within 3 % from 250 to 400 K (incropera2007 table A.4).
const PRANDTL: f64 = 0.71;

/// Rounds the dependence on the temperature difference at zero, K.
const STILL: f64 = 1e-3;

/// Heat transfer coefficient, W/(m² K), inside a vessel that empties:
/// `Nu = 0.104 Ra^0.352`, both on the vessel's `diameter`, m, and at the film temperature.
///
/// Source: woodfield2007, measured while nitrogen, argon and hydrogen left a
/// vessel; while gas enters, its jet stirs more than this says. `wall` in K.
/// Air, Rayleigh number about 1e7 to 1e11.
pub fn natural_convection<S: Scalar>(gas: &GasState<S>, wall: S, diameter: f64) -> S {
    let film = GasState {
        temperature: (gas.temperature + wall) * 0.5,
        ..*gas
    };
    let difference = gas.temperature - wall;
    let difference = (difference * difference + STILL * STILL).sqrt();
    let viscosity = film.viscosity();
    let conductivity = viscosity * film.cp() / PRANDTL;
    let momentum = viscosity / film.density();
    let buoyancy = difference * STANDARD_GRAVITY / film.temperature;
    let rayleigh = buoyancy * (PRANDTL * diameter.powi(3)) / (momentum * momentum);
    conductivity * rayleigh.powf(0.352) * (0.104 / diameter)
}
