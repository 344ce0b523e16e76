//! Pressures that no test goes above, whoever asks.

use crate::say::plan as say;
use crate::scenario::Mistake;
use crate::study::workshop::mistake;
use crate::units::round;

/// Highest pressure of a test on the car, Pa gauge: 20 psi (common practice, no source), with what
/// rounding to a whole kPa adds.
pub const ON_CAR: f64 = 138e3;
/// Highest pressure on a part that is off the car, Pa gauge (own choice).
pub const ON_BENCH: f64 = 200e3;
/// The same over normal boost, as leak tests are made above what is worked with (common practice,
/// no source).
pub const BENCH_SHARE: f64 = 1.5;

/// The most that a test may have, Pa gauge; `boost` is the car's normal one where it is known.
pub fn most(bench: bool, boost: Option<f64>) -> f64 {
    match (bench, boost) {
        (true, Some(boost)) => ON_BENCH.min(BENCH_SHARE * boost),
        _ => ON_CAR,
    }
}

/// Whether a test pressure, Pa gauge, may be used at all: on the car, or (`bench`) on a part that
/// is off the car.
///
/// # Errors
/// At `key`: the pressure, and the most that is allowed.
///
/// # Examples
/// ```
/// use sim::study::workshop::limits::allowed;
/// assert!(allowed("pressure", 150e3, false, Some(120e3)).is_err());
/// assert!(allowed("pressure", 150e3, true, Some(120e3)).is_ok());
/// // At most 200 kPa, whatever the boost.
/// assert!(allowed("pressure", 201e3, true, Some(300e3)).is_err());
/// ```
pub fn allowed(key: &str, pressure: f64, bench: bool, boost: Option<f64>) -> Result<(), Mistake> {
    let most = most(bench, boost);
    if pressure <= most * (1.0 + 1e-9) {
        return Ok(());
    }
    let kpa = |pressure: f64| round(pressure / 1e3, 4);
    let (found, up_to) = (kpa(pressure), kpa(most));
    let message = match (bench, boost) {
        (false, _) => say::above_any_on_car(found, up_to, kpa(ON_BENCH)),
        (true, Some(boost)) => say::above_bench(found, up_to, kpa(boost)),
        (true, None) => say::above_bench_unknown(found, up_to),
    };
    Err(mistake(key, message))
}

/// What is said of a test of a part that is off the car; `boost` is the car's normal one, Pa
/// gauge, where it is known.
pub fn on_bench(bench: bool, boost: Option<f64>) -> Option<String> {
    bench.then(|| say::on_bench(round(most(true, boost) / 1e3, 4)))
}
