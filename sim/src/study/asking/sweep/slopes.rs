//! Exact derivatives of a case's readings, as columns beside them.

use super::Plan;
use super::key::Target;
use super::outcome::{Outcome, failed};
use crate::control::Command;
use crate::network::Network;
use crate::network::readings::READINGS;
use crate::params::Field;
use crate::scenario::Mistake;
use crate::solve::Failure;
use crate::study::asking::sensitivity::{Columns, Quantity, Sensitivity, quantities};
use crate::study::running::history::Branch;
use crate::study::running::simulate::{Comparison, Learnt, Side};
use crate::study::running::warnings::Warning;

/// What derivatives are taken by.
#[derive(Clone, Debug)]
pub struct Derivative {
    /// Its key in the study.
    pub key: String,
    /// The quantity.
    pub field: Field,
    /// The number of the car, by the car's own key; its value in the first case.
    pub quantity: Quantity,
}

impl Derivative {
    /// Finds what the study's keys name in the car of its first case.
    pub(super) fn read(keys: &[String], car: &Network<f64>) -> Result<Vec<Self>, Mistake> {
        let numbers = quantities(car);
        let read = keys.iter().enumerate().map(|(i, key)| {
            let mistake = |message: String| Mistake {
                key: format!("derivatives.{i}"),
                message,
            };
            let Target::Quantity(field) = Target::of(key).map_err(|e| mistake(e.to_string()))? else {
                let message = "a derivative is taken by a quantity, not by a choice";
                return Err(mistake(message.into()));
            };
            let own = key.strip_prefix("vehicle.").unwrap_or(key);
            let found = numbers.iter().find(|number| number.key == own);
            let quantity = found.cloned().ok_or_else(|| {
                let message = "derivatives are taken by numbers that the car of the first case \
                     has: of a leak, a fault or the vehicle\n\
                     derivatives = [\"leak.0.round_hole.diameter\", \"vehicle.turbine.throat_area\"]";
                mistake(message.into())
            })?;
            Ok(Self {
                key: key.clone(),
                field,
                quantity,
            })
        });
        read.collect()
    }

    /// Whether the car has the number: its leak may have another shape.
    fn is_of(&self, car: &Network<f64>) -> bool {
        let mut parts = self.quantity.key.split('.');
        if parts.next() != Some("leak") {
            return true;
        }
        let leak = parts
            .next()
            .and_then(|n| car.leaks.get(n.parse::<usize>().ok()?));
        leak.is_some_and(|leak| parts.next() == Some(leak.shape.name()))
    }
}

/// The answers of a case with their derivatives, where the plan has any.
pub(super) fn answers(
    plan: &Plan,
    network: &Network<f64>,
    (sound, own): (Learnt, Learnt),
    commands: &[Command],
    found: Vec<Result<(Side, Branch), Failure>>,
) -> Vec<Outcome> {
    let none = Columns::<READINGS>::from_element(plan.derivatives.len(), f64::NAN);
    let cars = (!none.is_empty()).then(|| Comparison::learnt_before(network, sound, own));
    let by = plan.derivatives.iter().map(|by| by.quantity.clone());
    let sensitivity = (cars.as_ref()).map(|cars| Sensitivity::new(cars, by.collect()));
    let outcomes = found.into_iter().zip(commands).map(|(found, command)| {
        let (mut side, branch) = match found {
            Ok(found) => found,
            Err(failure) => return Outcome::None(failed(&failure)),
        };
        let linear = sensitivity.as_ref().and_then(|s| s.at(&side, *command));
        let Some((slopes, stops)) = linear else {
            return Outcome::Point(Box::new(side), none.clone(), branch);
        };
        let mut columns = slopes.readings;
        for (by, mut column) in plan.derivatives.iter().zip(columns.column_iter_mut()) {
            for (slope, value) in column.iter_mut().zip(&side.readings.values) {
                if !value.is_finite() || !by.is_of(network) {
                    *slope = f64::NAN;
                }
            }
        }
        let held = stops.into_iter().map(|stop| Warning::OneSided {
            at_stop: stop.reached(),
            what: stop.what,
        });
        side.warnings.extend(held);
        Outcome::Point(Box::new(side), columns, branch)
    });
    outcomes.collect()
}
