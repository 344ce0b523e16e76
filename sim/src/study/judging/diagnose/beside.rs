//! A readings file, and what stands beside it, to predictions and evidence.

use super::evidence::Evidence;
use super::file::{ReadingsFile, mistake};
use super::ladders::Ladders;
use super::records::Record;
use super::twin::Of;
use crate::network::{Known, Network, Vehicle};
use crate::say::judging as say;
use crate::scenario::Mistake;
use crate::solve::Failure;
use crate::study::knowing::doubt::CarDoubt;
use crate::study::running::condition::Condition;
use crate::study::running::dangers::{Danger, Driven};

/// What stands beside a readings file.
#[derive(Clone, Debug, Default)]
pub struct Beside {
    /// Points of a log that are no conditions: they are searched for dangers only.
    pub passed: Vec<Driven>,
    /// Readings of healthy cars, each with the number of its entry in
    /// [`ReadingsFile::baseline`].
    pub twins: Vec<(usize, ReadingsFile<f64>)>,
    /// Records of healthy cars that were made already.
    pub records: Vec<Record>,
}

/// A condition at which the healthy car does not run.
pub(super) fn not_running(conditions: &[Condition], (name, why): (String, Failure)) -> Mistake {
    let index = conditions.iter().position(|c| c.name == name).unwrap_or(0);
    let message = format!("the healthy car does not run at `{name}`: {why}");
    mistake(&format!("condition.{index}.name"), &message)
}

impl ReadingsFile<f64> {
    /// The file as a record of a healthy car; `doubt` as [`prepared`](Self::prepared) takes it.
    ///
    /// # Errors
    /// As [`prepared`](Self::prepared).
    pub fn record(
        &self,
        (of, holds): (Of, f64),
        vehicle: Vehicle<f64>,
        doubt: &CarDoubt,
    ) -> Result<Record, Mistake> {
        let car = self.network(vehicle)?;
        let conditions = self.own_conditions(&car)?;
        let reads = self.evidence()?.reads;
        if reads.is_empty() {
            return Err(Mistake {
                key: "condition".into(),
                message: "nothing was read of this healthy car".into(),
            });
        }
        let sound = Ladders::healthy(&car, &conditions, doubt);
        let sound = sound.map_err(|why| not_running(&conditions, why))?;
        Ok(Record {
            of,
            holds,
            conditions,
            sound,
            reads,
        })
    }

    /// All of it: predictions and evidence. `doubt` makes the doubt about the car from the
    /// healthy car; see [`doubt`](Self::doubt).
    ///
    /// # Errors
    /// As the parts; a condition at which the healthy car does not run.
    pub fn prepared(
        &self,
        vehicle: Vehicle<f64>,
        doubt: impl FnOnce(&Network<f64>) -> Result<CarDoubt, Mistake>,
        beside: Beside,
    ) -> Result<(Ladders, Evidence), Mistake> {
        self.prepared_with(vehicle, doubt, beside, &[], &mut |_, _| {})
    }

    /// The same with more conditions to be predicted, last; with some of those there need be nothing
    /// to judge by yet. `tried` is told how many faults have been tried, and of how many.
    ///
    /// # Errors
    /// As [`prepared`](Self::prepared).
    pub fn prepared_with(
        &self,
        vehicle: Vehicle<f64>,
        doubt: impl FnOnce(&Network<f64>) -> Result<CarDoubt, Mistake>,
        beside: Beside,
        more: &[Condition],
        tried: &mut dyn FnMut(usize, usize),
    ) -> Result<(Ladders, Evidence), Mistake> {
        let car = self.network(vehicle.clone())?;
        let mut conditions = self.conditions(&car)?;
        conditions.extend(more.iter().cloned());
        let mut evidence = self.evidence()?;
        evidence.passed = beside.passed;
        evidence.estimated = self.known(&car.vehicle) == Known::Estimated;
        if more.is_empty() && evidence.reads.is_empty() && evidence.codes.is_empty() {
            return Err(mistake(
                "vehicle",
                "nothing to judge by: give `[[condition]]` tables with `readings`, or `codes`",
            ));
        }
        let doubt = doubt(&car)?;
        let mut records = beside.records;
        for (number, file) in &beside.twins {
            let told = self.baseline[*number].clone();
            let record = file.record((told.of, told.holds), vehicle.clone(), &doubt);
            let at = |m: Mistake| {
                let message = format!("{}: {}: {}", file.title, m.key, m.message);
                mistake(&format!("baseline.{number}.readings"), &message)
            };
            records.push(record.map_err(at)?);
        }
        let ladders = Ladders::beside(&car, conditions.clone(), doubt, &records, &evidence, tried);
        let ladders = ladders.map_err(|why| {
            let refused = not_running(&conditions, why);
            self.dangers_first(refused, &vehicle, &evidence.passed)
        })?;
        Ok((ladders, evidence))
    }

    /// A refusal with the dangers that the file shows before it: what was driven is past, and may
    /// have done harm, whatever the model makes of it.
    fn dangers_first(
        &self,
        refused: Mistake,
        vehicle: &Vehicle<f64>,
        passed: &[Driven],
    ) -> Mistake {
        let found = self.endangered(vehicle, passed).unwrap_or_default();
        let found = Danger::worst(found.into_iter().map(|(_, danger)| danger));
        let said = found.iter().map(|danger| say::danger_line(danger.words()));
        Mistake {
            message: said.collect::<String>() + &refused.message,
            ..refused
        }
    }
}
