//! Fuel from counted air, wanted mixture and the trim that the oxygen sensor asks for.

use super::{full_load_share, lag};
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::limited_integrator;

quantities! {
    /// Mixture strategy and the oxygen sensor.
    pub struct Fuelling {
        /// lambda commanded at full load
        full_load_lambda: Ratio [0.7, 1.05],
        /// trim rate per unit of lambda error
        trim_gain: Rate [0.05, 10.0] = 0.3,
        /// largest trim either way
        trim_limit: Ratio [0.05, 0.5] = 0.25,
        /// time constant of the oxygen sensor
        sensor_time_constant: Time [0.01, 1.0] = 0.1,
        /// oxygen sensor reading minus true lambda
        sensor_offset: Ratio [-0.2, 0.2] = 0.0,
    }
}

/// Time in which an open-loop trim fades to zero, and the hold time at its stop, s.
const FADE: f64 = 1.0;

impl<P: Scalar> Fuelling<P> {
    /// Commanded lambda: 1 in closed loop, the full-load value with the pedal down.
    pub fn commanded_lambda<S: Over<P>>(&self, pedal: S) -> S {
        full_load_share(pedal) * (self.full_load_lambda - 1.0) + 1.0
    }

    /// Fuel, kg/s, for `air` counted (kg/s).
    pub fn fuel<S: Over<P>>(&self, air: S, pedal: S, trim: S, stoichiometric_ratio: f64) -> S {
        air / self.commanded_lambda(pedal) * (trim + 1.0) / stoichiometric_ratio
    }

    /// Rate of the trim: integrates the lambda error in closed loop, fades to
    /// zero in open loop.
    pub fn trim_rate<S: Over<P>>(&self, trim: S, sensed: S, pedal: S) -> S {
        let open = full_load_share(pedal);
        let limit = self.trim_limit.value();
        let closed = limited_integrator(trim, (sensed - 1.0) * self.trim_gain, -limit, limit, FADE);
        closed * (-open + 1.0) - trim / FADE * open
    }

    /// Rate of the oxygen sensor's reading; `lambda` at the sensor.
    ///
    /// The reading is held below 2 (the range a wideband sensor resolves).
    pub fn sensor_rate<S: Over<P>>(&self, reading: S, lambda: S) -> S {
        let seen = crate::smooth::clamp(lambda + self.sensor_offset, 0.5, 2.0, 1e-4);
        lag(reading, seen, self.sensor_time_constant)
    }
}
