//! What a study file says: a scenario, and what of it varies.

use crate::control::BoostControl;
use crate::leak::Shape;
use crate::medium::FuelKind;
use crate::network::Reading;
use crate::params::Amount;
use crate::scenario::{
    Around, Events, Faults, History, Leaks, Pieces, Points, Scenario, Surroundings, TrimAge,
};
use crate::{tables, words};

words! {
    /// How the cases of a study are chosen.
    pub enum Sampling {
        /// every combination of the axes' values, the last axis fastest
        Grid = "grid",
        /// `count` cases, each axis cut into as many strips, each strip used once
        LatinHypercube = "latin_hypercube",
        /// the first `count` points of a Sobol sequence, shifted by the seed
        Sobol = "sobol",
    }
}

words! {
    /// How the values between the ends of an axis are spread.
    pub enum Spacing {
        /// equal steps
        Linear = "linear",
        /// equal ratios
        Logarithmic = "logarithmic",
    }
}

/// Dotted keys in a file.
pub type Keys = Vec<String>;
/// Values in a file, of a quantity or words.
pub type Levels = Vec<Amount>;
/// Names of readings in a file.
pub type Kept = Vec<Reading>;
/// Leak shapes in a file.
pub type Shapes = Vec<Shape<f64>>;
/// Axes in a file.
pub type Axes = Vec<Axis>;

tables! {
    /// One thing that varies: `values`, or `from` and `to`, or `shapes`.
    pub struct Axis {
        /// what varies, as a dotted key: a quantity of this file (`leak.0.round_hole.diameter`, `ambient.temperature`, `point.0.speed`) or of the car (`vehicle.turbine.throat_area`); `leak.0.place`, `leak.0.shape`, `trims`, `history`, `boost_control`, `vehicle.metering`
        key: String,
        /// the values, each with its unit (a plain number where the quantity has none), or the words
        values: Levels = Vec::new(),
        /// the shapes of a `leak.0.shape`
        shapes: Shapes = Vec::new(),
        /// first value, with its unit
        from: Amount or None,
        /// last value, with its unit
        to: Amount or None,
        /// how many values from first to last (grid only)
        count: Ratio [2.0, 1e6] or None,
        /// how the values between are spread
        spacing: Spacing = Spacing::Linear,
    }
}

tables! {
    /// A study file: the keys of a scenario, and the axes along which it is swept.
    pub struct Study {
        /// what the study is called
        title: String,
        /// what it asks
        about: String = String::new(),
        /// path of the vehicle file, from the study file
        vehicle: String,
        /// how the cases are chosen
        sampling: Sampling = Sampling::Grid,
        /// number of cases of a sample
        count: Ratio [1.0, 1e9] or None,
        /// what a sample's chance numbers come from
        seed: Ratio [0.0, 9e15] = 1.0,
        /// the readings to keep; all if left out
        readings: Kept = Vec::new(),
        /// quantities to take exact derivatives of the readings by, at every point: dotted keys as those of an axis, of a leak, a fault or the car
        derivatives: Keys = Vec::new(),
        /// time between two samples of the drive
        interval: Time [0.001, 10.0] = 0.05,
        /// boost control instead of the vehicle's own
        boost_control: BoostControl or None,
        /// duty for boost control `fixed_duty` instead of the vehicle's own
        fixed_duty: Ratio [0.0, 1.0] or None,
        /// fuel in the tank, where it is not the one that the engine computer is made for (the vehicle's)
        tank: FuelKind or None,
        /// what the fuel trims have had time for
        trims: TrimAge = TrimAge::Learned,
        /// how leaks and faults came about, where the answer depends on it
        history: History = History::Grown,
        /// the air around the car
        ambient: Around = Surroundings::STANDARD,
        /// what varies; in a grid the last axis is the fastest
        axis: Axes = Vec::new(),
        /// leaks
        leak: Leaks = Vec::new(),
        /// faults that look like leaks
        fault: Faults = Vec::new(),
        /// operating points of each case
        point: Points = Vec::new(),
        /// a drive of each case instead, piece by piece
        drive: Pieces = Vec::new(),
        /// what happens during the drive
        event: Events = Vec::new(),
    }
}

impl Study<f64> {
    /// The scenario from which every case differs by its place on the axes.
    pub fn scenario(&self) -> Scenario {
        Scenario {
            title: self.title.clone(),
            about: self.about.clone(),
            vehicle: self.vehicle.clone(),
            ambient: self.ambient.clone(),
            leak: self.leak.clone(),
            fault: self.fault.clone(),
            point: self.point.clone(),
            drive: self.drive.clone(),
            event: self.event.clone(),
            boost_control: self.boost_control,
            fixed_duty: self.fixed_duty,
            tank: self.tank,
            trims: self.trims,
            history: self.history,
        }
    }
}
