//! One-dimensional isentropic flow of a perfect gas.
//!
//! Source: `naca1135` (equations 43 to 46, 80 and chart relations), from memory;
//! valid for constant gamma above 1 and below 1.67.

use super::upwind::LAMINAR_BAND;
use crate::scalar::Scalar;

/// T/T0 at a Mach number (>= 0): `1/(1 + (γ-1)/2 M²)`.
pub fn temperature_ratio<S: Scalar>(mach: S, gamma: S) -> S {
    ((gamma - 1.0) * 0.5 * mach * mach + 1.0).recip()
}

/// p/p0 at a Mach number (>= 0): `(T/T0)^(γ/(γ-1))`.
pub fn pressure_ratio<S: Scalar>(mach: S, gamma: S) -> S {
    temperature_ratio(mach, gamma).pow(gamma / (gamma - 1.0))
}

/// A/A*, area over sonic area, at a Mach number (> 0).
pub fn area_ratio<S: Scalar>(mach: S, gamma: S) -> S {
    let relative = temperature_ratio(mach, gamma).recip() * 2.0 / (gamma + 1.0);
    relative.pow((gamma + 1.0) / (gamma - 1.0) * 0.5) / mach
}

/// Pressure ratio at which a nozzle chokes: `(2/(γ+1))^(γ/(γ-1))`.
pub fn critical_pressure_ratio<S: Scalar>(gamma: S) -> S {
    ((gamma + 1.0).recip() * 2.0).pow(gamma / (gamma - 1.0))
}

/// ψ*², square of the flow function when choked: `γ (2/(γ+1))^((γ+1)/(γ-1))`.
#[inline]
pub fn choked_function_squared<S: Scalar>(gamma: S) -> S {
    gamma * ((gamma + 1.0).recip() * 2.0).pow((gamma + 1.0) / (gamma - 1.0))
}

/// Flow function `ψ = ṁ sqrt(R T0)/(A p0)` of a nozzle at the pressure ratio
/// r = p_down/p0 (0 to 1): exact, and constant below the critical ratio.
///
/// Its slope in r grows without bound towards r = 1; the elements of the network
/// therefore leave it within [`LAMINAR_BAND`] of 1.
pub fn flow_function<S: Scalar>(pressure_ratio: S, gamma: S) -> S {
    flow_function_squared(pressure_ratio, gamma).sqrt()
}

/// dψ/dr, the slope of [`flow_function`]; 0 when choked.
pub fn flow_function_slope(pressure_ratio: f64, gamma: f64) -> f64 {
    use crate::dual::Dual;
    let r = Dual::<1>::variable(pressure_ratio, 0);
    flow_function(r, Dual::constant(gamma)).slope[0]
}

/// ψ², finite in slope everywhere: `2γ/(γ-1) (r^(2/γ) - r^((γ+1)/γ))`.
#[inline]
pub fn flow_function_squared<S: Scalar>(pressure_ratio: S, gamma: S) -> S {
    let drop = -pressure_ratio + 1.0;
    if drop.value() < LAMINAR_BAND {
        return drop * incipient(drop, gamma);
    }
    if is_choked(pressure_ratio.value(), gamma.value()) {
        return choked_function_squared(gamma);
    }
    let e = (pressure_ratio.ln() / gamma).exp();
    gamma * 2.0 / (gamma - 1.0) * e * (e - pressure_ratio)
}

/// Whether a nozzle is choked at this pressure ratio.
#[inline]
pub fn is_choked(pressure_ratio: f64, gamma: f64) -> bool {
    // The critical ratio lies between 0.48 and 0.61 for every gas.
    pressure_ratio < 0.61
        && (pressure_ratio < 0.48 || pressure_ratio <= critical_pressure_ratio(gamma))
}

/// ψ²/(1-r) for a small drop 1-r: the first three terms of its power series,
/// within 1e-12 at the edge of the laminar band, where the difference of two
/// powers would lose digits.
#[inline]
pub(super) fn incipient<S: Scalar>(drop: S, gamma: S) -> S {
    let q = gamma.recip();
    q * drop * ((q * 7.0 - 5.0) * drop / 3.0 - 3.0) + 2.0
}
