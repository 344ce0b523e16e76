//! Compressible flow through an opening.

use super::isentropic::{flow_function_squared, incipient};
use super::upwind::{LAMINAR_BAND, Law, Upwind};
use super::{Flow, Regime};
use crate::medium::GasState;
use crate::scalar::Scalar;

/// How much of the isentropic flow passes.
///
/// # Examples
/// ```
/// use sim::Discharge;
/// // Perry 1949: 0.60 for a small pressure difference, 0.84 into a vacuum.
/// let [gentle, vacuum] = [1.0, 0.0].map(|ratio| Discharge::SharpEdged.coefficient(ratio));
/// assert!((gentle - 0.60_f64).abs() < 0.005 && (vacuum - 0.84_f64).abs() < 0.005);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Discharge {
    /// A fixed coefficient, 0 to 1.
    Constant(f64),
    /// A sharp-edged hole: the coefficient rises from 0.60 to 0.84 as the outlet
    /// pressure falls, also beyond the critical ratio. Source: `perry1949`,
    /// polynomial in the pressure ratio, used from 1 to 0.
    SharpEdged,
}

impl Discharge {
    /// Discharge coefficient at a pressure ratio p_down/p_up of 0 to 1.
    #[inline]
    pub fn coefficient<S: Scalar>(self, pressure_ratio: S) -> S {
        match self {
            Discharge::Constant(coefficient) => S::constant(coefficient),
            Discharge::SharpEdged => {
                let r = pressure_ratio;
                ((((r * -1.6827 + 4.6001) * r - 3.9) * r + 0.8415) * r - 0.1002) * r + 0.8414
            }
        }
    }
}

/// Flow through an opening of `area`, m² (>= 0), between two gases:
/// `ṁ = Cd A p_up ψ(p_down/p_up) / sqrt(R T_up)`, choked below the critical ratio.
///
/// Source: `naca1135`; `heywood1988` App. C. Pressures >= 0, not both 0. Exact
/// outside |1 - r| < [`LAMINAR_BAND`]; inside, an odd cubic that meets it in
/// value and slope.
///
/// # Examples
/// ```
/// use sim::{Discharge, orifice, workshop::AIR};
/// let [high, low] = [200e3, 100e3].map(|pressure| AIR.state(pressure, 293.15));
/// let flow = orifice(1e-6, Discharge::Constant(1.0), &high, &low).mass;
/// // Choked: 0.040 418 p₀ A / √T₀ for air (NACA 1135, from its equation for γ = 1.4).
/// let choked = 0.040_418 * 200e3 * 1e-6 / 293.15_f64.sqrt();
/// assert!((flow / choked - 1.0).abs() < 1e-3);
/// // The other way round as much flows back.
/// assert_eq!(orifice(1e-6, Discharge::Constant(1.0), &low, &high).mass, -flow);
/// ```
#[inline]
pub fn orifice<S: Scalar>(
    area: S,
    discharge: Discharge,
    a: &GasState<S>,
    b: &GasState<S>,
) -> Flow<S> {
    Upwind::new(a, b).flow::<1, 6>([area], discharge)
}

/// How the gas moves through an orifice between two gases.
pub fn regime(a: &GasState<f64>, b: &GasState<f64>) -> Regime {
    let up = Upwind::new(a, b);
    let ratio = up.pressure_down / up.gas.pressure;
    if super::isentropic::is_choked(ratio, up.gas.gamma) {
        Regime::Choked
    } else if 1.0 - ratio < LAMINAR_BAND {
        Regime::Laminar
    } else {
        Regime::Turbulent
    }
}

/// Through an area, m².
impl Law<1> for Discharge {
    #[inline]
    fn size<T: Scalar>(&self, up: &GasState<T>, pressure_down: T, [area]: [T; 1]) -> T {
        // A solver may try a pressure below vacuum; the law goes on as at vacuum.
        let ratio = (pressure_down / up.pressure).max(T::constant(0.0));
        let drop = (up.pressure - pressure_down) / up.pressure;
        let psi = if drop.value() < LAMINAR_BAND {
            laminar(drop, up.gamma)
        } else {
            flow_function_squared(ratio, up.gamma).sqrt()
        };
        let speed = (up.gas_constant * up.temperature).sqrt();
        self.coefficient(ratio) * psi * up.pressure * area / speed
    }
}

/// The cubic `c₁ x + c₃ x³` through the flow function and its slope at the edge
/// of the laminar band.
fn laminar<S: Scalar>(drop: S, gamma: S) -> S {
    let edge = S::constant(LAMINAR_BAND);
    let per_drop = incipient(edge, gamma);
    let psi = (per_drop * LAMINAR_BAND).sqrt();
    // ψ² = 2x - 3x²/γ + (7/γ-5)/γ x³: its slope over twice ψ.
    let q = gamma.recip();
    let squared_slope = q * LAMINAR_BAND * ((q * 7.0 - 5.0) * LAMINAR_BAND - 6.0) + 2.0;
    let slope = squared_slope / psi * 0.5;
    let secant = psi / LAMINAR_BAND;
    let c1 = (secant * 3.0 - slope) * 0.5;
    let x = drop / LAMINAR_BAND;
    drop * (c1 + (slope - secant) * 0.5 * x * x)
}
