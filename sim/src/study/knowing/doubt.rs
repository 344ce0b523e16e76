//! What is not known of a car: one table.

pub use super::instrument::{Instrument, instrument};
use super::unlike::Unlike;
use crate::network::{Known, Network};
use nalgebra::DMatrix;

/// A number of the vehicle that differs from car to car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertain {
    /// Its dotted key, as [`Network::map`] gives it.
    pub key: &'static str,
    /// How far 95 % of cars stay within either way.
    pub within: Within,
    /// What it is, in plain words.
    pub name: &'static str,
}

/// A spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Within {
    /// A share of the number itself.
    Share(f64),
    /// SI.
    Absolute(f64),
    /// SI, from a number at the end of its range: cars differ from it one way only.
    Above(f64),
}

const fn share(key: &'static str, within: f64, name: &'static str) -> Uncertain {
    Uncertain {
        key,
        within: Within::Share(within),
        name,
    }
}

const fn offset(key: &'static str, within: f64, name: &'static str) -> Uncertain {
    Uncertain {
        key,
        within: Within::Absolute(within),
        name,
    }
}

/// What differs between healthy cars of one make, old ones among them.
///
/// Common practice, no source, for filling, meter, turbine and cooler; the others are own
/// choice, wide enough that a car is not called faulty for them.
pub const UNCERTAIN: &[Uncertain] = &[
    share("cylinders.filling_share", 0.05, "volumetric efficiency"),
    share(
        "meter.meter_scale",
        0.045,
        "scale of the mass air flow sensor",
    ),
    share("fuelling.delivery", 0.045, "fuel delivery"),
    share("turbine.throat_area", 0.05, "turbine size"),
    share("turbine.peak_efficiency", 0.05, "turbine efficiency"),
    share("compressor.work", 0.04, "compressor work"),
    share("wastegate.preload", 0.06, "wastegate spring"),
    share("cooler_heat.conductance", 0.08, "cooler, heat"),
    share("cooler.reference_loss", 0.20, "cooler, pressure loss"),
    share("filter.reference_loss", 0.25, "filter, pressure loss"),
    share("silencer.reference_loss", 0.15, "exhaust, pressure loss"),
    share("cylinders.cycle_quality", 0.03, "work of the cycle"),
    share("cylinders.friction_constant", 0.15, "engine friction"),
    share(
        "cylinders.accessory_torque",
        0.25,
        "load of the accessories",
    ),
    share("cylinders.blow_by_area", 0.40, "blow-by"),
    share("cylinders.coolant_share", 0.06, "heat to the coolant"),
    share("throttle.discharge_coefficient", 0.05, "throttle, flow"),
    share("throttle.closed_area", 0.15, "throttle, shut"),
    share("manifold.wall_above_ambient", 0.25, "heat of the manifold"),
    // A rule of thumb in every file, from none to twice as much; nothing of a healthy car hangs on it, and
    // all that a leak before the oxygen sensor draws in does.
    share(
        "exhaust_manifold.pulsation",
        1.0,
        "pulsation of the exhaust",
    ),
    share(
        "downpipe.pulsation",
        1.0,
        "pulsation of the exhaust after the turbine",
    ),
    // From a sensor that burns nearly all of it to one that burns next to none; nothing of an engine that
    // fires hangs on it.
    share(
        "fuelling.unfired_unseen",
        0.8,
        "fuel of a dead cylinder at the oxygen sensor",
    ),
    offset("fuelling.sensor_offset", 0.006, "oxygen sensor"),
    offset("meter.pressure_offset", 700.0, "manifold pressure sensor"),
    offset("boost.sensor_offset", 1500.0, "boost sensor"),
    // A zero that has drifted, or a slope: only an error that a fault has made large shows which.
    offset(
        "meter.pressure_error_growth",
        1.0,
        "error of the manifold pressure sensor, over pressure",
    ),
    offset(
        "boost.error_growth",
        1.0,
        "error of the boost sensor, over pressure",
    ),
];

/// What engine computers of another make aim at. Own choice, about what makes differ by; boost
/// at every speed together.
pub const AIMS: &[Uncertain] = &[
    // 110 rpm
    offset("drive.idle_speed", 11.5, "idle speed aimed at"),
    offset(
        "fuelling.full_load_lambda",
        0.06,
        "full-load mixture aimed at",
    ),
    offset("boost.target.*.1", 10e3, "boost aimed at"),
    // 8 degrees
    offset("drive.idle_retard", 0.14, "spark kept back at idle"),
    // From shut, most makes, to about as far open as helps; the straight line from shut, exact
    // there, gives room to both sides.
    Uncertain {
        key: "boost.rest_opening",
        within: Within::Above(0.3),
        name: "wastegate held open at part load",
    },
];

