//! Boost control: spring only, fixed duty, or closed loop on boost pressure.

use super::full_load_share;
use crate::curve::Curve;
use crate::scalar::{Over, Scalar};
use crate::smooth::limited_integrator;
use crate::{tables, words};

words! {
    /// How the wastegate is commanded at full load.
    pub enum BoostControl {
        /// Not at all: the capsule spring sets the boost.
        Spring = "spring",
        /// A fixed duty of the bleed valve.
        FixedDuty = "fixed_duty",
        /// Duty that brings boost to its target.
        ClosedLoop = "closed_loop",
    }
}

tables! {
    /// Boost strategy. A duty of 0 leaves the capsule on full boost pressure
    /// (lowest boost); a duty of 1 bleeds it (highest).
    pub struct Boost {
        /// how the wastegate is commanded
        control: BoostControl,
        /// bleed duty when it is fixed
        fixed_duty: Ratio [0.0, 1.0] = 0.3,
        /// boost wanted at full load over engine speed
        target: AngularSpeed [0.0, 1500.0] -> GaugePressure [0.0, 3e5],
        /// duty rate per bar of boost error
        gain: Rate [0.05, 50.0] = 2.0,
        /// smallest duty
        least_duty: Ratio [0.0, 1.0] = 0.0,
        /// largest duty
        most_duty: Ratio [0.0, 1.0] = 0.95,
        /// time constant of the bleed valve's mean effect
        time_constant: Time [0.01, 1.0] = 0.1,
    }
}

impl<P: Scalar> Boost<P> {
    /// Boost wanted at full load, Pa over ambient, at crank speed (rad/s).
    pub fn wanted<S: Over<P>>(&self, speed: S) -> S {
        Curve::at(&self.target, speed)
    }

    /// Rate of the duty; `boost` is the sensed boost, Pa over ambient.
    pub fn duty_rate<S: Over<P>>(&self, duty: S, boost: S, speed: S, pedal: S) -> S {
        let share = full_load_share(pedal);
        let off = -duty / self.time_constant;
        let on = match self.control {
            BoostControl::Spring => off,
            BoostControl::FixedDuty => (-duty + self.fixed_duty) / self.time_constant,
            BoostControl::ClosedLoop => {
                let error = (self.wanted(speed) - boost) / 1e5 * self.gain;
                let (least, most) = (self.least_duty.value(), self.most_duty.value());
                limited_integrator(duty, error, least, most, 0.2)
            }
        };
        on * share + off * (-share + 1.0)
    }
}
