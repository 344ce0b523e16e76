//! Turbocharger shaft: `J ω dω/dt = P_turbine − P_compressor − P_bearing`.
//!
//! Source: watson1982 ch. 13. Bearing loss quadratic in speed (oil film).

use crate::quantities;
use crate::scalar::{Over, Scalar};

quantities! {
    /// Rotor and bearings.
    pub struct Shaft {
        /// polar moment of inertia of the rotor
        inertia: Inertia [1e-6, 1e-3],
        /// bearing friction power at the reference speed
        bearing_loss: Power [1.0, 5000.0],
        /// speed at which the bearing loss is stated
        reference_speed: AngularSpeed [3000.0, 40000.0],
        /// highest allowed speed
        speed_limit: AngularSpeed [5000.0, 40000.0],
    }
}

/// Below this speed powers are divided by it instead (a standing rotor), rad/s.
const STANDING: f64 = 50.0;

impl<P: Scalar> Shaft<P> {
    /// Bearing friction, W.
    pub fn bearing_power<S: Over<P>>(&self, speed: S) -> S {
        let ratio = speed / self.reference_speed;
        ratio * ratio * self.bearing_loss
    }

    /// dω/dt, rad/s², from the net power on the rotor, W.
    pub fn acceleration<S: Over<P>>(&self, net_power: S, speed: S) -> S {
        net_power / (speed * speed + STANDING * STANDING).sqrt() / self.inertia
    }
}
