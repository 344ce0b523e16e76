//! Gas at one place.

use crate::scalar::Scalar;

/// Gas at one place.
///
/// # Examples
/// ```
/// let air = sim::workshop::AIR.state(101_325.0, 288.15);
/// // ISO 2533 at sea level: 1.225 kg/m³ and 1.7894e-5 Pa s.
/// assert!((air.density() - 1.225).abs() < 1e-3);
/// assert!((air.viscosity() - 1.7894e-5).abs() < 1e-8);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct GasState<S> {
    /// Pa, absolute.
    pub pressure: S,
    /// K.
    pub temperature: S,
    /// Fuel fraction F, kg of fuel-derived mass per kg of gas.
    pub fuel_fraction: S,
    /// Specific gas constant, J/(kg K).
    pub gas_constant: S,
    /// Ratio of specific heats.
    pub gamma: S,
    /// Absolute specific enthalpy (heats of formation included), J/kg.
    pub enthalpy: S,
}

impl<S: Scalar> GasState<S> {
    /// kg/m³, as an ideal gas.
    pub fn density(&self) -> S {
        self.pressure / (self.gas_constant * self.temperature)
    }

    /// Specific heat capacity at constant pressure, `γR/(γ-1)`, J/(kg K).
    pub fn cp(&self) -> S {
        self.gamma * self.gas_constant / (self.gamma - 1.0)
    }

    /// Dynamic viscosity of air at this temperature, Pa s, by Sutherland's law
    /// `1.458e-6 T^1.5/(T + 110.4)`.
    ///
    /// Source: `iso2533`. Against `lemmon2004` within 1 % from 200 to 400 K, 3 % low
    /// at 800 K, 5 % low at 1200 K. Burned gas is up to 3 % less viscous than air
    /// (`heywood1988` section 4.8), which is left out.
    pub fn viscosity(&self) -> S {
        const REST: f64 = 110.4;
        let t = self.temperature.value();
        let value = 1.458e-6 * t * t.sqrt() / (t + REST);
        self.temperature
            .chain(value, value * (1.5 / t - 1.0 / (t + REST)))
    }
}
