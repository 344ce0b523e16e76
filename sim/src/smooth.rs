//! Smooth forms of limits and switches, so that the exact Jacobian stays
//! continuous where the hardware has a stop.

use crate::scalar::{Over, Scalar};

/// `max(x, 0)` rounded over about `width`: `(x + sqrt(x² + width²))/2`.
///
/// Never below `max(x, 0)`; above it by at most `width/2`, at x = 0.
pub fn positive_part<S: Scalar>(x: S, width: f64) -> S {
    (x + (x * x + width * width).sqrt()) * 0.5
}

/// `x` held between `low` and `high`, corners rounded over about `width`; never
/// below `low`, above `high` by less than `width²/(high − low)`.
pub fn clamp<S: Scalar>(x: S, low: f64, high: f64, width: f64) -> S {
    let capped = -positive_part(-x + high, width) + high;
    positive_part(capped - low, width) + low
}

/// [`clamp`] between limits that may carry derivatives.
pub fn clamp_between<S: Scalar>(x: S, low: S, high: S, width: f64) -> S {
    let capped = -positive_part(-x + high, width) + high;
    positive_part(capped - low, width) + low
}

/// `x` (0 to 1) held between the stops `least` and `most`; corners rounded over at
/// most 0.01, and untouched where a stop is at 0 or 1. `least` wins over `most`.
pub fn held<P: Scalar, S: Over<P>>(x: S, least: P, most: P) -> S {
    let mut x = x;
    if most.value() < 1.0 {
        x = -positive_part(-x + most, 0.01 * most.value()) + most;
    }
    if least.value() > 0.0 {
        x = positive_part(x - least, 0.01 * (1.0 - least.value())) + least;
    }
    x
}

/// C1 step: 0 below `from`, 1 above `to`, cubic `3t² − 2t³` between.
pub fn step<S: Scalar>(x: S, from: f64, to: f64) -> S {
    let t = (x - from) / (to - from);
    if t.value() <= 0.0 {
        S::constant(0.0)
    } else if t.value() >= 1.0 {
        S::constant(1.0)
    } else {
        t * t * (-(t * 2.0) + 3.0)
    }
}

/// Rate of an integrator with end stops.
///
/// Inside `[low, high]` the rate is `gain_times_error`; at a stop the state is
/// held there with time constant `tau` instead of winding up, and the rate
/// keeps a finite slope, so a steady point at a stop is well defined.
pub fn limited_integrator<S: Scalar>(
    state: S,
    gain_times_error: S,
    low: S,
    high: S,
    tau: f64,
) -> S {
    let aim = state + gain_times_error * tau;
    (aim.max(low).min(high) - state) / tau
}
