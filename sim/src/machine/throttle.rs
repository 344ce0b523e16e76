//! Throttle plate: open area from the plate angle.
//!
//! Source: heywood1988 eq. 7.18 with the shaft left out: the projected open
//! area `π D²/4 (1 − cos α / cos α₀)`, α from the plane normal to the bore.

use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::units::DEGREE;

quantities! {
    /// Throttle body.
    pub struct Throttle {
        /// bore
        bore: Length [0.015, 0.12],
        /// plate angle when closed
        closed_angle: Angle [0.0, 20.0 * DEGREE],
        /// plate angle when wide open
        open_angle: Angle [45.0 * DEGREE, std::f64::consts::FRAC_PI_2],
        /// discharge coefficient of the open area
        discharge_coefficient: Ratio [0.4, 1.0],
        /// area that stays open past the closed plate (gap and idle bleed)
        closed_area: Area [0.0, 5e-5],
        /// time constant of the plate motor
        time_constant: Time [0.005, 0.5],
    }
}

impl<P: Scalar> Throttle<P> {
    /// Open area, m², at `opening` (0 closed, 1 wide open).
    pub fn area<S: Over<P>>(&self, opening: S) -> S {
        let angle = opening * (self.open_angle - self.closed_angle) + self.closed_angle;
        let bore = S::lift(self.bore);
        plate_area(bore, angle, S::lift(self.closed_angle)) + self.closed_area
    }
}

/// Projected open area of a plate throttle, m²; angles in radians from the plane
/// normal to the bore, `closed ≤ angle ≤ π/2`. heywood1988 ch. 7 (from memory).
pub fn plate_area<S: Scalar>(bore: S, angle: S, closed: S) -> S {
    bore * bore * (std::f64::consts::PI / 4.0) * (-(angle.cos() / closed.cos()) + 1.0)
}
