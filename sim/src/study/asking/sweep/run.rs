//! Running the cases of a chunk, each from the one before.

use super::outcome::{Failed, Neighbour, Outcome, Reduced, Row, failed};
use super::walk::{Warm, learn, remembering};
use super::{Choice, Plan, Value, slopes};
use crate::control::{Code, Command, Memory};
use crate::network::Network;
use crate::scenario::{Mistake, Scenario};
use crate::solve::implicit::Tolerance;
use crate::solve::{Failure, State};
use crate::study::running::simulate::{Side, side};
use crate::study::running::trace::{Trace, drive, plan as pieces};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// A study under way.
#[derive(Clone, Debug)]
pub struct Sweep<'a> {
    plan: &'a Plan,
    /// The healthy car of the study's first case.
    sound: Warm,
}

impl<'a> Sweep<'a> {
    /// Lets the healthy car of the first case learn and run through the points.
    pub fn new(plan: &'a Plan) -> Self {
        let values = plan.values(0);
        let cold = Warm::cold(&values);
        let sound = guarded(|| plan.sound(&values, &cold));
        Self {
            plan,
            sound: sound.unwrap_or(cold),
        }
    }

    /// Runs a chunk, row by row.
    pub fn chunk(&self, chunk: u64, each: &mut dyn FnMut(Row)) {
        // Per axis: the last case at which all faster axes stood at their first value.
        let mut corners: Vec<Option<Neighbour>> = vec![None; self.plan.axes.len()];
        for case in self.plan.chunk(chunk) {
            let moved = self.slowest_moved(case);
            let from = moved.and_then(|axis| Some((axis, corners[axis].take()?)));
            let values = self.plan.values(case);
            let (now, outcomes) = match guarded(|| self.case(from, &values)) {
                Ok((now, outcomes)) => (Some(now), outcomes),
                Err(defect) => {
                    let rows = self.plan.rows() as usize;
                    (None, vec![Outcome::None(defect); rows])
                }
            };
            for (point, outcome) in outcomes.into_iter().enumerate() {
                let values = values.clone();
                each(Row {
                    case,
                    values,
                    point,
                    outcome,
                });
            }
            if let Choice::Grid = self.plan.choice {
                let places = self.plan.places(case);
                for axis in (0..corners.len()).rev() {
                    corners[axis].clone_from(&now);
                    if places[axis] != 0 {
                        break;
                    }
                }
            }
        }
    }

    /// The slowest axis that differs from the case before, if its values are near each
    /// other; a sample's cases have no neighbours.
    fn slowest_moved(&self, case: u64) -> Option<usize> {
        let Choice::Grid = self.plan.choice else {
            return None;
        };
        let (before, now) = (
            self.plan.places(case.checked_sub(1)?),
            self.plan.places(case),
        );
        let moved = before.iter().zip(&now).position(|(a, b)| a != b)?;
        self.plan.axes[moved].is_numeric().then_some(moved)
    }

    /// Runs one case, from its neighbour along an axis or from the healthy car.
    fn case(
        &self,
        from: Option<(usize, Neighbour)>,
        values: &[Value],
    ) -> (Neighbour, Vec<Outcome>) {
        // Only what is wrong with the car has changed: it is near where it was.
        let near = from
            .as_ref()
            .map(|(axis, before)| (&self.plan.axes[*axis], before));
        let near = near
            .filter(|(axis, _)| axis.is_of_fault())
            .map(|(_, before)| before);
        let sound = match (near, &from) {
            _ if !self.plan.car_varies() => self.sound.clone(),
            (Some(before), _) => before.sound.clone(),
            (None, Some((_, before))) => self.plan.sound(values, &before.sound),
            (None, None) => self.plan.sound(values, &self.sound),
        };
        let start = near.map_or(&sound, |before| &before.own);
        let (scenario, network, commands) = match self.ready(values) {
            Ok(ready) => ready,
            Err(mistake) => {
                let outcome = Outcome::None(contradiction(&mistake));
                let own = sound.clone();
                let outcomes = vec![outcome; self.plan.rows() as usize];
                return (Neighbour { own, sound }, outcomes);
            }
        };
        let learns = network.command.learning || network.is_healthy();
        let mut own = match learns {
            true => learn(&network, values, start),
            // The fault has just happened: what the healthy car had learnt before.
            false => sound.clone(),
        };
        own.points.clear();
        if self.plan.is_drive() {
            let outcomes = vec![self.driven(&scenario, &network, own.learnt.memory)];
            return (Neighbour { own, sound }, outcomes);
        }
        let found = commands.iter().enumerate().map(|(i, asked)| {
            let network = network.with(remembering(*asked, own.learnt.memory, learns));
            let state = |warm: &Warm| warm.points.get(i).copied().flatten();
            point(&network, near.and_then(|n| state(&n.own)), state(&sound))
        });
        let found: Vec<Result<Side, Failure>> = found.collect();
        own.points = (found.iter().map(|found| Some(found.as_ref().ok()?.state))).collect();
        let now = Neighbour { own, sound };
        let outcomes = slopes::answers(self.plan, &network, &now, &commands, found);
        (now, outcomes)
    }