/// What a fit may move besides in a car of which only the plate is known. Own choice, about what a
/// plate leaves open: filling point by point of its curve, how the wastegate answers its duty, the
/// meter at high flow.
pub const OPEN: &[Uncertain] = &[
    share("filling.0.1", 0.3, "volumetric efficiency, point 1"),
    share("filling.1.1", 0.3, "volumetric efficiency, point 2"),
    share("filling.2.1", 0.3, "volumetric efficiency, point 3"),
    share("filling.3.1", 0.3, "volumetric efficiency, point 4"),
    share("filling.4.1", 0.3, "volumetric efficiency, point 5"),
    share("filling.5.1", 0.3, "volumetric efficiency, point 6"),
    share("filling.6.1", 0.3, "volumetric efficiency, point 7"),
    share("filling.7.1", 0.3, "volumetric efficiency, point 8"),
    share("wastegate.bleed_bore", 0.2, "wastegate solenoid, bleed"),
    share(
        "meter.high_flow_scale",
        0.06,
        "scale of the mass air flow sensor at high flow",
    ),
];

/// Of the usual numbers those of which a plate tells nothing, with how many times the usual spread a
/// fit gives them. Own choice: heat (a sensor before the turbo or behind the cooler, a small cooler or
/// a large one), the load of an idling engine, the wastegate's spring.
const WIDER: [(&str, f64); 4] = [
    ("cooler_heat.conductance", 8.0),
    ("manifold.wall_above_ambient", 6.0),
    ("cylinders.accessory_torque", 3.0),
    ("wastegate.preload", 4.0),
];

/// What sensors and injectors are off by: no plate tells of it, and it is as little in a car of which
/// nothing else is known.
const AS_IN_ANY_CAR: [&str; 8] = [
    "meter.pressure_error_growth",
    "boost.error_growth",
    "fuelling.unfired_unseen",
    "meter.meter_scale",
    "meter.pressure_offset",
    "fuelling.delivery",
    "fuelling.sensor_offset",
    "boost.sensor_offset",
];

/// How many times the usual spread a number has in a car of which only the plate is known.
fn of_a_plate(key: &str) -> f64 {
    match AS_IN_ANY_CAR.contains(&key) {
        true => 1.0,
        false => 2.0,
    }
}

/// How alike two cars of a make are in what their computers aim at. Own choice.
const SAME_AIM: f64 = 0.95;

/// What a car does not keep from one day to the next: a generator, a heater and a cooled cabin
/// load an idling engine as they are used. The share of the variance that it keeps is own choice; in
/// nineteen idles of one sound engine the air spreads over 2.0 to 2.5 g/s (LiU-ICE benchmark, arXiv
/// 2408.13269).
const OF_THE_MOMENT: (&str, f64) = ("cylinders.accessory_torque", 0.5);

/// Cars that lie within the stated spread, in standard deviations.
const WITHIN: f64 = 2.0;

/// The doubt about one car: numbers, and a factor of their covariance.
///
/// # Examples
/// ```
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let [measured, estimated] = [1.0, 2.0].map(|times| sim::CarDoubt::usual(&car, times));
/// assert!((estimated.factor.norm() / measured.factor.norm() - 2.0).abs() < 1e-9);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct CarDoubt {
    /// Dotted keys.
    pub keys: Vec<String>,
    /// `L` of the covariance `L Lᵀ`, SI; one row a key.
    pub factor: DMatrix<f64>,
    /// What differs and is no number of the file.
    pub unlike: Unlike,
    /// Share of each number's variance that this car keeps from one day to the next.
    pub of_car: Vec<f64>,
    /// Share of it that all cars of the make have in common.
    pub of_make: Vec<f64>,
}

impl CarDoubt {
    /// That of [`UNCERTAIN`], each number by itself, `times` as wide.
    pub fn usual(car: &Network<f64>, times: f64) -> Self {
        let numbers = UNCERTAIN.iter().map(|number| (number, times));
        Self::of(car, numbers.collect(), Unlike(false))
    }

    /// That of a car of which only the plate is known: twice the usual but for sensors and
    /// injectors, what its computer aims at ([`AIMS`]), and what is no number at all ([`Unlike`]).
    pub fn of_a_plate(car: &Network<f64>) -> Self {
        let numbers = UNCERTAIN
            .iter()
            .map(|number| (number, of_a_plate(number.key)));
        let aims = AIMS.iter().map(|number| (number, 1.0));
        Self::of(car, numbers.chain(aims).collect(), Unlike(true))
    }

