//! A number of the plate that the finished car does not meet.

use crate::say::sizing as say;
use crate::units::{Dimension, show_to};
use crate::words;
use std::fmt;

words! {
    /// A number that the car was to meet.
    pub enum Given {
        /// Highest torque at its speed.
        PeakTorque = "peak_torque",
        /// Rated power at its speed.
        RatedPower = "rated_power",
        /// Highest boost.
        PeakBoost = "peak_boost",
        /// Boost at the rated speed.
        RatedBoost = "rated_boost",
    }
}

/// What the car misses by more than 3 %.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Miss {
    /// Of what.
    pub what: Given,
    /// The number given, SI.
    pub asked: f64,
    /// That of the car, SI.
    pub reached: f64,
}

impl Miss {
    /// By how much, a share of the number given.
    pub fn share(&self) -> f64 {
        self.reached / self.asked - 1.0
    }
}

impl fmt::Display for Miss {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let (name, dimension) = match self.what {
            Given::PeakTorque => (say::peak_torque(), Dimension::Torque),
            Given::RatedPower => (say::rated_power(), Dimension::Power),
            Given::PeakBoost => (say::peak_boost(), Dimension::GaugePressure),
            Given::RatedBoost => (say::rated_boost(), Dimension::GaugePressure),
        };
        let [asked, reached] = [self.asked, self.reached].map(|v| show_to(v, dimension, 3));
        let share = 100.0 * self.share();
        f.write_str(&say::missed(name, asked, reached, share))
    }
}
