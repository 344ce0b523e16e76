//! Heat between the wall of a standing vessel and the gas in it.

use crate::constants::STANDARD_GRAVITY;
use crate::medium::GasState;
use crate::scalar::Scalar;

/// Prandtl number of air, within 3 % from 250 to 400 K (incropera2007 table A.4).
const PRANDTL: f64 = 0.71;

/// Rounds the dependence on the temperature difference at zero, K.
const STILL: f64 = 1e-3;

/// Heat transfer coefficient, W/(m² K), inside a vessel that empties or fills:
/// `Nu = 0.56 Re^0.67 + 0.104 Ra^0.352`, all on the vessel's `diameter`, m, and at the film
/// temperature; Re = `4 ṁ/(π D μ)` of the gas that enters, kg/s, 0 while it leaves.
///
/// Source: woodfield2007, measured on vessels filled with and emptied of nitrogen, argon and
/// hydrogen. There Re is that of the inlet's bore; with it a jet from a hole a
/// seventieth of the vessel wide would stir it eighteen times as much as measured (own choice:
/// the bore of the vessel, checked on one measured vacuum filling, `tests/published/vessel.rs`).
/// `wall` in K. Air, Rayleigh number about 1e7 to 1e11, Re about 1e2 to 1e4.
pub fn convection<S: Scalar>(gas: &GasState<S>, wall: S, diameter: f64, entering: S) -> S {
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
    let stirred = if entering.value() > 0.0 {
        let reynolds = entering / viscosity * (4.0 / (std::f64::consts::PI * diameter));
        reynolds.powf(0.67) * 0.56
    } else {
        S::constant(0.0)
    };
    conductivity * (rayleigh.powf(0.352) * 0.104 + stirred) / diameter
}
