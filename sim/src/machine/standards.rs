//! Textbook and standard forms used to check the machines, and by people.

use crate::constants::ICE_POINT;
use crate::scalar::{Over, Scalar};

/// State behind a compressor of perfect gas: temperature, K, and specific work, J/kg.
///
/// `T₂ = T₁ (1 + (r^((γ−1)/γ) − 1)/η)` (dixon2014 ch. 7); `pressure_ratio` ≥ 1,
/// isentropic efficiency 0 to 1.
pub fn compressor_outlet(
    temperature: f64,
    pressure_ratio: f64,
    efficiency: f64,
    cp: f64,
    gamma: f64,
) -> (f64, f64) {
    let head = super::compressor::isentropic_head(cp, temperature, pressure_ratio, gamma);
    (temperature + head / efficiency / cp, head / efficiency)
}

/// State behind a turbine of perfect gas: temperature, K, and specific work, J/kg.
///
/// `T₄ = T₃ (1 − η (1 − r^((γ−1)/γ)))`, `r` = outlet over inlet pressure (dixon2014 ch. 8).
pub fn turbine_outlet(
    temperature: f64,
    expansion_ratio: f64,
    efficiency: f64,
    cp: f64,
    gamma: f64,
) -> (f64, f64) {
    let drop =
        super::turbine::expansion_drop(cp, temperature, 1.0 / expansion_ratio, gamma) * efficiency;
    (temperature - drop / cp, drop)
}

/// One side of a turbocharger, perfect gas.
#[derive(Clone, Copy, Debug)]
pub struct Gas {
    /// Inlet temperature, K.
    pub temperature: f64,
    /// J/(kg K).
    pub cp: f64,
    /// Ratio of specific heats.
    pub gamma: f64,
}

/// Expansion ratio that balances the shaft with the wastegate shut (watson1982):
/// `m_c c_p T₁ (r_c^… − 1) = η m_t c_p T₃ (1 − r_t^−…)`.
///
/// `overall_efficiency` is that of compressor, turbine and bearings together;
/// `flow_ratio` compressor over turbine flow. None when no ratio is enough.
pub fn balancing_expansion_ratio(
    air: Gas,
    exhaust: Gas,
    pressure_ratio: f64,
    overall_efficiency: f64,
    flow_ratio: f64,
) -> Option<f64> {
    let head =
        super::compressor::isentropic_head(air.cp, air.temperature, pressure_ratio, air.gamma);
    let share = head * flow_ratio / (overall_efficiency * exhaust.cp * exhaust.temperature);
    (share < 1.0).then(|| (1.0 - share).powf(-exhaust.gamma / (exhaust.gamma - 1.0)))
}

/// Absolute load, share (SAE J1979 PID 43): air per intake stroke, g, over
/// 1.184 g/L times the litres of one cylinder. `air` in kg/s, `speed` in rad/s,
/// `displacement` in m³, four-stroke.
pub fn absolute_load<P: Scalar, S: Over<P>>(air: S, speed: S, displacement: P) -> S {
    let cycles = speed / (4.0 * std::f64::consts::PI);
    air / cycles / (S::lift(displacement) * 1.184)
}

/// Power correction factor of SAE J1349 (JUN90), spark ignition:
/// `1.18 (990/p_d) √((t+273)/298) − 0.18`, p_d in hPa and t in °C.
///
/// `dry_pressure` in Pa (of the dry air), `temperature` in K; the standard takes
/// factors of 0.93 to 1.07.
pub fn power_correction(dry_pressure: f64, temperature: f64) -> f64 {
    let relative = (temperature - ICE_POINT + 273.0) / 298.0;
    1.18 * (99e3 / dry_pressure) * relative.sqrt() - 0.18
}

/// Air, kg/s, that an engine needs for `power`, W, at lambda 1, with a specific
/// fuel consumption in kg/J and an air/fuel ratio.
pub fn air_for_power(power: f64, specific_consumption: f64, air_fuel_ratio: f64) -> f64 {
    power * specific_consumption * air_fuel_ratio
}
