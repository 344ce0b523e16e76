//! One case of a study: the scenario with the case's values in their places.

use super::key::{Numbers, Target, Value};
use super::{Axis, Plan};
use crate::network::{Network, Vehicle};
use crate::scenario::{Mistake, Scenario};

/// A scenario and its car.
pub type Built = Result<(Scenario, Network<f64>), Mistake>;

impl Plan {
    /// The study's scenario and car, every axis aside.
    ///
    /// # Errors
    /// As [`Scenario::network`].
    pub fn base(&self) -> Built {
        let network = self.scenario.network(self.vehicle.clone())?;
        Ok((self.scenario.clone(), network))
    }

    /// The scenario and the car of a case with these values.
    ///
    /// # Errors
    /// The values contradict each other; see [`Scenario::network`].
    pub fn built(&self, values: &[Value]) -> Built {
        self.set(values).0
    }

    /// The same, and the axes whose key is nowhere in the study or the car.
    fn set(&self, values: &[Value]) -> (Built, Vec<usize>) {
        let (mut scenario, mut vehicle) = (self.scenario.clone(), self.vehicle.clone());
        let mut missing = Vec::new();
        let mut numbers = Numbers(Vec::new());
        for (i, (axis, value)) in self.axes.iter().zip(values).enumerate() {
            match value {
                Value::Number(number) => numbers.0.push((&axis.key, *number, false)),
                word if choose(axis, *word, &mut scenario, &mut vehicle) => {}
                _ => missing.push(i),
            }
        }
        numbers.set(&mut scenario, &mut vehicle);
        let unset = numbers.0.iter().filter(|(.., done)| !done);
        let unset = unset.filter_map(|(key, ..)| self.axes.iter().position(|a| a.key == *key));
        missing.extend(unset);
        let network = scenario.network(vehicle);
        (network.map(|network| (scenario, network)), missing)
    }

    /// That the study itself can be run, and that every axis has something to vary.
    pub(super) fn check(&self) -> Result<(), Mistake> {
        self.base()?;
        for (i, axis) in self.axes.iter().enumerate() {
            let same = self.axes[..i].iter().any(|before| before.key == axis.key);
            let of_shape = |leak: usize| {
                let inside = format!("leak.{leak}.");
                let mut others = self.axes.iter().filter(|other| other.is_numeric());
                others.any(|other| other.key.starts_with(&inside))
            };
            let message = match axis.target {
                _ if same && self.columns > 0 => "the table of cases has this key too",
                _ if same => "two axes have this key",
                Target::Shape(leak) if of_shape(leak) => {
                    "the shape of this leak varies, and so does a number of it: \
                     list every shape with its numbers instead"
                }
                _ => continue,
            };
            return Err(self.at(i, message));
        }
        let (case, missing) = self.set(&self.values(0));
        if let Some(i) = missing.first() {
            let message = "the study has no such value to vary: give it one to start from, \
                 or count again, from 0, which leak, fault, point or piece it is";
            return Err(self.at(*i, message));
        }
        case.map(|_| ())
    }

    /// At what varies: a column of the table, or an axis of the study.
    fn at(&self, axis: usize, message: &str) -> Mistake {
        Mistake {
            key: match axis.checked_sub(self.columns) {
                None => format!("cases.{axis}"),
                Some(own) => format!("axis.{own}.key"),
            },
            message: message.into(),
        }
    }
}

/// Sets a word or a shape; false where there is no such leak.
fn choose(axis: &Axis, value: Value, scenario: &mut Scenario, vehicle: &mut Vehicle) -> bool {
    match (&axis.target, value) {
        (Target::Place(leak), Value::Place(place)) => {
            let leak = scenario.leak.get_mut(*leak);
            leak.map(|leak| leak.place = place).is_some()
        }
        (Target::Shape(leak), Value::Shape(shape)) => {
            let leak = scenario.leak.get_mut(*leak);
            leak.map(|leak| leak.shape = shape).is_some()
        }
        (Target::Trims, Value::Trims(trims)) => {
            scenario.trims = trims;
            true
        }
        (Target::History, Value::History(history)) => {
            scenario.history = history;
            true
        }
        (Target::Boost, Value::Boost(control)) => {
            scenario.boost_control = Some(control);
            true
        }
        (Target::Metering, Value::Metering(metering)) => {
            vehicle.metering = metering;
            true
        }
        // An axis reads values of its own kind only.
        _ => false,
    }
}
