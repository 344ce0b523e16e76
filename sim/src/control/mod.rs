//! The engine computer: how it counts the air, doses the fuel, holds idle and
//! boost. It sees sensors, never the gas itself; that is how a leak deceives it.

pub mod boost;
pub mod fuelling;
pub mod j1979;
pub mod metering;
pub mod throttle;
pub mod watchdogs;

pub use boost::{Boost, BoostControl};
pub use fuelling::{Fuelling, TrimCarried, TrimCells};
pub use metering::{Meter, Metering};
pub use throttle::Drive;
pub use watchdogs::{Code, Watchdogs};

use crate::smooth::step;
use crate::{Over, Scalar};

/// How the crankshaft is loaded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SpeedMode {
    /// Held at this speed, rad/s (a brake, or the driver holding road speed).
    Held(f64),
    /// Free: friction and accessories only.
    Free,
    /// In gear: the car's own mass and drag, through the clutch.
    InGear,
}

/// What sets the throttle plate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ThrottleMode {
    /// The pedal; released, the idle governor takes over.
    Pedal,
    /// The driver holds this crankshaft torque, N m.
    Torque(f64),
    /// It stands at this opening, 0 to 1, whatever the pedal says.
    Opening(f64),
}

/// What a pressure sensor reads, Pa absolute, at a `pressure` (Pa absolute): off by `error` at
/// [`ERROR_STATED`], and at others as the error grows, from the same everywhere (`growth` 0: a zero that has
/// drifted) to in proportion (1: a slope that has). Zero and span error of any linear instrument; where between
/// the two a failed sensor lies is own choice and in doubt. Holds for errors small beside the range.
pub fn sensed_pressure<S: Over<P>, P: Scalar>(pressure: S, error: P, growth: P) -> S {
    let grown = (pressure / ERROR_STATED - 1.0) * growth + 1.0;
    pressure + grown * error
}

/// The pressure, Pa absolute, at which a sensor off so reads this ([`sensed_pressure`] the other way).
pub fn true_pressure(sensed: f64, error: f64, growth: f64) -> f64 {
    (sensed - error * (1.0 - growth)) / (1.0 + growth * error / ERROR_STATED)
}

/// Pressure, Pa, at which the error of a pressure sensor is stated.
pub const ERROR_STATED: f64 = 1e5;

/// What the computer remembers while it is not learning it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Memory {
    /// Throttle opening at which the engine idled.
    pub idle_opening: f64,
    /// Long-term trim of the idle cell, share.
    pub idle_trim: f64,
    /// Long-term trim of the part-load cell, share.
    pub part_load_trim: f64,
    /// Long-term trim of the high-load cell, share; 0 where there is none.
    pub high_load_trim: f64,
}

impl Memory {
    /// Of a computer that has learnt nothing yet.
    pub const FRESH: Memory = Memory {
        idle_opening: 0.03,
        idle_trim: 0.0,
        part_load_trim: 0.0,
        high_load_trim: 0.0,
    };
}

/// Orders to engine and driver for one operating point or one piece of a drive.
///
/// # Examples
/// ```
/// use sim::{Command, Reading, State, steady};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let cruise = car.with(Command::torque(250.0, 40.0));
/// let found = steady(&cruise, &State::from(cruise.start()))?.state;
/// let x = &found.data.0[0];
/// let torque = cruise.readings(x, &cruise.evaluate(x)).get(Reading::Torque).unwrap();
/// assert!((torque - 40.0).abs() < 0.05);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Command {
    /// Load on the crankshaft.
    pub speed: SpeedMode,
    /// Gear, from 1 up.
    pub gear: u8,
    /// What sets the throttle.
    pub throttle: ThrottleMode,
    /// Where the pedal is going, 0 to 1.
    pub pedal: f64,
    /// Rate of the pedal, 1/s; 0 means it is settled at `pedal`.
    pub pedal_rate: f64,
    /// What memories return to while they are not learning; without it they stay as they are.
    pub memory: Option<Memory>,
    /// Whether long-term trims learn.
    pub learning: bool,
    /// Whether the computer has reduced torque after a trouble code.
    pub reduced: bool,
}

/// Gear of pulls and of steady points (what a pull is usually done in).
pub const PULL_GEAR: u8 = 3;

impl Command {
    /// Idle: pedal released, free engine.
    pub const IDLE: Command = Command {
        speed: SpeedMode::Free,
        gear: PULL_GEAR,
        throttle: ThrottleMode::Pedal,
        pedal: 0.0,
        pedal_rate: 0.0,
        memory: None,
        learning: true,
        reduced: false,
    };

    /// Full load at a held speed, rad/s.
    pub fn full_load(speed: f64) -> Command {
        Command::pedal(speed, 1.0)
    }

    /// A torque, N m, held at a held speed, rad/s.
    pub fn torque(speed: f64, torque: f64) -> Command {
        Command {
            throttle: ThrottleMode::Torque(torque),
            ..Command::pedal(speed, 0.5)
        }
    }

    /// On the overrun at a held speed, rad/s: pedal released, the car driving the engine, its throttle
    /// at an opening, 0 to 1, that is the computer's own affair.
    pub fn overrun(speed: f64, opening: f64) -> Command {
        Command {
            throttle: ThrottleMode::Opening(opening),
            ..Command::pedal(speed, 0.0)
        }
    }

    /// A pedal position, 0 to 1, at a held speed, rad/s.
    pub fn pedal(speed: f64, pedal: f64) -> Command {
        Command {
            speed: SpeedMode::Held(speed),
            pedal,
            ..Command::IDLE
        }
    }

    /// Whether the car can drive the engine.
    pub fn driven(&self) -> bool {
        self.speed != SpeedMode::Free && (self.throttle == ThrottleMode::Pedal || self.pedal == 0.0)
    }
}

/// Share of full-load strategy (open loop, enrichment, boost control) at a pedal
/// position: 0 below 80 %, 1 above 90 %.
pub fn full_load_share<S: Scalar>(pedal: S) -> S {
    step(pedal, 0.80, 0.90)
}

/// Share of idle strategy at a pedal position: 1 released, 0 above 4 %.
pub fn idle_share<S: Scalar>(pedal: S) -> S {
    -step(pedal, 0.01, 0.04) + 1.0
}

/// First-order lag: rate of a state that follows `aim` with time constant `tau`.
pub fn lag<P: Scalar, S: Over<P>>(state: S, aim: S, tau: P) -> S {
    (aim - state) / tau
}
