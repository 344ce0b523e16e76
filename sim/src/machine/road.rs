//! The car on the road: the load and inertia that an in-gear pull works against.
//!
//! Source: guzzella2010 ch. 2 / any vehicle dynamics text:
//! `F = m g c_r + ½ ρ c_d A v²`, level road, no wheel slip.

use crate::quantities;
use crate::scalar::{Over, Scalar};

quantities! {
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
        /// overall ratio (engine speed over wheel speed) of the gear used for pulls
        overall_ratio: Ratio [1.5, 20.0],
        /// efficiency of the driveline
        driveline_efficiency: Ratio [0.7, 1.0] = 0.93,
    }
}

/// Standard gravity, m/s² (ISO 80000-3).
const GRAVITY: f64 = 9.80665;
/// Air density for the drag force, kg/m³ (ISO 2533, sea level).
const DRAG_DENSITY: f64 = 1.225;

impl<P: Scalar> Road<P> {
    /// Torque at the crankshaft that holds the speed, N m; `speed` in rad/s.
    pub fn load<S: Over<P>>(&self, speed: S) -> S {
        let metres = self.wheel_radius / self.overall_ratio;
        let v = speed * metres;
        let force =
            v * v * self.drag_area * (0.5 * DRAG_DENSITY) + self.mass * self.rolling * GRAVITY;
        force * metres / self.driveline_efficiency
    }

    /// Inertia of the car seen at the crankshaft, kg m².
    pub fn inertia(&self) -> P {
        let metres = self.wheel_radius / self.overall_ratio;
        self.mass * metres * metres
    }
}
