//! The edge of burning: how much burned gas stays in the cylinders, and which share of the
//! cycles still burns a mixture that it and too much air make slow.
//!
//! A flame that is too slow is still burning when the exhaust opens, or never grows from the
//! spark: partial burns and misfires (heywood1988 section 9.4, from memory). Excess air and
//! residual gas slow it together, so an idling engine, a fifth of whose charge is residual,
//! bears far less excess air than one at load. Leaner running with more air flow and less
//! dilution: quader1974 (abstract read). Limits: warm engine, even cylinders; that a misfire leaves
//! fresh charge for the next cycle is left out.

use crate::scalar::{Over, Scalar};
use crate::smooth::{positive_part, step};
use std::f64::consts::PI;

/// Residual gas, share of the charge, with which the lean limits are stated: light cruise.
pub const STATED_RESIDUAL: f64 = 0.10;

/// Valve lift times diameter over the bore squared, in [`overlap_factor`]: 9 mm, 30 mm and 80 mm
/// (usual proportions, no source).
const VALVE: f64 = 0.042;

/// Overlap factor, deg/m, of `overlap` (rad at 0.15 mm lift) and `bore` (m):
/// `1.45/B (107 + 7.8 Δθ + Δθ²) L D/B²`, B in mm, Δθ in degrees (fox1993, from memory).
pub fn overlap_factor<P: Scalar>(overlap: P, bore: P) -> P {
    let degrees = overlap * (180.0 / PI);
    (degrees * degrees + degrees * 7.8 + 107.0) * (1.45e-3 * VALVE) / bore
}

/// Share of the charge that is burned gas of the cycle before:
/// `1.266 OF/N (p_i/p_e)^−0.87 √(p_e − p_i) + 0.632 (p_i/p_e)^−0.74 / r_c`, N in rev/s, p in bar
/// (fox1993, from memory; its factor for the mixture is left out, since excess air counts as
/// air here). `speed` in rad/s, pressures in Pa.
///
/// Measured from 30 to 100 kPa; with more pressure before the valves than behind them nothing
/// flows back.
pub fn residual_share<P: Scalar, S: Over<P>>(
    compression_ratio: P,
    overlap_factor: P,
    manifold: S,
    exhaust: S,
    speed: S,
) -> S {
    let ratio = (exhaust / manifold).ln();
    let drive = positive_part(exhaust - manifold, BLOWN) / 1e5;
    let back = (ratio * 0.87).exp() * drive.sqrt() / speed * (2.0 * PI * 1.266) * overlap_factor;
    back + (ratio * 0.74).exp() * 0.632 / compression_ratio
}

/// Pressure, Pa, over which back-flow ends as the manifold comes to exhaust pressure.
const BLOWN: f64 = 2e3;

/// Logarithm of the laminar flame's speed over that at lambda 1, lean of the fastest mixture:
/// `1 − 1.8 (φ − 1.21)²` (petrol, heywood1988 eq. 9.33, from memory).
fn by_mixture<S: Scalar>(lambda: S) -> S {
    let weaker = positive_part(-lambda.recip() + FASTEST, 0.02);
    positive_part(-(weaker * weaker * 1.8) + 1.0, LEAST).ln() - AT_ONE
}

const FASTEST: f64 = 1.21;
/// `ln(1 − 1.8·0.21²)`.
const AT_ONE: f64 = -0.082_72;
/// Flame speed, over the fastest, below which its law ends.
const LEAST: f64 = 0.02;

/// Logarithm of the flame's speed over that without burned gas: `1 − 2.06 x^0.77`
/// (rhodes1985, in heywood1988 eq. 9.34, from memory).
fn by_dilution<S: Scalar>(residual: S) -> S {
    positive_part(-(residual.powf(0.77) * 2.06) + 1.0, LEAST).ln()
}

/// What sets the edge of one engine.
#[derive(Clone, Copy, Debug)]
pub struct Edge<P> {
    /// Compression ratio.
    pub compression_ratio: P,
    /// Overlap factor, deg/m.
    pub overlap_factor: P,
    /// Lambda at which misfiring begins with [`STATED_RESIDUAL`].
    pub lean_limit: P,
    /// Lambda at which nothing burns any more with it.
    pub no_fire: P,
    /// Residual share at which misfiring begins at lambda 1.
    pub dilution_limit: P,
}

impl<P: Scalar> Edge<P> {
    fn values(&self) -> Edge<f64> {
        Edge {
            compression_ratio: self.compression_ratio.value(),
            overlap_factor: self.overlap_factor.value(),
            lean_limit: self.lean_limit.value(),
            no_fire: self.no_fire.value(),
            dilution_limit: self.dilution_limit.value(),
        }
    }

    /// Share of the fuelled cycles that burn, between `manifold` and `exhaust` (Pa) at crank
    /// `speed` (rad/s): all where the flame is faster than at the limits, none where it is
    /// slower than at `no_fire`; between, cycles differ and ever more of them fail.
    ///
    /// Mixture and dilution are weighed so that both stated limits are met; the share's course
    /// between them is an own choice (C1).
    pub fn burned<S: Over<P>>(&self, lambda: S, manifold: S, exhaust: S, speed: S) -> S {
        // Far from the edge, the usual case, the share is flat: no derivatives to carry.
        let plain = self.values().share(
            lambda.value(),
            manifold.value(),
            exhaust.value(),
            speed.value(),
        );
        if plain == 0.0 || plain == 1.0 {
            return S::constant(plain);
        }
        self.share(lambda, manifold, exhaust, speed)
    }

    fn share<S: Over<P>>(&self, lambda: S, manifold: S, exhaust: S, speed: S) -> S {
        let stated = P::constant(by_dilution(STATED_RESIDUAL));
        let begins = by_dilution(self.dilution_limit);
        let weight = (begins - stated) / by_mixture(self.lean_limit);
        let ends = stated + weight * by_mixture(self.no_fire);
        let band = positive_part(begins - ends, 0.05);
        let residual = residual_share(
            self.compression_ratio,
            self.overlap_factor,
            manifold,
            exhaust,
            speed,
        );
        let speed = by_mixture(lambda.max(S::constant(0.3))) * weight + by_dilution(residual);
        step((speed - begins) / band + 1.0, 0.0, 1.0) * step(lambda, 0.45, 0.60)
    }
}
