//! Why no car is sized: which numbers contradict each other, and what would fit.

use crate::curve::CurveError;
use crate::params::Field;
use crate::say::sizing as say;
use crate::solve::Failure;
use crate::units::{Dimension, show_range, show_to};
use std::fmt;

/// Numbers that contradict each other, SI, with those that would fit.
#[derive(Clone, Debug, PartialEq)]
pub enum Clash {
    /// A part of a cylinder.
    Cylinders(f64),
    /// Displacement against cylinders.
    CylinderSize {
        /// m³ each.
        each: f64,
        /// How many would fit.
        fits: [f64; 2],
    },
    /// Rated speed against cylinder size.
    PistonSpeed {
        /// Rated speed, rad/s.
        speed: f64,
        /// Mean piston speed, m/s.
        piston: f64,
        /// Highest speed that would fit, rad/s.
        most: f64,
    },
    /// Peak-torque speed against rated speed, rad/s.
    PeakSpeed {
        /// Of the torque.
        peak: f64,
        /// Of the power.
        rated: f64,
    },
    /// Rated power takes more than the peak torque.
    PowerOverTorque {
        /// What it takes, N m.
        torque: f64,
        /// Highest power at its speed that would fit, W.
        most: f64,
    },
    /// Peak torque makes more than the rated power.
    TorqueOverPower {
        /// What it makes, W.
        power: f64,
        /// Highest peak-torque speed that would fit, rad/s.
        most: f64,
    },
    /// Peak torque against displacement and peak boost.
    TorqueOffBoost {
        /// Peak boost, Pa gauge.
        boost: f64,
        /// m³.
        displacement: f64,
        /// What such boost gives, N m.
        gives: [f64; 2],
        /// The peak torque, N m.
        asked: f64,
        /// Boost, Pa gauge, that would fit; none where no engine is given it.
        fits: Option<f64>,
        /// Torque, N m, that would fit.
        torque: f64,
    },
    /// Peak torque against displacement alone.
    TorqueOffSize {
        /// The peak torque, N m.
        asked: f64,
        /// m³.
        displacement: f64,
        /// What engines of that size give, N m.
        gives: [f64; 2],
    },
    /// The torque ends before it begins, rad/s.
    Plateau {
        /// Where it begins.
        from: f64,
        /// Where it ends.
        end: f64,
    },
}

/// Why a number cannot stand in a vehicle file.
#[derive(Clone, Debug, PartialEq)]
pub enum Unheld {
    /// The file has no such key.
    NoSuchKey,
    /// No rule sizes it, and it has no default.
    NoRule,
    /// Out of its range: the value, SI.
    OutOfRange(f64, Field),
    /// No curve.
    Curve(CurveError),
}

/// Why there is no car.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// Numbers that contradict each other.
    Clash(Clash),
    /// A number that a vehicle file may not hold: its key.
    Part(String, Unheld),
    /// The car does not run.
    Run(Failure),
}

impl From<Clash> for Refusal {
    fn from(clash: Clash) -> Self {
        Refusal::Clash(clash)
    }
}

impl fmt::Display for Clash {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let speed = |speed: f64| show_to(speed, Dimension::AngularSpeed, 4);
        let power = |power: f64| show_to(power, Dimension::Power, 3);
        let torque = |torque: f64| show_to(torque, Dimension::Torque, 3);
        let boost = |boost: f64| show_to(boost, Dimension::GaugePressure, 3);
        f.write_str(&match *self {
            Clash::Cylinders(count) => say::parts_of_cylinders(count),
            Clash::CylinderSize { each, fits } => say::cylinder_size(each * 1e3, fits[0], fits[1]),
            Clash::PistonSpeed {
                speed: rated,
                piston,
                most,
            } => say::piston_speed(speed(rated), piston, speed(most)),
            Clash::PeakSpeed { peak, rated } => {
                say::peak_near_rated(speed(peak), speed(rated), speed(0.9 * rated))
            }
            Clash::PowerOverTorque {
                torque: rated,
                most,
            } => say::power_over_torque(torque(rated), power(most), torque(rated)),
            Clash::TorqueOverPower { power: makes, most } => {
                say::torque_over_power(power(makes), speed(most))
            }
            Clash::TorqueOffBoost {
                boost: given,
                displacement,
                gives: [low, high],
                asked,
                fits,
                torque: likely,
            } => {
                let (given, litres) = (boost(given), displacement * 1e3);
                let [low, high, asked, likely] = [low, high, asked, likely].map(torque);
                match fits.map(|fits| show_to(fits, Dimension::GaugePressure, 2)) {
                    None => say::torque_off_boost(given, litres, low, high, asked, likely),
                    Some(other) => {
                        say::torque_off_boost_either(given, litres, low, high, asked, other, likely)
                    }
                }
            }
            Clash::TorqueOffSize {
                asked,
                displacement,
                gives: [low, high],
            } => {
                let [asked, low, high] = [asked, low, high].map(torque);
                say::torque_off_size(displacement * 1e3, asked, low, high)
            }
            Clash::Plateau { from, end } => say::plateau(speed(from), speed(end)),
        })
    }
}

impl fmt::Display for Unheld {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Unheld::NoSuchKey => f.write_str(say::no_such_key()),
            Unheld::NoRule => f.write_str(say::no_rule()),
            Unheld::OutOfRange(value, field) => f.write_str(&say::out_of_range(
                crate::units::show(*value, field.dimension),
                show_range(field.low, field.high, field.dimension),
            )),
            Unheld::Curve(why) => why.fmt(f),
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Refusal::Clash(clash) => clash.fmt(f),
            Refusal::Part(key, why) => f.write_str(&say::beyond_file(key, why)),
            Refusal::Run(failure) => f.write_str(&say::does_not_run(failure)),
        }
    }
}

impl std::error::Error for Refusal {}
