//! The standard atmosphere and humid air.

use super::fuel::moist;
use super::gri_mech_3::gas_constant;
use crate::constants::{ICE_POINT, STANDARD_GRAVITY, STANDARD_PRESSURE};

/// Air of the standard atmosphere at one altitude.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StandardAir {
    /// K.
    pub temperature: f64,
    /// Pa, absolute.
    pub pressure: f64,
}

/// Standard atmosphere at a geopotential altitude, m; troposphere, -2000 to
/// 11 000 m, altitudes beyond taken as the nearer limit. Source: `iso2533`.
///
/// # Examples
/// ```
/// let air = sim::standard_air(5000.0);
/// // ISO 2533, table 1.
/// assert!((air.temperature - 255.65).abs() < 1e-9);
/// assert!((air.pressure - 54_019.9).abs() < 1.0);
/// ```
pub fn standard_air(altitude: f64) -> StandardAir {
    /// K and K/m, sea level and lapse.
    const SEA_LEVEL: f64 = 288.15;
    const LAPSE: f64 = -6.5e-3;
    /// J/(kg K).
    const GAS_CONSTANT: f64 = 287.052_87;
    let temperature = SEA_LEVEL + LAPSE * altitude.clamp(-2000.0, 11_000.0);
    let exponent = -STANDARD_GRAVITY / (LAPSE * GAS_CONSTANT);
    StandardAir {
        temperature,
        pressure: STANDARD_PRESSURE * (temperature / SEA_LEVEL).powf(exponent),
    }
}

/// Air with its water vapour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HumidAir {
    /// Moles of water vapour per mole of air.
    pub water_mole_fraction: f64,
    /// Specific gas constant, J/(kg K).
    pub gas_constant: f64,
    /// kg/m³, with the compressibility of real air.
    pub density: f64,
}

/// Saturation pressure of water vapour over liquid water, Pa, at a temperature in K.
///
/// Source: `picard2008` eq. A1.1, made for 288 to 300 K; against IAPWS-95 within
/// 0.01 % from 273 to 333 K.
pub fn saturation_pressure(temperature: f64) -> f64 {
    let t = temperature;
    (1.237_884_7e-5 * t * t - 1.912_131_6e-2 * t + 33.937_110_47 - 6.343_164_5e3 / t).exp()
}

/// Humid air at a pressure (Pa abs), temperature (K) and relative humidity (0 to 1).
///
/// Source: `picard2008` (CIPM-2007), coefficients from memory, made for 60 to
/// 110 kPa and 288 to 300 K. Against a virial equation of humid air the density
/// is within 0.02 % from 253 to 323 K. Below 273 K humidity counts over
/// supercooled water, not ice. The mole fraction is held below 0.5.
///
/// # Examples
/// ```
/// let [dry, humid] = [0.0, 1.0].map(|humidity| sim::humid_air(101_325.0, 293.15, humidity));
/// // CIPM-2007: 1.2045 kg/m³ dry, 20 °C. Water is lighter than air.
/// assert!((dry.density - 1.2045).abs() < 2e-4);
/// assert!(humid.density < dry.density);
/// ```
pub fn humid_air(pressure: f64, temperature: f64, relative_humidity: f64) -> HumidAir {
    let (p, t) = (pressure, temperature - ICE_POINT);
    // Vapour over air saturates a little above its pressure over a vacuum.
    let enhancement = 1.000_62 + 3.14e-8 * p + 5.6e-7 * t * t;
    let vapour = relative_humidity * enhancement * saturation_pressure(temperature);
    let x = (vapour / p).clamp(0.0, 0.5);
    let first = 1.581_23e-6 - 2.933_1e-8 * t
        + 1.104_3e-10 * t * t
        + (5.707e-6 - 2.051e-8 * t) * x
        + (1.989_8e-4 - 2.376e-6 * t) * x * x;
    let second = 1.83e-11 - 0.765e-8 * x * x;
    let over = p / temperature;
    let compressibility = 1.0 - over * first + over * over * second;
    let gas_constant = gas_constant(&moist(x));
    HumidAir {
        water_mole_fraction: x,
        gas_constant,
        density: p / (compressibility * gas_constant * temperature),
    }
}
