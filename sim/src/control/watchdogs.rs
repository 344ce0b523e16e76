//! Watchdogs: what the engine computer compares while it runs, and the trouble
//! codes it sets (SAE J2012 / ISO 15031-6; numbers and names as far as listed
//! there, some from memory). Thresholds, times and enabling conditions differ
//! from maker to maker; these are the vehicle file's own.
//!
//! A watchdog's **level** is what it measures over its threshold: at 1 and above,
//! held for its time, the code is set. A watchdog that is not enabled has no level.

use super::{BoostControl, Command, SpeedMode};
use crate::scalar::{Over, Scalar};
use crate::units::RPM;
use crate::{quantities, words};

words! {
    /// A generic trouble code.
    ///
    /// # Examples
    /// ```
    /// use sim::Code;
    /// let code: Code = "P0171".parse()?;
    /// assert_eq!((code, code.name()), (Code::Lean, "System too lean (bank 1)"));
    /// // Too little boost is answered with less torque; a lean mixture is not.
    /// assert!(Code::Underboost.reduces_torque() && !code.reduces_torque());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub enum Code {
        /// Mass air flow sensor range or performance: meter against air by manifold pressure, off idle
        AirFlow = "P0101",
        /// Manifold pressure range or performance: out of place at idle, or unlike boost at full load
        ManifoldPressure = "P0106",
        /// System too lean (bank 1): total trim in closed loop
        Lean = "P0171",
        /// System too rich (bank 1): total trim in closed loop
        Rich = "P0172",
        /// Random or multiple cylinder misfire detected: share of the working cycles that do not burn
        Misfire = "P0300",
        /// Overboost: boost above target; the computer reduces torque
        Overboost = "P0234",
        /// Underboost: boost below target at full load; the computer reduces torque
        Underboost = "P0299",
        /// Idle speed higher than expected
        IdleHigh = "P0507",
        /// System too lean off idle (bank 1): total trim off idle
        LeanOffIdle = "P2177",
        /// System too rich off idle (bank 1): total trim off idle
        RichOffIdle = "P2178",
        /// System too lean at idle (bank 1): total trim at idle
        LeanAtIdle = "P2187",
        /// System too rich at idle (bank 1): total trim at idle
        RichAtIdle = "P2188",
        /// System too lean at higher load (bank 1): oxygen sensor against commanded lambda at full load
        LeanAtLoad = "P2191",
        /// System too rich at higher load (bank 1): oxygen sensor against commanded lambda at full load
        RichAtLoad = "P2192",
        /// Intake air system leak: meter far below air by manifold pressure at idle
        IntakeLeak = "P2279",
    }
}

/// Number of codes.
pub const CODES: usize = Code::WORDS.len();

impl Code {
    /// Whether the computer reduces torque once this code is set.
    pub fn reduces_torque(self) -> bool {
        matches!(self, Code::Overboost | Code::Underboost)
    }

    /// The standard's title in meaning, without this model's remark.
    pub fn name(self) -> &'static str {
        let meaning = Self::WORDS[self as usize].2.trim();
        meaning.split(':').next().unwrap_or(meaning)
    }
}

