//! How much pressure a test may have: by the part, by the step of the plan, and whoever asks.

mod hard;
mod limit;

pub use hard::{BENCH_SHARE, ON_BENCH, ON_CAR, allowed, most, on_bench};
pub use limit::{Above, Excess, Limit, Step, Tested, Why, danger};

/// Smoke machines hold 0.5 to 1.5 psi (S), Pa.
pub const SMOKE: (f64, f64) = (3_447.0, 10_342.0);
/// Highest pressure in the crankcase, Pa: the least that a smoke machine holds, about
/// 14 inches of water (common practice, no source). Lip seals of the crankshaft are made to
/// hold oil, not gas; under pressure they lift or are pushed out, and dipsticks jump.
pub const CRANKCASE: f64 = SMOKE.0;
/// Highest pressure on suction ducts and their seals, Pa: 5 psi, the low end of what intakes
/// are tested with (common practice, no source); in the car they never see pressure.
pub const SUCTION: f64 = 34_474.0;
/// Highest pressure where air can pass valves and rings, Pa: 10 psi (common practice, no
/// source).
pub const MANIFOLD: f64 = 68_948.0;
