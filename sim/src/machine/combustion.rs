//! How much work a charge gives, and when it knocks.
//!
//! Work: the constant-volume fuel-air cycle (dissociation, more moles and lower
//! heat capacity of rich gas included), less a time loss for the flame's finite
//! speed. Knock: equal ignition delay of the end gas.
//!
//! Sources: heywood1988 (fuel-air cycle ch. 5, flame speed eq. 9.33, spark
//! timing ch. 15), taylor1985 (time loss), hires1978 (burn duration),
//! douaud1978 (ignition delay), all from memory; the cycle and the end gas
//! recomputed with Cantera 3.2. Limits: petrol-like fuel, compression ratio 8 to
//! 12, lambda 0.65 to 1.5 (beyond, smooth and bounded only), warm engine.

use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp, positive_part};

/// Lambda below which the laws of mixture change no more; nothing burns there.
const RICHEST: f64 = 0.4;

/// Work of the constant-volume fuel-air cycle over the heat released by what can
/// burn at room temperature: `1 − r_c^−x(φ)`, φ = 1/`lambda`.
///
/// An Otto efficiency whose exponent is lowest near lambda 1, where the products are
/// hottest, of the highest heat capacity, and dissociate most. With d = φ − 1 and
/// s = √(d² + 0.0286²): `x = 0.2711 + 0.0877 (s − 0.0286) + 0.0052 d +
/// 0.0061 (d/s)² + 0.0014 d/s`. Fitted to the cycle computed with Cantera (method:
/// heywood1988 ch. 5): within 0.3 % for lambda 0.7 to 1.5 and compression ratio 9
/// to 11, 0.6 % for 0.65 to 1.6 and 8 to 12; throttled to 60 kPa with 10 % residual
/// gas the cycle itself is 0.5 % better (less dissociation).
pub fn fuel_air_efficiency<P: Scalar, S: Over<P>>(compression_ratio: P, lambda: S) -> S {
    const WIDTH: f64 = 0.0286;
    let richer = lambda.max(S::constant(RICHEST)).recip() - 1.0;
    let round = (richer * richer + WIDTH * WIDTH).sqrt();
    let side = richer / round;
    let slopes = (round - WIDTH) * 0.0877 + richer * 0.0052;
    let exponent = slopes + side * side * 0.0061 + side * 0.0014 + 0.2711;
    -(-(exponent * S::lift(compression_ratio).ln())).exp() + 1.0
}

/// Share of what could burn that stays unburned because fuel and air are unevenly
/// mixed: `(√(d²+w²) − √(d²+w₀²))/2`, d = 1/`lambda` − 1, w the `scatter` of the
/// fuel-air ratio, w₀ = 0.003 the rounding that the medium's heat release has itself.
///
/// The mean of min(φ, 1) over a spread mixture, less min(φ, 1): oxygen and carbon
/// monoxide side by side near lambda 1 (heywood1988 section 4.9, from memory).
pub fn unmixed_share<P: Scalar, S: Over<P>>(scatter: P, lambda: S) -> S {
    let off = lambda.max(S::constant(RICHEST)).recip() - 1.0;
    let scatter = S::lift(scatter);
    let even = (off * off + 0.003 * 0.003).sqrt();
    ((off * off + scatter * scatter).sqrt() - even) * 0.5
}

/// Work lost to the flame's finite speed, over that loss at the fastest mixture.
///
/// Laminar flame speed `S/S_max = 1 − 1.8 (φ − 1.21)²` (petrol, heywood1988
/// eq. 9.33, from memory); burn duration ∝ S^(−2/3) (hires1978, from memory); the
/// loss at best spark goes with the square of the duration, the scatter of the
/// burn about dead centre. Flame speed is held above a quarter
/// of its maximum (lambda 1.8 and 0.54).
pub fn time_loss_ratio<S: Scalar>(lambda: S) -> S {
    let off = lambda.max(S::constant(RICHEST)).recip() - 1.21;
    let speed = positive_part(-(off * off * 1.8) + 0.75, 0.05) + 0.25;
    speed.powf(-4.0 / 3.0)
}

/// Share of the work kept with the spark `retard` degrees after its best: ten
/// degrees cost 4 to 5 %, twenty about 18 % (heywood1988 fig. 15-3, from memory).
pub fn spark_efficiency<S: Scalar>(retard: S) -> S {
    -(retard * retard * 4.5e-4) + 1.0
}

/// Temperature of the end gas at peak pressure over that of the charge:
/// isentropic from manifold to `peak` (peak cylinder over manifold pressure),
/// `peak^0.24`.
///
/// The exponent is (γ−1)/γ of unburned petrol mixture with 4 % residual, 300 to
/// 350 K and lambda 0.8 to 1 compressed 30- to 40-fold: 0.235 to 0.249 (Cantera).
/// Heat taken up from walls and residual gas is left out.
pub fn end_gas_heating<S: Scalar>(peak: S) -> S {
    peak.powf(END_GAS_EXPONENT)
}
const END_GAS_EXPONENT: f64 = 0.24;

/// Ignition delay `τ ∝ ON^3.402 p^−1.7 e^(3800/T)`, T in K (douaud1978, from memory).
const OCTANE_EXPONENT: f64 = 3.402;
const PRESSURE_EXPONENT: f64 = 1.7;
const ACTIVATION: f64 = 3800.0;

/// Fall of the peak cylinder pressure's logarithm per degree of retard from the
/// best spark: 0.024 to 0.029 over the first 15 degrees in a single zone with
/// γ = 1.3, a Wiebe burn of 50 to 70 degrees and compression ratio 9 to 11
/// (heywood1988 ch. 9 method, computed for this model).
const PEAK_FALL: f64 = 0.026;

/// Manifold pressure at which knock begins at best spark, over that of 95 octane
/// and an end gas at `reference` K: equal ignition delay (douaud1978, from memory).
pub fn knock_onset_ratio<P: Scalar, S: Over<P>>(octane: P, end_gas: S, reference: S) -> S {
    let octane = (S::lift(octane) / 95.0).powf(OCTANE_EXPONENT / PRESSURE_EXPONENT);
    let heat = (end_gas.recip() - reference.recip()) * (ACTIVATION / PRESSURE_EXPONENT);
    octane * heat.exp()
}

/// Spark retard, degrees, that keeps the ignition delay of an `excess` of manifold
/// pressure (pressure over onset) what it is at the onset.
///
/// Retard lowers the peak pressure and with it the end gas's temperature, so
/// `1.7 ln(excess) = (1.7 + 3800·0.24/T) k·retard`, k the fall of peak pressure,
/// T taken at best spark (overstates retard by under 10 % at 15 degrees).
pub fn knock_retard<S: Scalar>(excess: S, end_gas: S) -> S {
    let relief = end_gas.recip() * (ACTIVATION * END_GAS_EXPONENT) + PRESSURE_EXPONENT;
    let retard = excess.ln() / relief * (PRESSURE_EXPONENT / PEAK_FALL);
    positive_part(retard, 0.5)
}

/// Lambda as knock sees it: the known trend ends at 0.6 and 1.3.
pub fn knocking_lambda<S: Scalar>(lambda: S) -> S {
    clamp(lambda, 0.6, 1.3, 0.02)
}
