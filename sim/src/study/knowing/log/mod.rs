//! What a drive log holds: typed channels, steady windows, full-load pulls.
//!
//! A log arrives here row by row, already in the units of the readings; files and
//! their quirks are the reader's business. Memory is bounded whatever the length.
//!
//! The rule of a steady window (own choice, stated in [`RULE`]): the means of
//! [`Pace::block`] long pieces of engine speed, load and pedal stay within limits for
//! 5 s and 4 pieces at least, after a lead-in of 2 s that is left out, engine warm.
//!
//! What no steady window holds is gathered by speed and load (`moments`).

mod average;
mod channel;
mod cluster;
mod course;
mod finder;
mod mapping;
mod moments;
mod plane;
mod pull;

pub use average::Average;
pub use channel::Channel;
pub use course::{Break, Course, Span, Use};
pub use finder::{Finder, Found, LONGEST_HELD, Pace};
pub use mapping::{Mapping, Only, Said};
pub use pull::{Pull, Sample};

use crate::control::Command;
use crate::machine::road::Road;
use crate::say::driving as say;
use std::f64::consts::PI;

/// The rule by which windows are found, in words.
pub const RULE: &str = say::steady_rule();

/// What the engine was doing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Pedal released, car standing.
    Idle,
    /// In between.
    PartLoad,
    /// Pedal down.
    FullLoad,
    /// Pedal released, the car driving the engine.
    Overrun,
}

impl Kind {
    /// Pedal share up to which it is released, and from which it is down (common practice, no
    /// source).
    const RELEASED: f64 = 0.02;
    const DOWN: f64 = 0.92;

    /// What it was at a speed, rpm, and pedal share. Road speed in km/h, where known.
    fn of(speed: f64, pedal: f64, road: Option<f64>) -> Kind {
        match (Self::stands(speed, road), pedal) {
            (true, pedal) if pedal.is_nan() || pedal <= Self::RELEASED => Kind::Idle,
            (_, pedal) if pedal <= Self::RELEASED => Kind::Overrun,
            (_, pedal) if pedal >= Self::DOWN => Kind::FullLoad,
            _ => Kind::PartLoad,
        }
    }

    /// Whether the car may be taken to stand: below 3 km/h, where known, and 1300 rpm.
    fn stands(speed: f64, road: Option<f64>) -> bool {
        road.is_none_or(|speed| speed < 3.0) && speed < 1300.0
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Kind::Idle => say::idle(),
            Kind::PartLoad => say::part_load(),
            Kind::FullLoad => say::full_load(),
            Kind::Overrun => say::overrun(),
        }
    }
}

/// A condition that was held, with what was read there.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// What the engine was doing.
    pub kind: Kind,
    /// Time at which it was first held, s from the start of the log.
    pub start: f64,
    /// How long it was held, s, all pieces together.
    pub seconds: f64,
    /// In how many pieces.
    pub pieces: u32,
    /// Engine speed, rpm.
    pub speed: f64,
    /// The reading that stands for load (see [`Channel::LOADS`]) and its mean; none in the log.
    pub load: Option<(Channel, f64)>,
    /// Pedal (or throttle, where no pedal is logged), 0 released to 1 down, by the ends seen
    /// in the log.
    pub pedal: Option<f64>,
    /// What was read, in the order of the channels.
    pub averages: Vec<Average>,
}

impl Window {
    /// What was read of a channel.
    pub fn get(&self, channel: Channel) -> Option<&Average> {
        self.averages.iter().find(|a| a.channel == channel)
    }

    /// What the condition is called: `part load 2010 rpm`.
    pub fn name(&self) -> String {
        match self.kind {
            Kind::Idle => say::idle().into(),
            kind => say::at_speed(kind.words(), self.speed),
        }
    }

    /// The gear, from road speed and engine speed: the nearest within 6 % of `road`'s own
    /// (own choice), or the one logged; none where neither is known.
    pub fn gear(&self, road: &Road) -> Option<u8> {
        if let Some(logged) = self.get(Channel::Gear) {
            // A gear is a small whole number: the range of the channel holds it.
            return (logged.scatter < 0.1).then(|| logged.mean.round() as u8);
        }
        let speed = Channel::from_key("vehicle_speed_km_h").and_then(|c| self.get(c))?;
        if speed.mean < 5.0 {
            return None;
        }
        let ratio = self.speed * PI / 30.0 * road.wheel_radius / (speed.mean / 3.6);
        let gears = road.gears.points().iter();
        let off = |gear: f64| (ratio / gear).ln().abs();
        let near = gears.min_by(|a, b| off(a[1]).total_cmp(&off(b[1])))?;
        (off(near[1]) < 0.06).then_some(near[0] as u8)
    }

    /// The command that asks a model for the same: idle, full load at this speed, or this
    /// pedal at this speed.
    ///
    /// At part load the pedal is only a first guess: how a car's pedal opens its throttle is
    /// its own affair, so hold the load instead where it matters.
    pub fn command(&self) -> Command {
        let speed = self.speed * PI / 30.0;
        match self.kind {
            Kind::Idle => Command::IDLE,
            Kind::FullLoad => Command::full_load(speed),
            Kind::Overrun => Command::overrun(speed, 0.0),
            Kind::PartLoad => Command::pedal(speed, self.pedal.unwrap_or(0.3)),
        }
    }
}