quantities! {
    /// Thresholds and times of the trouble codes.
    pub struct Watchdogs {
        /// P0171, P0172: total trim either way, in closed loop
        trim: Ratio [0.05, 0.6] = 0.20,
        /// P2187, P2188: total trim either way at idle
        idle_trim: Ratio [0.05, 0.6] = 0.15,
        /// P2177, P2178: total trim either way off idle
        part_load_trim: Ratio [0.05, 0.6] = 0.15,
        /// time for the trim codes
        trim_time: Time [0.1, 120.0] = 5.0,
        /// P2191, P2192: sensed over commanded lambda, either way from 1, at full load
        full_load_mixture: Ratio [0.02, 0.5] = 0.08,
        /// time for the full-load mixture codes
        full_load_mixture_time: Time [0.1, 60.0] = 2.0,
        /// P0300: share of the working cycles that do not burn
        misfire: Ratio [0.005, 0.5] = 0.02,
        /// time for misfire
        misfire_time: Time [0.1, 120.0] = 5.0,
        /// P0234: boost above target
        overboost: PressureDifference [2e3, 1e5] = 20e3,
        /// time for overboost
        overboost_time: Time [0.1, 60.0] = 0.5,
        /// P0299: boost below target at full load
        underboost: PressureDifference [2e3, 1e5] = 20e3,
        /// time for underboost
        underboost_time: Time [0.1, 60.0] = 2.5,
        /// engine speed from which underboost is watched
        underboost_from: AngularSpeed [800.0 * RPM, 6e3 * RPM] = 235.0,
        /// engine speed up to which underboost is watched
        underboost_to: AngularSpeed [2e3 * RPM, 9e3 * RPM] = 580.0,
        /// P0507: idle speed above its target
        idle_high: AngularSpeed [30.0 * RPM, 1e3 * RPM] = 21.0,
        /// time for the idle speed code
        idle_high_time: Time [0.1, 120.0] = 5.0,
        /// P0101: meter over air by manifold pressure, either way from 1, off idle
        air_flow: Ratio [0.05, 0.8] = 0.25,
        /// P2279: share of the air by manifold pressure that the meter misses at idle
        intake_leak: Ratio [0.05, 0.9] = 0.35,
        /// time for the air-flow and intake-leak codes
        air_flow_time: Time [0.1, 120.0] = 3.0,
        /// P0106: highest manifold pressure at idle over ambient
        idle_manifold_high: Ratio [0.3, 0.95] = 0.60,
        /// P0106: lowest manifold pressure at idle over ambient
        idle_manifold_low: Ratio [0.02, 0.3] = 0.15,
        /// P0106: manifold against boost sensor at full load
        sensors_apart: PressureDifference [2e3, 1e5] = 15e3,
        /// time for the manifold pressure code
        manifold_time: Time [0.1, 120.0] = 3.0,
    }
}

/// Engine speed over idle speed from which an engine with the pedal released has not come
/// down to idle yet (own choice).
const FALLS: f64 = 1.5;

/// What the watchdogs see: sensors and the computer's own numbers.
#[derive(Clone, Copy, Debug)]
pub struct Observed<S> {
    /// Pedal as heeded, 0 to 1.
    pub pedal: S,
    /// Crank speed, rad/s.
    pub speed: S,
    /// Idle speed wanted, rad/s.
    pub idle_speed: S,
    /// All fuel added by trims, share.
    pub trim: S,
    /// Sensed over commanded lambda.
    pub mixture: S,
    /// Share of fuel cut, on overrun or by the speed limiter.
    pub cut: S,
    /// Share of the working cycles with fuel that do not burn.
    pub misfire: S,
    /// Meter over air by manifold pressure; none without a meter.
    pub meter_ratio: Option<S>,
    /// Manifold pressure sensor, Pa abs.
    pub manifold: S,
    /// Boost sensor, Pa abs.
    pub boost: S,
    /// Ambient pressure sensor, Pa abs.
    pub ambient: S,
    /// Boost wanted at full load at this speed, Pa over ambient.
    pub wanted_boost: S,
    /// Highest boost wanted at any speed, Pa over ambient.
    pub highest_boost: S,
    /// How boost is commanded.
    pub control: BoostControl,
}

/// Level of every code, in the order of [`Code::WORDS`].
pub type Levels<S> = [Option<S>; CODES];

