//! Flow laws of published standards, plain numbers, for comparison and for parts
//! whose data sheet states them.

use super::isentropic::flow_function;
use crate::medium::GasState;
use crate::root::border;

/// Density of the reference atmosphere of `iso6358`, kg/m³.
pub const REFERENCE_DENSITY: f64 = 1.185;
/// Temperature of the same, K.
pub const REFERENCE_TEMPERATURE: f64 = 293.15;

/// Mass flow, kg/s, through a pneumatic part of sonic conductance `conductance`,
/// m³/(s Pa) at the reference atmosphere, and critical pressure ratio `critical_ratio`.
///
/// Source: `iso6358`, `ṁ = C p₁ ρ₀ sqrt(T₀/T₁) sqrt(1 - ((r-b)/(1-b))²)`. Upstream
/// pressure Pa abs and temperature K; the outlet pressure is not above the upstream one.
pub fn iso_6358_flow(
    conductance: f64,
    critical_ratio: f64,
    upstream_pressure: f64,
    upstream_temperature: f64,
    downstream_pressure: f64,
) -> f64 {
    let choked = conductance
        * upstream_pressure
        * REFERENCE_DENSITY
        * (REFERENCE_TEMPERATURE / upstream_temperature).sqrt();
    let past = (downstream_pressure / upstream_pressure - critical_ratio) / (1.0 - critical_ratio);
    choked * (1.0 - past.max(0.0).powi(2)).max(0.0).sqrt()
}

/// A pneumatic part as `iso6358` describes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IsoPart {
    /// Sonic conductance, m³/(s Pa) at the reference atmosphere.
    pub conductance: f64,
    /// Critical pressure ratio, 0 to below 1.
    pub critical_ratio: f64,
}

impl IsoPart {
    /// Critical ratio of the part that passes `share` (0 to 1) of its choked flow at
    /// the pressure ratio `ratio`: `iso6358` solved for b, `1 - (1-r)/(1 - sqrt(1 - share²))`.
    ///
    /// None where no part does: where b would lie outside 0 to 1.
    pub fn critical_ratio_at(ratio: f64, share: f64) -> Option<f64> {
        let past = 1.0 - (1.0 - share * share).max(0.0).sqrt();
        let critical = 1.0 - (1.0 - ratio) / past;
        (0.0..1.0).contains(&critical).then_some(critical)
    }

    /// The part that passes two readings: upstream and downstream pressure, Pa abs,
    /// and mass flow, kg/s, of each, at one upstream temperature, K.
    ///
    /// None where no part does. The two pressure ratios must differ.
    pub fn from_two(readings: [[f64; 3]; 2], temperature: f64) -> Option<Self> {
        // What a conductance of 1 passes, and how far the second reading is off.
        let unit = |b: f64, [up, down, _]: [f64; 3]| iso_6358_flow(1.0, b, up, temperature, down);
        let [first, second] = readings;
        let off = |b: f64| first[2] / unit(b, first) * unit(b, second) / second[2] - 1.0;
        let (low, high) = (0.0, 0.999);
        let (at_low, at_high) = (off(low), off(high));
        if at_low.is_nan() || at_high.is_nan() || at_low * at_high >= 0.0 {
            return None;
        }
        let (low, high) = border((low, high), 100, |b| (off(b) > 0.0) != (at_high > 0.0));
        let critical_ratio = 0.5 * (low + high);
        Some(Self {
            conductance: first[2] / unit(critical_ratio, first),
            critical_ratio,
        })
    }
}

/// Discharge coefficient of a sharp-edged orifice plate in a pipe, corner taps.
///
/// Source: `iso5167`, part 2, the Reader-Harris/Gallagher equation; bore over pipe
/// 0.1 to 0.75, pipe 50 mm to 1 m, bore from 12.5 mm, pipe Reynolds number from 5000.
/// Diameters in m.
pub fn iso_5167_discharge(pipe_diameter: f64, bore: f64, pipe_reynolds: f64) -> f64 {
    let beta = bore / pipe_diameter;
    let a = (19_000.0 * beta / pipe_reynolds).powf(0.8);
    // Pipes below 71.12 mm (2.8 inches).
    let inches = pipe_diameter / 0.0254;
    let small = 0.011 * (0.75 - beta) * (2.8 - inches).max(0.0);
    0.5961 + 0.0261 * beta.powi(2) - 0.216 * beta.powi(8)
        + 0.000521 * (1e6 * beta / pipe_reynolds).powf(0.7)
        + (0.0188 + 0.0063 * a) * beta.powf(3.5) * (1e6 / pipe_reynolds).powf(0.3)
        + small
}

/// Two openings one behind the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series {
    /// Pressure between the two, Pa abs.
    pub middle_pressure: f64,
    /// kg/s.
    pub mass_flow: f64,
}

/// Flow through two openings of effective areas (discharge included) `first` and
/// `second`, m² (> 0), with the same stagnation temperature before each.
///
/// Source: `naca1135`; the middle pressure is where both pass the same flow.
/// Outlet pressure Pa abs, from 0 to the upstream one.
pub fn two_in_series(first: f64, second: f64, up: &GasState<f64>, pressure_down: f64) -> Series {
    let speed = (up.gas_constant * up.temperature).sqrt();
    let through =
        |area: f64, high: f64, low: f64| area * high * flow_function(low / high, up.gamma) / speed;
    let (low, high) = border((pressure_down, up.pressure), 200, |middle| {
        through(first, up.pressure, middle) > through(second, middle, pressure_down)
    });
    let middle_pressure = 0.5 * (low + high);
    Series {
        middle_pressure,
        mass_flow: through(first, up.pressure, middle_pressure),
    }
}
