//! Fuel from counted air, wanted mixture, and the trims that the oxygen sensor
//! asks for: a short-term trim that acts at once, and a long-term trim that
//! learns what the short-term one keeps asking for, in one cell at idle and one
//! at part load. Both are carried by the fuel; the part-load cell at full load too.
//! The speed limiter and a pedal released well above idle leave whole working cycles without fuel.

use super::{full_load_share, idle_share, lag};
use crate::quantities;
use crate::scalar::{Over, Scalar};
use crate::smooth::{clamp, limited_integrator, positive_part, step};

quantities! {
    /// Mixture strategy, injectors and the oxygen sensor.
    pub struct Fuelling {
        /// lambda commanded at full load
        full_load_lambda: Ratio [0.7, 1.05],
        /// rate of the short-term trim per unit of lambda error
        trim_gain: Rate [0.05, 10.0] = 0.3,
        /// largest short-term trim either way
        trim_limit: Ratio [0.05, 0.5] = 0.25,
        /// rate of the long-term trim per unit of short-term trim
        learning_rate: Rate [0.001, 1.0] = 0.05,
        /// largest long-term trim either way
        learning_limit: Ratio [0.05, 0.5] = 0.25,
        /// fuel flow that the injectors cannot exceed
        injector_limit: MassFlow [1e-3, 0.2] = 0.06,
        /// fuel delivered over fuel commanded
        delivery: Ratio [0.3, 1.3] = 1.0,
        /// engine speed above which fuel is cut with the pedal released, whatever drives the engine
        overrun_cut_speed: AngularSpeed [100.0, 500.0] = 165.0,
        /// engine speed below which it is injected again
        overrun_resume_speed: AngularSpeed [80.0, 450.0] = 135.0,
        /// time constant of the oxygen sensor
        sensor_time_constant: Time [0.01, 1.0] = 0.1,
        /// exhaust gas volume on the way to the oxygen sensor: the delay is its mass over the exhaust flow
        sensor_way: Volume [0.0, 5e-3] = 0.5e-3,
        /// oxygen sensor reading minus true lambda
        sensor_offset: Ratio [-0.2, 0.2] = 0.0,
    }
}

/// Time in which an open-loop trim fades to zero, and the hold time at its stop, s.
const FADE: f64 = 1.0;

/// Lambda error beyond which the trim moves no faster (own choice: the sensor's reach).
const FAR: f64 = 0.15;

/// Sensed lambda over which, and its fall in 1/s with which, the pipe is taken to clear of
/// air (own choice: faster than any trim moves the mixture).
const CLEARING: [f64; 2] = [1.02, 1.10];
const FALLING: [f64; 2] = [0.05, 0.15];

/// Share of the limit over which the speed limiter takes the fuel away (own choice: narrow
/// beside the 3 % that tachometers are trusted to, wide beside an integrator's step).
const LIMIT_BAND: f64 = 0.02;

/// Engine speed over idle speed below which fuel is never cut for a released pedal.
const OVER_IDLE: f64 = 1.2;
/// Least width, rad/s, of the band over which that cut sets in.
const LEAST_BAND: f64 = 1.0;

/// Exhaust flow, kg/s, below which the delay to the sensor grows no further.
const LEAST_FLOW: f64 = 2e-4;

/// Trims, shares.
#[derive(Clone, Copy, Debug)]
pub struct Trims<S> {
    /// Short-term.
    pub short: S,
    /// Long-term cell of idle.
    pub idle: S,
    /// Long-term cell of part load; full load uses it too.
    pub part_load: S,
}

impl<S: Scalar> Trims<S> {
    /// Long-term trim in force at a pedal position.
    pub fn long(&self, pedal: S) -> S {
        let share = idle_share(pedal);
        self.idle * share + self.part_load * (-share + 1.0)
    }

    /// All fuel added, share: `(1 + short)(1 + long) − 1`.
    pub fn total(&self, pedal: S) -> S {
        (self.short + 1.0) * (self.long(pedal) + 1.0) - 1.0
    }
}

/// Share of the working cycles that the speed limiter leaves without fuel at crank speed
/// `speed`: none up to `limit` (both rad/s), all from 2 % above it; C1.
///
/// That the limiter cuts fuel, cylinder by cylinder, is common practice, no source. A real
/// one switches and the speed hunts in its band; here the mean over many cycles is smooth.
pub fn limiter_cut<S: Scalar>(limit: S, speed: S) -> S {
    step((speed / limit - 1.0) / LIMIT_BAND, 0.0, 1.0)
}