impl<P: Scalar> Watchdogs<P> {
    /// Levels now; `command` tells a free from a driven engine.
    pub fn levels<S: Over<P>>(&self, seen: &Observed<S>, command: &Command) -> Levels<S> {
        let pedal = seen.pedal.value();
        let (released, full) = (pedal < 0.01, pedal > 0.9);
        let idle = released && command.speed == SpeedMode::Free;
        let fuelled = seen.cut.value() < 0.01;
        let closed = pedal < 0.8 && fuelled;
        let part_load = closed && pedal > 0.04;
        let charged =
            seen.control != BoostControl::Spring && seen.control != BoostControl::FixedDuty;
        let boost = seen.boost - seen.ambient;
        let (from, to) = (self.underboost_from.value(), self.underboost_to.value());
        let watched = full && fuelled && charged && (from..=to).contains(&seen.speed.value());
        let ceiling = if charged {
            seen.wanted_boost
        } else {
            seen.highest_boost
        };
        let if_so = |enabled: bool, level: S| enabled.then_some(level);
        std::array::from_fn(|i| match Code::WORDS[i].1 {
            Code::Lean => if_so(closed, seen.trim / self.trim),
            Code::Rich => if_so(closed, -seen.trim / self.trim),
            Code::LeanAtIdle => if_so(closed && idle, seen.trim / self.idle_trim),
            Code::RichAtIdle => if_so(closed && idle, -seen.trim / self.idle_trim),
            Code::LeanOffIdle => if_so(part_load, seen.trim / self.part_load_trim),
            Code::RichOffIdle => if_so(part_load, -seen.trim / self.part_load_trim),
            Code::LeanAtLoad => if_so(
                full && fuelled,
                (seen.mixture - 1.0) / self.full_load_mixture,
            ),
            Code::RichAtLoad => if_so(
                full && fuelled,
                (-seen.mixture + 1.0) / self.full_load_mixture,
            ),
            Code::Misfire => if_so(fuelled, seen.misfire / self.misfire),
            Code::Overboost => Some((boost - ceiling) / self.overboost),
            Code::Underboost => if_so(watched, (seen.wanted_boost - boost) / self.underboost),
            Code::IdleHigh => if_so(idle, (seen.speed - seen.idle_speed) / self.idle_high),
            Code::AirFlow => seen
                .meter_ratio
                .filter(|_| !released)
                .map(|ratio| (ratio - 1.0).abs() / self.air_flow),
            Code::IntakeLeak => seen
                .meter_ratio
                .filter(|_| idle)
                .map(|ratio| (-ratio + 1.0) / self.intake_leak),
            // On overrun the manifold is emptier than any idle makes it.
            Code::ManifoldPressure if released && !closed => None,
            Code::ManifoldPressure if idle => {
                let share = seen.manifold / seen.ambient;
                let high = share / self.idle_manifold_high;
                let low = S::lift(self.idle_manifold_low) / share;
                // An engine that still falls to idle empties its manifold further than any idle.
                let falls = seen.speed.value() > FALLS * seen.idle_speed.value();
                Some(if falls { high } else { high.max(low) })
            }
            Code::ManifoldPressure => if_so(
                full,
                (seen.manifold - seen.boost).abs() / self.sensors_apart,
            ),
        })
    }

    /// Time, s, for which a level must be held.
    pub fn time(&self, code: Code) -> P {
        match code {
            Code::AirFlow | Code::IntakeLeak => self.air_flow_time,
            Code::ManifoldPressure => self.manifold_time,
            Code::Misfire => self.misfire_time,
            Code::Overboost => self.overboost_time,
            Code::Underboost => self.underboost_time,
            Code::IdleHigh => self.idle_high_time,
            Code::LeanAtLoad | Code::RichAtLoad => self.full_load_mixture_time,
            _ => self.trim_time,
        }
    }
}

/// What a level must reach for its code to be set.
pub const TRIPS: f64 = 1.0;

/// The watchdogs' clocks over a drive.
#[derive(Clone, Copy, Debug, Default)]
pub struct Clocks {
    held: [f64; CODES],
    set: [bool; CODES],
}

impl Clocks {
    /// One round of the watchdogs' task, `period` seconds after the last: the
    /// codes that are set by it. A level below 1, or none, starts its clock anew.
    pub fn tick(
        &mut self,
        watchdogs: &Watchdogs<f64>,
        levels: &Levels<f64>,
        period: f64,
    ) -> Vec<Code> {
        let mut now = Vec::new();
        for (i, (_, code, _)) in Code::WORDS.iter().enumerate() {
            let trips = levels[i].is_some_and(|level| level >= TRIPS);
            self.held[i] = if trips { self.held[i] + period } else { 0.0 };
            if !self.set[i] && self.held[i] >= watchdogs.time(*code) {
                self.set[i] = true;
                now.push(*code);
            }
        }
        now
    }
}