    /// What a fit to a car's own healthy readings may move: the usual numbers and the aims, and where
    /// only the plate is known [`OPEN`] too.
    pub fn to_fit(car: &Network<f64>, known: Known) -> Self {
        let plate = known == Known::Estimated;
        let times = |key: &str| {
            let wider = WIDER.iter().find(|(wider, _)| *wider == key);
            match plate {
                true => wider.map_or(of_a_plate(key), |(_, times)| *times),
                false => 1.0,
            }
        };
        let aims = AIMS.iter().map(|number| (number, 1.0));
        let open = OPEN
            .iter()
            .filter(|number| number_of(car, number.key) != 0.0);
        let open = open.map(|number| (number, 1.0));
        let usual = UNCERTAIN.iter();
        let usual = usual.map(|number| (number, times(number.key))).chain(aims);
        match plate {
            true => Self::of(car, usual.chain(open).collect(), Unlike(true)),
            false => Self::of(car, usual.collect(), Unlike(false)),
        }
    }

    /// The same with aims in doubt as well: those that `named` asks for and that are not yet.
    #[must_use]
    pub fn with_aims(&self, car: &Network<f64>, named: impl Fn(&str) -> bool) -> Self {
        let new = |aim: &&Uncertain| named(aim.key) && !self.keys.iter().any(|key| key == aim.key);
        let aims = AIMS.iter().filter(new).map(|aim| (aim, 1.0));
        let more = Self::of(car, aims.collect(), self.unlike);
        let (own, count) = (self.count(), self.count() + more.count());
        let mut factor = DMatrix::zeros(count, count);
        factor.view_mut((0, 0), (own, own)).copy_from(&self.factor);
        let rest = (more.count(), more.count());
        factor.view_mut((own, own), rest).copy_from(&more.factor);
        let joined = |a: &[f64], b: &[f64]| [a, b].concat();
        Self {
            keys: [&self.keys[..], &more.keys[..]].concat(),
            factor,
            unlike: self.unlike,
            of_car: joined(&self.of_car, &more.of_car),
            of_make: joined(&self.of_make, &more.of_make),
        }
    }

    fn of(car: &Network<f64>, numbers: Vec<(&Uncertain, f64)>, unlike: Unlike) -> Self {
        let mut factor = DMatrix::zeros(numbers.len(), numbers.len());
        // What is wider than the usual spread from car to car, the file is wrong about for all of
        // them; aims are the make's.
        let of_make = numbers.iter().map(|(number, times)| {
            let aim = AIMS.iter().any(|aim| aim.key == number.key);
            if aim {
                SAME_AIM
            } else {
                (1.0 - 1.0 / (times * times)).max(0.0)
            }
        });
        let of_make = of_make.collect();
        let of_car = numbers.iter().map(|(number, _)| match number.key {
            key if key == OF_THE_MOMENT.0 => OF_THE_MOMENT.1,
            _ => 1.0,
        });
        let of_car = of_car.collect();
        let keys = numbers.iter().map(|(number, _)| number.key.to_string());
        for (i, (number, times)) in numbers.iter().enumerate() {
            let mut value = 0.0;
            if let Within::Share(_) = number.within {
                value = number_of(car, number.key);
            }
            factor[(i, i)] = number.deviation(value) * times;
        }
        Self {
            keys: keys.collect(),
            factor,
            unlike,
            of_car,
            of_make,
        }
    }

    /// Entries of the factor that are not zero: row, column, value.
    pub fn links(&self) -> Vec<(usize, usize, f64)> {
        let count = self.count();
        let all = (0..count).flat_map(|k| (0..count).map(move |j| (k, j)));
        let all = all.map(|(k, j)| (k, j, self.factor[(k, j)]));
        all.filter(|(.., factor)| *factor != 0.0).collect()
    }

    /// How many numbers are in doubt.
    pub fn count(&self) -> usize {
        self.keys.len()
    }
}

impl Uncertain {
    /// Standard deviation, SI, of the number at `value`.
    pub fn deviation(&self, value: f64) -> f64 {
        match self.within {
            Within::Share(share) => share * value / WITHIN,
            Within::Absolute(absolute) | Within::Above(absolute) => absolute / WITHIN,
        }
    }

    /// The number of this key, wherever it stands.
    pub fn named(key: &str) -> Option<&'static Self> {
        let mut all = UNCERTAIN.iter().chain(AIMS).chain(OPEN);
        all.find(|number| number.key == key)
    }

    /// Whether it is what an engine computer aims at.
    pub fn is_aim(key: &str) -> bool {
        AIMS.iter().any(|aim| aim.key == key)
    }

    /// Whether cars differ one way only in the number of this key.
    pub fn one_way(key: &str) -> bool {
        let own = AIMS.iter().find(|number| number.key == key);
        own.is_some_and(|number| matches!(number.within, Within::Above(_)))
    }
}

/// A number of the car by its dotted key; 0 where the car has none of that name.
fn number_of(car: &Network<f64>, wanted: &str) -> f64 {
    let mut found = 0.0;
    car.map(&mut |key, value| {
        if key == wanted {
            found = value;
        }
        value
    });
    found
}