impl<P: Scalar> Fuelling<P> {
    /// Commanded lambda: 1 in closed loop, the full-load value with the pedal down.
    pub fn commanded_lambda<S: Over<P>>(&self, pedal: S) -> S {
        full_load_share(pedal) * (self.full_load_lambda - 1.0) + 1.0
    }

    /// Fuel delivered, kg/s, for `air` counted (kg/s), were every working cycle to get it.
    pub fn fuel<S: Over<P>>(
        &self,
        air: S,
        pedal: S,
        trims: &Trims<S>,
        stoichiometric_ratio: f64,
    ) -> S {
        let wanted = air / self.commanded_lambda(pedal) / stoichiometric_ratio;
        let asked = wanted * (trims.total(pedal) + 1.0);
        // Rounded over 1e-5 of the limit: far below it nothing is taken off.
        let left = (-asked + self.injector_limit) / self.injector_limit;
        let injected = (-positive_part(left, 1e-5) + 1.0) * self.injector_limit;
        injected * self.delivery
    }

    /// Share of the working cycles without fuel because the pedal is released well above the
    /// `idle` speed (both rad/s), whether the road drives the engine or it runs up by itself.
    ///
    /// A real computer cuts and resumes, and an engine that idles on false air surges between
    /// the two speeds; here is the mean of it. Never within a fifth of the idle speed (own choice).
    pub fn overrun_cut<S: Over<P>>(&self, idle: P, pedal: S, speed: S) -> S {
        let resume = self.overrun_resume_speed.max(idle * OVER_IDLE);
        let band = self.overrun_cut_speed - resume;
        let above = (speed - resume) / positive_part(band, LEAST_BAND);
        step(above, 0.0, 1.0) * idle_share(pedal)
    }

    /// Share of closed loop: not at full load, not while fuel is cut, nor while the
    /// sensor still stands at its end because fuel was cut just before.
    pub fn closed_loop<S: Over<P>>(&self, sensed: S, pedal: S, cut: S) -> S {
        let useful = -step(sensed, 1.6, 1.9) + 1.0;
        (-full_load_share(pedal) + 1.0) * (-cut + 1.0) * useful
    }

    /// Rate of the short-term trim: integrates the lambda error in closed loop, an
    /// error beyond 0.15 no faster; fades to zero in open loop. While the sensor, moving at
    /// `rate` (1/s), still comes down from air that a fuel cut left in the pipe, it waits.
    pub fn trim_rate<S: Over<P>>(&self, trim: S, sensed: S, rate: S, closed: S) -> S {
        let limit = S::lift(self.trim_limit);
        let clearing = step(sensed, CLEARING[0], CLEARING[1]) * step(-rate, FALLING[0], FALLING[1]);
        let error = clamp(sensed - 1.0, -FAR, FAR, 1e-4) * self.trim_gain;
        limited_integrator(trim, error, -limit, limit, FADE) * closed * (-clearing + 1.0)
            - trim / FADE * (-closed + 1.0)
    }

    /// Shares with which the idle and the part-load cell learn in closed loop, by the pedal.
    pub fn learning<S: Over<P>>(&self, pedal: S, closed: S) -> [S; 2] {
        let idle = idle_share(pedal);
        [closed * idle, closed * (-idle + 1.0)]
    }

    /// Rate of a long-term cell that learns.
    pub fn learning_rate_of<S: Over<P>>(&self, cell: S, short: S) -> S {
        let limit = S::lift(self.learning_limit);
        limited_integrator(cell, short * self.learning_rate, -limit, limit, FADE)
    }

    /// Rate of the mixture that has reached the sensor: `lambda` in the pipe, `flow`
    /// (kg/s) and `density` (kg/m³) of the exhaust there. A first-order stage
    /// behind the mixing of the pipe itself stands for the delay.
    pub fn transport_rate<S: Over<P>>(&self, arrived: S, lambda: S, flow: S, density: S) -> S {
        let flow = positive_part(flow, LEAST_FLOW);
        // 2 ms stay when the sensor sits where the gas is mixed.
        let delay = density * self.sensor_way / flow + 2e-3;
        (clamp(lambda, 0.4, 4.0, 1e-4) - arrived) / delay
    }

    /// Rate of the oxygen sensor's reading; `lambda` at the sensor.
    ///
    /// The reading is held below 2 (the range a wideband sensor resolves).
    pub fn sensor_rate<S: Over<P>>(&self, reading: S, lambda: S) -> S {
        let seen = clamp(lambda + self.sensor_offset, 0.5, 2.0, 1e-4);
        lag(reading, seen, self.sensor_time_constant)
    }
}
