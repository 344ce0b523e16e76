//! The car on the road: what an in-gear pull works against, and the clutch.
//!
//! Source: guzzella2010 ch. 2 / any vehicle dynamics text:
//! `F = m g c_r + ½ ρ c_d A v²`, level road, no wheel slip.

use crate::scalar::{Over, Scalar};
use crate::tables;

tables! {
    /// Vehicle mass, drag and gearing.
    pub struct Road {
        /// mass with driver
        mass: Mass [400.0, 4000.0],
        /// rolling radius of the driven wheel
        wheel_radius: Length [0.2, 0.5],
        /// rolling resistance coefficient
        rolling: Ratio [0.003, 0.05] = 0.011,
        /// drag area c_d A
        drag_area: Area [0.2, 3.0],
        /// overall ratio (engine speed over wheel speed) of each gear
        gears: Ratio [1.0, 8.0] -> Ratio [1.5, 25.0],
        /// efficiency of the driveline
        driveline_efficiency: Ratio [0.7, 1.0] = 0.93,
        /// largest torque the clutch passes
        clutch_torque: Torque [50.0, 3000.0] = 700.0,
    }
}

/// Standard gravity, m/s² (ISO 80000-3).
const GRAVITY: f64 = 9.80665;
/// Air density for the drag force, kg/m³ (ISO 2533, sea level).
const DRAG_DENSITY: f64 = 1.225;
/// Road speed, m/s, below which rolling resistance fades out.
const STANDING: f64 = 0.3;
/// Slip, rad/s, at which the clutch passes 71 % of its torque.
const SLIP: f64 = 1.0;

impl<P: Scalar> Road<P> {
    /// Gears, from 1 up.
    pub fn gear_count(&self) -> u8 {
        self.gears
            .points()
            .last()
            .map_or(1, |last| last[0].value() as u8)
    }

    /// Metres travelled per radian of the crank in `gear`.
    pub fn metres<S: Over<P>>(&self, gear: u8) -> S {
        S::lift(self.wheel_radius) / self.gears.at(S::constant(f64::from(gear)))
    }

    /// Force against the motion at `speed` (m/s), N.
    pub fn resistance<S: Over<P>>(&self, speed: S) -> S {
        let air = speed * speed.abs() * self.drag_area * (0.5 * DRAG_DENSITY);
        let rolling = speed / (speed * speed + STANDING * STANDING).sqrt();
        air + rolling * (self.mass * self.rolling * GRAVITY)
    }

    /// Torque through the closed clutch, N m, from crank (rad/s) to car (m/s).
    pub fn clutch<S: Over<P>>(&self, crank: S, car: S, gear: u8) -> S {
        let slip = crank - car / self.metres::<S>(gear);
        slip / (slip * slip + SLIP * SLIP).sqrt() * self.clutch_torque
    }

    /// dv/dt, m/s², with this torque (N m) coming through the clutch.
    pub fn acceleration<S: Over<P>>(&self, car: S, torque: S, gear: u8) -> S {
        let driven = torque / self.metres::<S>(gear) * self.driveline_efficiency;
        (driven - self.resistance(car)) / self.mass
    }
}
