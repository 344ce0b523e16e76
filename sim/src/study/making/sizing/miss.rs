//! A number of the plate that the finished car does not meet.

use super::request::TenNumbers;
use crate::say::sizing as say;
use crate::units::{Dimension, show_to};
use crate::words;
use std::fmt;

words! {
    /// A number that the car was to meet.
    pub enum Given {
        /// Highest torque at its speed.
        PeakTorque = "peak_torque",
        /// Lowest speed of the highest torque.
        PeakTorqueSpeed = "peak_torque_speed",
        /// Rated power at its speed.
        RatedPower = "rated_power",
        /// Highest boost.
        PeakBoost = "peak_boost",
        /// Boost at the rated speed.
        RatedBoost = "rated_boost",
    }
}

impl Given {
    /// Whether it is a boost.
    pub fn is_boost(self) -> bool {
        matches!(self, Given::PeakBoost | Given::RatedBoost)
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
    /// The peak-torque speed, where the car that was `tried` is one of later torque.
    pub(super) fn of_speed(numbers: &TenNumbers<f64>, tried: &TenNumbers<f64>) -> Option<Self> {
        let miss = Miss {
            what: Given::PeakTorqueSpeed,
            asked: numbers.peak_torque_speed,
            reached: tried.peak_torque_speed,
        };
        (miss.asked != miss.reached).then_some(miss)
    }

    /// By how much, a share of the number given.
    pub fn share(&self) -> f64 {
        self.reached / self.asked - 1.0
    }
}

impl fmt::Display for Miss {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let (name, dimension) = match self.what {
            Given::PeakTorque => (say::peak_torque(), Dimension::Torque),
            Given::PeakTorqueSpeed => (say::peak_torque_speed(), Dimension::AngularSpeed),
            Given::RatedPower => (say::rated_power(), Dimension::Power),
            Given::PeakBoost => (say::peak_boost(), Dimension::GaugePressure),
            Given::RatedBoost => (say::rated_boost(), Dimension::GaugePressure),
        };
        let [asked, reached] = [self.asked, self.reached].map(|v| show_to(v, dimension, 3));
        let share = 100.0 * self.share();
        f.write_str(&say::missed(name, asked, reached, share))
    }
}
