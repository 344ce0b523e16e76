//! Pedal, idle governor and the driver's hold on torque.

use super::{ThrottleMode, idle_share};
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp, limited_integrator};

quantities! {
    /// Throttle strategy.
    pub struct Drive {
        /// speed the idle governor aims at
        idle_speed: AngularSpeed [40.0, 200.0],
        /// least throttle opening the idle governor may use
        idle_least: Ratio [0.0, 0.2] = 0.0,
        /// largest throttle opening the idle governor may use
        idle_most: Ratio [0.01, 0.5] = 0.12,
        /// opening rate per unit of relative speed error
        idle_gain: Rate [0.001, 1.0] = 0.02,
        /// spark retard held in reserve at idle, degrees
        idle_retard: Ratio [0.0, 30.0] = 15.0,
        /// change of spark retard per unit of relative speed error, degrees
        idle_spark_gain: Ratio [0.0, 500.0] = 120.0,
        /// opening rate per unit of torque error over the torque scale
        torque_gain: Rate [0.01, 10.0] = 0.3,
        /// torque scale of that error
        torque_scale: Torque [20.0, 1000.0] = 200.0,
        /// exponent from pedal to throttle opening
        pedal_exponent: Ratio [0.5, 4.0] = 1.6,
    }
}

impl<P: Scalar> Drive<P> {
    /// Relative speed error of the idle governor: positive when too slow.
    fn slow<S: Over<P>>(&self, speed: S) -> S {
        -(speed / self.idle_speed) + 1.0
    }

    /// Rate of the throttle opening, 1/s.
    pub fn throttle_rate<S: Over<P>>(
        &self,
        mode: ThrottleMode,
        opening: S,
        pedal: S,
        speed: S,
        torque: S,
        plate_time_constant: P,
    ) -> S {
        if let ThrottleMode::Torque(wanted) = mode {
            let error = (-torque + wanted) / self.torque_scale * self.torque_gain;
            return limited_integrator(opening, error, 0.0, 1.0, 0.2);
        }
        let idle = idle_share(pedal);
        // Below the idle share's end the pedal asks for nothing of its own; the small floor keeps powf finite.
        let asked = crate::smooth::positive_part(pedal, 1e-3).pow(S::lift(self.pedal_exponent));
        let follow = (asked.min(S::constant(1.0)) - opening) / plate_time_constant;
        let (least, most) = (self.idle_least.value(), self.idle_most.value());
        let govern =
            limited_integrator(opening, self.slow(speed) * self.idle_gain, least, most, 0.2);
        govern * idle + follow * (-idle + 1.0)
    }

    /// Spark retard that the idle governor asks for, degrees; 0 off idle.
    ///
    /// Retard in reserve is given back at once when the engine slows and added
    /// when it runs fast: the quick half of the governor.
    pub fn spark_retard<S: Over<P>>(&self, pedal: S, speed: S) -> S {
        let asked = -(self.slow(speed) * self.idle_spark_gain) + self.idle_retard;
        clamp(asked, 0.0, 28.0, 0.5) * idle_share(pedal)
    }
}
