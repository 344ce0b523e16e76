//! Boost control: spring only, fixed duty, or closed loop on boost pressure or on
//! the counted charge.

use super::full_load_share;
use crate::curve::Curve;
use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp_between, limited_integrator, step};
use crate::units::RPM;
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
        /// Duty that brings the counted charge to its target: a leak that is not counted goes unseen.
        CountedCharge = "counted_charge",
    }
}

tables! {
    /// Boost strategy. A duty of 0 leaves the capsule on full boost pressure
    /// (lowest boost); a duty of 1 bleeds it (highest).
    pub struct Boost {
        /// how the wastegate is commanded
        control: BoostControl,
        /// bleed duty when it is fixed; in closed loop, the duty to start from
        fixed_duty: Ratio [0.0, 1.0] = 0.3,
        /// boost wanted at full load over engine speed
        target: AngularSpeed [0.0, 15e3 * RPM] -> GaugePressure [0.0, 3e5],
        /// charge wanted at full load over engine speed, for control by counted charge: counted air a cycle over the air that fills the cylinders at 1.184 g/L
        target_charge: AngularSpeed [0.0, 15e3 * RPM] -> Ratio [0.3, 4.0] or None,
        /// boost sensor reading minus true pressure
        sensor_offset: PressureDifference [-5e4, 5e4] = 0.0,
        /// how that error grows with the absolute pressure: 0 for the same everywhere, 1 for one in proportion to it; stated at 100 kPa
        error_growth: Ratio [-2.0, 2.0] = 0.0,
        /// duty per bar of boost error
        proportional: Ratio [0.0, 20.0] = 0.5,
        /// how far ahead the controller looks along the rate of boost
        lead: Time [0.0, 1.0] = 0.15,
        /// time constant of the filter that this rate is taken from
        filter: Time [0.02, 1.0] = 0.1,
        /// rate of the duty's correction per bar of boost error, near the target
        gain: Rate [0.05, 50.0] = 1.2,
        /// smallest duty
        least_duty: Ratio [0.0, 1.0] = 0.0,
        /// largest duty
        most_duty: Ratio [0.0, 1.0] = 0.95,
        /// time in which the memory fades off full load
        time_constant: Time [0.05, 5.0] = 0.3,
        /// opening at which the wastegate is held where no boost is asked; 0 with a pressure capsule, which rests shut: vacuum and electric actuators may hold it open
        rest_opening: Ratio [0.0, 0.9] = 0.0,
    }
}

impl<P: Scalar> Boost<P> {
    /// Boost wanted at full load, Pa over ambient, at crank speed (rad/s).
    pub fn wanted<S: Over<P>>(&self, speed: S) -> S {
        Curve::at(&self.target, speed)
    }

    /// Boost error, bar; for counted charge, the charge error, which is about the same.
    fn error<S: Over<P>>(&self, sensed: &Sensed<S>) -> S {
        match &self.target_charge {
            Some(wanted) if self.control == BoostControl::CountedCharge => {
                wanted.at(sensed.speed) - sensed.charge
            }
            _ => {
                let rate = (sensed.boost - sensed.filtered) / self.filter;
                (self.wanted(sensed.speed) - sensed.boost - rate * self.lead) / 1e5
            }
        }
    }

    fn closed(&self) -> bool {
        matches!(
            self.control,
            BoostControl::ClosedLoop | BoostControl::CountedCharge
        )
    }

    /// Duty of the bleed valve; `correction` is the controller's memory.
    pub fn duty<S: Over<P>>(&self, correction: S, sensed: &Sensed<S>) -> S {
        let asked = match self.control {
            BoostControl::Spring => return S::constant(0.0),
            BoostControl::FixedDuty => S::lift(self.fixed_duty),
            BoostControl::ClosedLoop | BoostControl::CountedCharge => {
                let asked = self.error(sensed) * self.proportional + correction + self.fixed_duty;
                let ends = [self.least_duty, self.most_duty].map(S::lift);
                clamp_between(asked, ends[0], ends[1], 1e-3)
            }
        };
        asked * full_load_share(sensed.pedal)
    }

    /// Opening at which the wastegate is held while no boost is asked: with the pedal up, and
    /// with the `throttle` (0 to 1) still to open (own choice of where: an engine that is short
    /// of torque opens its throttle before it makes boost). That makes with vacuum capsules and
    /// electric actuators hold it open at part load, to spare the engine the back pressure:
    /// common practice, no source.
    pub fn rest<S: Over<P>>(&self, pedal: S, throttle: S) -> S {
        let unasked = -full_load_share(pedal) + 1.0;
        let throttled = -step(throttle, 0.6, 0.9) + 1.0;
        unasked * throttled * self.rest_opening
    }

    /// Rate of the controller's memory. It learns slower the farther boost is from
    /// its target, so that a spool-up leaves little excess duty while a lasting
    /// shortfall still brings the duty to its stop.
    pub fn correction_rate<S: Over<P>>(&self, correction: S, sensed: &Sensed<S>) -> S {
        let forget = -correction / self.time_constant;
        if !self.closed() {
            return forget;
        }
        let error = self.error(sensed);
        let slowed = error / ((error / NEAR).squared() + 1.0);
        let start = self.fixed_duty;
        let zero = P::constant(0.0);
        let low = (self.least_duty - start).min(zero);
        let high = (self.most_duty - start).max(zero);
        let learn = limited_integrator(
            correction,
            slowed * self.gain,
            S::lift(low),
            S::lift(high),
            0.2,
        );
        // While fuel is cut there is no gas to make boost of: nothing is learnt from that.
        let share = full_load_share(sensed.pedal) * (-sensed.cut + 1.0);
        learn * share + forget * (-share + 1.0)
    }
}

/// What boost control sees.
#[derive(Clone, Copy, Debug)]
pub struct Sensed<S> {
    /// Sensed boost, Pa over ambient.
    pub boost: S,
    /// The same, filtered.
    pub filtered: S,
    /// Counted charge, see [`absolute_load`](crate::machine::standards::absolute_load).
    pub charge: S,
    /// Crank speed, rad/s.
    pub speed: S,
    /// Pedal as the computer heeds it.
    pub pedal: S,
    /// Share of fuel cut.
    pub cut: S,
}

/// Boost error, bar, up to which the controller learns at full rate.
const NEAR: f64 = 0.15;
