//! Running the cases of a chunk. What a case comes to is its own and its history's: those before
//! it lend it the way that it has in common with them.

use super::outcome::{Failed, Outcome, Reduced, Row, failed};
use super::walk::Warm;
use super::{Choice, Plan, Value, slopes};
use crate::control::{Code, Command};
use crate::network::Network;
use crate::scenario::{History, Mistake, Scenario};
use crate::solve::Failure;
use crate::solve::implicit::Tolerance;
use crate::study::running::history::{Branch, Ray, opened, opened_at};
use crate::study::running::learnt::{Learnt, remembering};
use crate::study::running::side::{Side, side, standing};
use crate::study::running::simulate::Comparison;
use crate::study::running::trace::{Trace, plan as pieces};
use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// A study under way.
#[derive(Clone, Debug)]
pub struct Sweep<'a> {
    plan: &'a Plan,
    /// The healthy car of the study's first case.
    sound: Warm,
    /// The ways from it that some chunk has gone, where every case has the same healthy car: a way has
    /// the same rungs whoever climbs it.
    common: Arc<Mutex<Rays>>,
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
            common: Arc::default(),
        }
    }

    /// Runs a chunk, row by row.
    pub fn chunk(&self, chunk: u64, each: &mut dyn FnMut(Row)) {
        self.stretch(self.plan.chunk(chunk), each);
    }

    /// Runs a few cases, row by row; rows that are kept come from [`Sweep::chunk`].
    pub fn stretch(&self, cases: Range<u64>, each: &mut dyn FnMut(Row)) {
        // Per axis: the last case at which all faster axes stood at their first value.
        let mut corners: Vec<Option<Warm>> = vec![None; self.plan.axes.len()];
        let mut rays = self.known();
        for case in cases {
            let moved = self.slowest_moved(case);
            let from = moved.and_then(|axis| Some((axis, corners[axis].take()?)));
            let values = self.plan.values(case);
            let (now, outcomes) = match guarded(|| self.case(from, &values, &mut rays)) {
                Ok((now, outcomes)) => (Some(now), outcomes),
                Err(defect) => {
                    // What it left half done is thrown away with it.
                    rays = Rays::default();
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
        if !self.plan.car_varies() {
            self.common().longer_of(rays);
        }
    }

    fn common(&self) -> MutexGuard<'_, Rays> {
        self.common.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The ways that a chunk may begin with.
    fn known(&self) -> Rays {
        match self.plan.car_varies() {
            true => Rays::default(),
            false => self.common().clone(),
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
        // A row of a table need not be near the one before.
        let moved = Some(moved).filter(|moved| *moved >= self.plan.columns)?;
        self.plan.axes[moved].is_numeric().then_some(moved)
    }

    /// Runs one case. Its neighbour along an axis says where to look for the healthy car, no more.
    fn case(
        &self,
        from: Option<(usize, Warm)>,
        values: &[Value],
        rays: &mut Rays,
    ) -> (Warm, Vec<Outcome>) {
        let sound = match from {
            _ if !self.plan.car_varies() => self.sound.clone(),
            // Only what is wrong with the car has changed.
            Some((axis, before)) if self.plan.axes[axis].is_of_fault() => before,
            Some((_, before)) => self.plan.sound(values, &before),
            None => self.plan.sound(values, &self.sound),
        };
        let (scenario, network, commands) = match self.ready(values) {
            Ok(ready) => ready,
            Err(mistake) => {
                let outcome = Outcome::None(contradiction(&mistake));
                return (sound, vec![outcome; self.plan.rows() as usize]);
            }
        };
        if self.plan.is_drive() {
            let cars = Comparison::having(&network, scenario.history);
            return (sound, vec![self.driven(&scenario, &cars)]);
        }
        let (learnt, found) = match network.is_healthy() {
            true => (sound.learnt, well(&network, &commands, &sound)),
            false => {
                let key = self.plan.of_ray(values);
                let ray = rays.through(key, &network, &commands, &sound);
                ailing(&network, &commands, &sound, ray, scenario.history)
            }
        };
        let learnt = (sound.learnt, learnt);
        let outcomes = slopes::answers(self.plan, &network, learnt, &commands, found);
        (sound, outcomes)
    }

    fn ready(&self, values: &[Value]) -> Result<(Scenario, Network<f64>, Vec<Command>), Mistake> {
        let (scenario, network) = self.plan.built(values)?;
        let commands = scenario.point.iter().map(|point| point.command());
        let commands = commands.collect::<Result<_, _>>()?;
        Ok((scenario, network, commands))
    }

    fn driven(&self, scenario: &Scenario, cars: &Comparison) -> Outcome {
        let runs = match pieces(&scenario.drive) {
            Ok(runs) => runs,
            Err(mistake) => return Outcome::None(contradiction(&mistake)),
        };
        let interval = self.plan.interval;
        let network = &cars.network;
        let course = (&runs[..], &scenario.event[..]);
        let trace = cars.drive(true, course, (interval, Tolerance::default()));
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

/// What comes out at each point.
type Found = Vec<Result<(Side, Branch), Failure>>;

/// A case in which nothing is wrong.
fn well(network: &Network<f64>, commands: &[Command], sound: &Warm) -> Found {
    let points = commands.iter().zip(&sound.points).map(|(asked, state)| {
        let network = network.with(remembering(*asked, sound.learnt.memory, true));
        Ok((side(&network, state.as_ref())?, Branch::Followed))
    });
    points.collect()
}

/// A case in which something is, with that history.
fn ailing(
    network: &Network<f64>,
    commands: &[Command],
    sound: &Warm,
    ray: &mut Ray,
    history: History,
) -> (Learnt, Found) {
    let grown = ray.taught(network);
    let taught = match history {
        History::Grown => grown.clone(),
        history => opened(network, &sound.learnt, history),
    };
    let points = commands.iter().zip(&sound.points).enumerate();
    let points = points.map(|(i, (asked, state))| {
        let learns = network.command.learning;
        let at = network.with(remembering(*asked, taught.memory, learns));
        let grown = ray.spot(network, grown.memory, i);
        let here = match history {
            History::Grown => grown.state()?,
            history => opened_at(&at, *state, history).state()?,
        };
        Ok((standing(&at, &here)?, Branch::of(&here, &grown)))
    });
    let found = points.collect();
    let learnt = match network.command.learning {
        true => taught.learnt(),
        false => sound.learnt,
    };
    (learnt, found)
}

/// Ways from healthy cars to faulty ones that were gone in a chunk.
#[derive(Clone, Debug, Default)]
struct Rays(Vec<(Vec<Value>, Ray)>);

/// Most of them that are kept.
const KEPT: usize = 64;

impl Rays {
    /// The way to a faulty car, from the healthy one with the values `key`.
    fn through(
        &mut self,
        key: Vec<Value>,
        network: &Network<f64>,
        commands: &[Command],
        sound: &Warm,
    ) -> &mut Ray {
        let known = self.0.iter();
        let mut known = known.map(|(of, ray)| *of == key && ray.leads_to(network));
        let at = known.position(|known| known).unwrap_or_else(|| {
            if self.0.len() == KEPT {
                self.0.remove(0);
            }
            let points = commands.iter().copied().zip(sound.points.iter().copied());
            let ray = Ray::new(network, &sound.learnt, points);
            self.0.push((key, ray));
            self.0.len() - 1
        });
        &mut self.0[at].1
    }

    /// With the ways that another chunk has gone, where it went further.
    fn longer_of(&mut self, others: Rays) {
        for (key, ray) in others.0 {
            let same = |(of, known): &(Vec<Value>, Ray)| *of == key && known.is(&ray);
            match self.0.iter().position(same) {
                Some(at) => self.0[at].1.longer_of(ray),
                None if self.0.len() < KEPT => self.0.push((key, ray)),
                None => {}
            }
        }
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
