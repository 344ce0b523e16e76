//! The numbers of a car that a derivative may be taken by, and the car with
//! them as dual numbers.

use crate::control::Command;
use crate::dual::Dual;
use crate::network::Network;
use crate::spelling::{nearest, quote};
use std::fmt;

/// A number of the car, by its dotted key: `turbine.throat_area`,
/// `leak.0.round_hole.diameter`, `fault.0.meter_reads`, `boost.target.1.1` (the
/// second number of the second point of a curve).
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// The key.
    pub key: String,
    /// The value, SI.
    pub value: f64,
}

/// Every number of a car that a derivative can be taken by: its faults, vehicle
/// and leaks in the order of [`Network::map`].
///
/// # Examples
/// ```
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let all = sim::quantities(&car);
/// let throat = all.iter().find(|quantity| quantity.key == "turbine.throat_area").unwrap();
/// assert_eq!(throat.value, car.vehicle.turbine.throat_area);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn quantities(network: &Network<f64>) -> Vec<Quantity> {
    let mut all = Vec::new();
    network.map(&mut |key, value| {
        all.push(Quantity {
            key: key.to_string(),
            value,
        });
        value
    });
    all
}

/// A word that names no number of the car.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownNumber {
    /// The word.
    pub word: String,
    /// The nearest key there is.
    pub near: Option<String>,
}

impl fmt::Display for UnknownNumber {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "the car has no number {}", quote(&self.word))?;
        match &self.near {
            Some(near) => write!(f, "; did you mean `{near}`?"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for UnknownNumber {}

/// The key of a number as every command spells it: the car's own begin with `vehicle`.
pub fn spelled(key: &str) -> String {
    match key.split('.').next() {
        Some("leak" | "fault") => key.into(),
        _ => format!("vehicle.{key}"),
    }
}

/// Those of the quantities that are named by `wanted`: whole keys, or the first
/// words of keys (`vehicle.compressor` for all of its numbers); a number of the car also without
/// its first word, `vehicle`.
///
/// # Errors
/// A word that names none, with the nearest right one.
pub fn named(all: &[Quantity], wanted: &[String]) -> Result<Vec<Quantity>, UnknownNumber> {
    let begins = |key: &str, word: &str| {
        key.strip_prefix(word)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let named_by = |key: &str, word: &str| begins(key, word) || begins(&spelled(key), word);
    for word in wanted {
        if !all.iter().any(|q| named_by(&q.key, word)) {
            let whole: Vec<String> = all.iter().map(|q| spelled(&q.key)).collect();
            let keys = all.iter().map(|q| q.key.as_str());
            let near = nearest(word, keys).map(spelled);
            let near =
                near.or_else(|| nearest(word, whole.iter().map(String::as_str)).map(String::from));
            return Err(UnknownNumber {
                word: word.clone(),
                near,
            });
        }
    }
    let kept = all
        .iter()
        .filter(|q| wanted.iter().any(|word| named_by(&q.key, word)));
    Ok(kept.cloned().collect())
}

/// A car whose chosen numbers are seeded as dual numbers, `W` directions at a time.
///
/// Made once, it serves every operating point: only the command changes.
#[derive(Clone, Debug)]
pub struct Seeded<const W: usize> {
    pub(super) count: usize,
    pub(super) cars: Vec<Network<Dual<W>>>,
}

impl<const W: usize> Seeded<W> {
    /// One direction a quantity; a key that the car does not have (a leak's, in
    /// the healthy car) is a direction along which nothing changes.
    pub fn new(network: &Network<f64>, quantities: &[Quantity]) -> Self {
        let directions: Vec<_> = quantities.iter().map(|q| (q.key.as_str(), 1.0)).collect();
        Self::along(network, &directions)
    }

    /// One direction a key, each with the slope of that number along it; `a.*.b` is every number
    /// whose key begins and ends so, together.
    pub fn along(network: &Network<f64>, directions: &[(&str, f64)]) -> Self {
        let cars = directions.chunks(W).map(|chunk| {
            network.map(&mut |key, value| {
                let mut slope = [0.0; W];
                for (slope, (name, along)) in slope.iter_mut().zip(chunk) {
                    if is_meant(name, key) {
                        *slope = *along;
                    }
                }
                Dual { value, slope }
            })
        });
        Self {
            count: directions.len(),
            cars: cars.collect(),
        }
    }

    /// The same car without its leaks and faults.
    pub fn sound(&self) -> Self {
        let mut sound = self.clone();
        for car in &mut sound.cars {
            car.leaks.clear();
            car.faults.clear();
            car.vehicle = car.sound.clone();
        }
        sound
    }

    /// The same directions of a car that `change` alters; it is told the slope of
    /// direction `column`.
    pub fn altered(&self, column: usize, change: impl Fn(&mut Network<Dual<W>>, [f64; W])) -> Self {
        let mut altered = self.clone();
        for (c, car) in altered.cars.iter_mut().enumerate() {
            let slope = std::array::from_fn(|k| if c * W + k == column { 1.0 } else { 0.0 });
            change(car, slope);
        }
        altered
    }

    /// The cars, told `command`.
    pub(super) fn told(&mut self, command: Command) -> &[Network<Dual<W>>] {
        for car in &mut self.cars {
            car.command = command;
        }
        &self.cars
    }

    /// Number of directions.
    pub fn count(&self) -> usize {
        self.count
    }
}

impl Seeded<1> {
    /// One direction, in which several numbers move at once: dotted key, slope.
    pub fn toward(network: &Network<f64>, moves: &[(String, f64)]) -> Self {
        let car = network.map(&mut |key, value| {
            let slope = moves.iter().find(|(name, _)| name == key);
            let slope = [slope.map_or(0.0, |(_, slope)| *slope)];
            Dual { value, slope }
        });
        Self {
            count: 1,
            cars: vec![car],
        }
    }
}

/// Whether a direction's name means the number of that key.
pub(in crate::study) fn is_meant(name: &str, key: &str) -> bool {
    match name.split_once('*') {
        None => name == key,
        Some((first, last)) => key
            .strip_prefix(first)
            .is_some_and(|rest| rest.ends_with(last)),
    }
}
