//! Wall friction in a narrow gap between parallel plates.

use crate::scalar::Scalar;
use crate::smooth::step;

/// Reynolds number (on the hydraulic diameter) up to which the flow is laminar.
pub const LAMINAR_UP_TO: f64 = 2000.0;
/// Reynolds number from which it is turbulent.
pub const TURBULENT_FROM: f64 = 4000.0;

/// Darcy friction factor times Reynolds number of laminar flow between parallel
/// plates. Source: `white2016` ch. 6, plane Poiseuille flow.
pub const LAMINAR_PRODUCT: f64 = 96.0;

/// Share of turbulent friction at a Reynolds number: 0 to 1, C1.
#[inline]
pub fn turbulent_share<S: Scalar>(reynolds: S) -> S {
    step(reynolds, LAMINAR_UP_TO, TURBULENT_FROM)
}

/// Darcy friction factor of smooth walls, `0.3164/Re^(1/4)`, Re 4000 to 1e5.
/// Source: `white2016` eq. 6.39 (Blasius 1913).
#[inline]
pub fn blasius<S: Scalar>(reynolds: S) -> S {
    reynolds.sqrt().sqrt().recip() * 0.3164
}

/// Darcy friction factor at a Reynolds number (> 0).
pub fn friction_factor(reynolds: f64) -> f64 {
    let share = turbulent_share(reynolds);
    (1.0 - share) * LAMINAR_PRODUCT / reynolds + share * blasius(reynolds)
}
