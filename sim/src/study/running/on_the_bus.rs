//! Readings as a diagnostic tester shows them: those that have a parameter on
//! the bus, in steps of its bytes.
//!
//! Readings and parameters share their units, so a reading needs no conversion.

use crate::control::j1979::{self, Parameter};
use crate::network::Readings;
use crate::network::readings::FORMS;

/// Key of a reading and the parameter that carries it.
///
/// Which of two equal parameters a car uses is not known: the wide-range sensor
/// is taken with its current, as pumping-cell sensors report.
pub const CARRIED: &[(&str, Parameter)] = &[
    ("calculated_load_pct", j1979::CALCULATED_LOAD),
    ("short_trim_pct", j1979::SHORT_TERM_TRIM),
    ("long_trim_pct", j1979::LONG_TERM_TRIM),
    ("manifold_kpa", j1979::MANIFOLD_PRESSURE),
    ("engine_speed_rpm", j1979::ENGINE_SPEED),
    ("vehicle_speed_km_h", j1979::VEHICLE_SPEED),
    ("intake_temp_c", j1979::INTAKE_TEMPERATURE),
    ("metered_air_g_s", j1979::AIR_FLOW),
    ("throttle_pct", j1979::THROTTLE_POSITION),
    ("lambda_sensor", j1979::LAMBDA_WITH_CURRENT),
    ("absolute_load_pct", j1979::ABSOLUTE_LOAD),
    ("pedal_pct", j1979::PEDAL_POSITION),
];

/// The parameter that carries the reading of this key, if one does.
pub fn parameter(key: &str) -> Option<&'static Parameter> {
    let found = CARRIED.iter().find(|(reading, _)| *reading == key);
    found.map(|(_, parameter)| parameter)
}

/// A reading (in its own unit) as the bus shows it: at the nearest step, at the
/// end of the range beyond it. None if no parameter carries it or it is not finite.
pub fn shown(key: &str, value: f64) -> Option<f64> {
    let parameter = parameter(key)?;
    parameter.decode(&parameter.encode(value)?)
}

/// Every parameter that these readings fill, with its bytes, in the order of the readings.
pub fn on_the_bus(readings: &Readings<f64>) -> Vec<(&'static Parameter, Vec<u8>)> {
    let filled = FORMS
        .iter()
        .zip(readings.values)
        .filter_map(|(form, value)| {
            let parameter = parameter(form.key)?;
            Some((parameter, parameter.encode(value)?))
        });
    filled.collect()
}
