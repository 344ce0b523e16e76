//! Pedal, idle governor and the driver's hold on torque.

use super::{ThrottleMode, idle_share};
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp, limited_integrator, positive_part};
use crate::units::RPM;

quantities! {
    /// Throttle strategy.
    pub struct Drive {
        /// speed the idle governor aims at
        idle_speed: AngularSpeed [400.0 * RPM, 2e3 * RPM],
        /// least throttle opening the idle governor may use
        idle_least: Ratio [0.0, 0.2] = 0.0,
        /// largest throttle opening the idle governor may use
        idle_most: Ratio [0.01, 0.5] = 0.12,
        /// opening rate per unit of relative speed error
        idle_gain: Rate [0.001, 1.0] = 0.02,
        /// further opening per unit of relative speed error while the engine is too slow
        idle_help: Ratio [0.0, 1.0] = 0.15,
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
        /// charge (absolute load) from which the computer shuts the throttle while it reduces torque
        reduced_charge: Ratio [0.2, 1.5] = 0.7,
    }
}

/// Relative speed errors, too fast and too slow, beyond which the governor works
/// no faster: an engine that is revved or driven does not shut the idle air (own choice).
const GOVERNED: (f64, f64) = (-0.25, 0.5);

/// Pedal beyond which the computer does not go while it reduces torque: closed
/// loop, no boost control (own choice).
const REDUCED_PEDAL: f64 = 0.5;
/// Charge over which the throttle is shut while torque is reduced (own choice).
const REDUCED_BAND: f64 = 0.3;

impl<P: Scalar> Drive<P> {
    /// Relative speed error of the idle governor: positive when too slow.
    fn slow<S: Over<P>>(&self, speed: S) -> S {
        -(speed / self.idle_speed) + 1.0
    }

    /// Pedal as the computer takes it: what the driver asks, but never full load while it reduces torque.
    pub fn heeded_pedal<S: Over<P>>(&self, pedal: S, reduced: bool) -> S {
        if !reduced {
            return pedal;
        }
        -positive_part(-pedal + REDUCED_PEDAL, 1e-3) + REDUCED_PEDAL
    }

    /// Share of the pedal's opening that the computer allows at this counted charge
    /// while it reduces torque.
    pub fn allowed<S: Over<P>>(&self, charge: S, reduced: bool) -> S {
        if !reduced {
            return S::constant(1.0);
        }
        clamp(
            (-charge + self.reduced_charge) / REDUCED_BAND + 1.0,
            0.01,
            1.0,
            1e-3,
        )
    }

    /// Rate of the opening that the idle governor has found, 1/s, where it governs.
    pub fn governor_rate<S: Over<P>>(&self, idle_opening: S, speed: S) -> S {
        let error = clamp(self.slow(speed), GOVERNED.0, GOVERNED.1, 1e-3);
        let [least, most] = [self.idle_least, self.idle_most].map(S::lift);
        limited_integrator(idle_opening, error * self.idle_gain, least, most, 0.2)
    }

    /// Where the pedal and the idle governor want the plate: the pedal opens it from
    /// the idle opening up, as far as `allowed`.
    pub fn wanted<S: Over<P>>(&self, idle_opening: S, pedal: S, allowed: S, speed: S) -> S {
        // The small floor keeps powf finite with the pedal released.
        let asked = positive_part(pedal, 1e-3).pow(S::lift(self.pedal_exponent));
        let slow = clamp(self.slow(speed), 0.0, GOVERNED.1, 1e-4);
        let idle = idle_opening + slow * self.idle_help * idle_share(pedal);
        idle + (-idle + 1.0) * asked.min(S::constant(1.0)) * allowed
    }

    /// Rate of the throttle plate, 1/s, towards `wanted` or a torque the driver holds.
    pub fn throttle_rate<S: Over<P>>(
        &self,
        mode: ThrottleMode,
        opening: S,
        wanted: S,
        torque: S,
        plate_time_constant: P,
    ) -> S {
        match mode {
            ThrottleMode::Pedal => (wanted - opening) / plate_time_constant,
            ThrottleMode::Opening(held) => (-opening + held) / plate_time_constant,
            ThrottleMode::Torque(held) => {
                let error = (-torque + held) / self.torque_scale * self.torque_gain;
                let (shut, open) = (S::constant(0.0), S::constant(1.0));
                limited_integrator(opening, error, shut, open, 0.2)
            }
        }
    }

    /// Spark retard that the idle governor asks for, degrees; 0 off idle
    /// (`idle`: share of idle strategy).
    ///
    /// Retard in reserve is given back at once when the engine slows and added
    /// when it runs fast: the quick half of the governor.
    pub fn spark_retard<S: Over<P>>(&self, idle: S, speed: S) -> S {
        let asked = -(self.slow(speed) * self.idle_spark_gain) + self.idle_retard;
        clamp(asked, 0.0, 28.0, 0.5) * idle
    }
}
