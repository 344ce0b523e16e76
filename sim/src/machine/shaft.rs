//! Turbocharger shaft: `J dω/dt = T_turbine − T_compressor − T_bearing`.
//!
//! Source: watson1982 ch. 13. Bearing loss quadratic in speed (oil film).

use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::units::RPM;

quantities! {
    /// Rotor and bearings.
    pub struct Shaft {
        /// polar moment of inertia of the rotor
        inertia: Inertia [1e-6, 1e-3],
        /// bearing friction power at the reference speed
        bearing_loss: Power [1.0, 5000.0],
        /// speed at which the bearing loss is stated
        reference_speed: AngularSpeed [30e3 * RPM, 400e3 * RPM],
        /// highest allowed speed
        speed_limit: AngularSpeed [50e3 * RPM, 400e3 * RPM],
        /// highest gas temperature before the turbine that rotor and housing bear (about 1000 °C, typical value)
        temperature_limit: Temperature [973.15, 1473.15] = 1273.15,
    }
}

impl<P: Scalar> Shaft<P> {
    /// Bearing friction, N m: proportional to speed (oil film).
    pub fn bearing_torque<S: Over<P>>(&self, speed: S) -> S {
        speed * (self.bearing_loss / (self.reference_speed * self.reference_speed))
    }

    /// dω/dt, rad/s², from the net torque on the rotor, N m.
    pub fn acceleration<S: Over<P>>(&self, net_torque: S) -> S {
        net_torque / self.inertia
    }
}