    fn ready(&self, values: &[Value]) -> Result<(Scenario, Network<f64>, Vec<Command>), Mistake> {
        let (scenario, network) = self.plan.built(values)?;
        let commands = scenario.point.iter().map(|point| point.command());
        let commands = commands.collect::<Result<_, _>>()?;
        Ok((scenario, network, commands))
    }

    fn driven(&self, scenario: &Scenario, network: &Network<f64>, memory: Memory) -> Outcome {
        let runs = match pieces(&scenario.drive) {
            Ok(runs) => runs,
            Err(mistake) => return Outcome::None(contradiction(&mistake)),
        };
        let interval = self.plan.interval;
        let trace = drive(network, &runs, memory, interval, Tolerance::default());
        let failure = match trace {
            Ok(trace) if trace.failure.is_none() => {
                return Outcome::Drive(Box::new(reduced(network, &trace)));
            }
            Ok(trace) => trace.failure,
            Err(failure) => Some(failure),
        };
        // There is one: an unfinished drive says why.
        let failure = failure.unwrap_or(Failure::StepTooSmall { time: 0.0 });
        Outcome::None(failed(&failure))
    }
}

/// From a neighbour; where that does not lead to an answer, as a leak that opens on
/// the healthy car would.
fn point(
    network: &Network<f64>,
    neighbour: Option<State>,
    sound: Option<State>,
) -> Result<Side, Failure> {
    let near = neighbour.map(|guess| side(network, Some(&guess)));
    match near {
        Some(found @ (Ok(_) | Err(Failure::Unreachable { .. }))) => found,
        _ => side(network, sound.as_ref()),
    }
}

fn reduced(network: &Network<f64>, trace: &Trace) -> Reduced {
    let readings = std::array::from_fn(|i| {
        let values = trace.samples.iter().map(|sample| sample.readings.values[i]);
        let (mut least, mut most, mut sum, mut count) = (f64::NAN, f64::NAN, 0.0, 0);
        let mut last = f64::NAN;
        for value in values {
            last = value;
            if value.is_finite() {
                (least, most) = (least.min(value), most.max(value));
                sum += value;
                count += 1;
            }
        }
        [least, most, sum / f64::from(count), last]
    });
    let mut codes: Vec<Code> = Vec::new();
    for (_, code) in &trace.codes {
        if !codes.contains(code) {
            codes.push(*code);
        }
    }
    Reduced {
        readings,
        codes,
        dangers: trace.dangers(network),
    }
}

/// A defect in one case must not end the others.
fn guarded<T>(run: impl FnOnce() -> T) -> Result<T, Failed> {
    // What a case has begun is thrown away with it.
    catch_unwind(AssertUnwindSafe(run)).map_err(|cause| {
        let text = cause.downcast_ref::<String>().map(String::as_str);
        let text = text.or(cause.downcast_ref::<&str>().copied());
        Failed {
            kind: "defect",
            why: format!("a defect of this program: {}", text.unwrap_or("unknown")),
        }
    })
}

fn contradiction(mistake: &Mistake) -> Failed {
    Failed {
        kind: "contradiction",
        why: format!("`{}`: {}", mistake.key, mistake.message.replace('\n', "; ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_defect_in_a_case_is_a_reason() {
        let found = guarded(|| -> u8 { panic!("index {} of 0", 3) });
        let failed = found.unwrap_err();
        assert_eq!(failed.kind, "defect");
        assert_eq!(failed.why, "a defect of this program: index 3 of 0");
        assert_eq!(guarded(|| 7), Ok(7));
    }
}
