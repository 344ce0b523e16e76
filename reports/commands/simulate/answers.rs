//! What `simulate` answers: points or drives of both cars.

use sim::control::Code;
use sim::solve::Failure;
use sim::study::running::openings::{OverLimit, VALVES, openings, over_limit};
use sim::study::running::simulate::{PointResult, Side};
use sim::study::running::trace::Trace;

/// An operating point with its answer.
pub struct Answered {
    /// Healthy and faulty.
    pub result: PointResult,
    /// Why they differ, in a few sentences; none where a side has no answer.
    pub why: Option<String>,
}

/// The two cars of a comparison, by name; the second only if something is wrong.
type Sides<'a, T> = Vec<(&'static str, &'a Result<T, Failure>)>;

impl Answered {
    /// Both cars.
    pub fn sides(&self) -> Sides<'_, Side> {
        sides(&self.result.healthy, self.result.faulty.as_ref())
    }

    /// What has no answer, in words.
    pub fn failures(&self) -> Vec<String> {
        let failed = self.sides().into_iter();
        failed
            .filter_map(|(which, side)| Some((which, side.as_ref().err()?)))
            .map(|(which, e)| format!("{}, {which}: {e}", self.result.name))
            .collect()
    }

    /// Cautions of both cars, in words.
    pub fn warnings(&self) -> Vec<String> {
        let mut all = Vec::new();
        for (which, side) in self.sides() {
            let said = side.as_ref().map_or(&[][..], |side| &side.warnings);
            all.extend(said.iter().map(|w| format!("{which}: {w}")));
        }
        all
    }
}

/// A drive, healthy and faulty.
pub struct Drives {
    /// Time at which each piece begins, s, and its name.
    pub pieces: Vec<(f64, String)>,
    /// Length of the whole drive, s.
    pub duration: f64,
    /// Time between samples, s.
    pub interval: f64,
    /// Engine speed from which the fuel is cut, rpm.
    pub speed_limit: f64,
    /// Without leaks and faults.
    pub healthy: Result<Trace, Failure>,
    /// With them, if there are any.
    pub faulty: Option<Result<Trace, Failure>>,
}

impl Drives {
    /// Both cars.
    pub fn sides(&self) -> Sides<'_, Trace> {
        sides(&self.healthy, self.faulty.as_ref())
    }

    /// Trouble codes set on the way: time, s, which car, code.
    pub fn codes(&self) -> Vec<(f64, &'static str, Code)> {
        let mut all = Vec::new();
        for (which, trace) in self.sides() {
            let set = trace.as_ref().map_or(&[][..], |trace| &trace.codes);
            all.extend(set.iter().map(|(time, code)| (*time, which, *code)));
        }
        all
    }

    /// When each valve stands open in each car: name, car, from and to, s.
    pub fn openings(&self) -> Vec<(&'static str, &'static str, f64, Option<f64>)> {
        let mut all = Vec::new();
        for valve in &VALVES {
            for (which, trace) in self.sides() {
                let samples = trace.as_ref().map_or(&[][..], |trace| &trace.samples);
                let found = openings(samples, valve).into_iter();
                all.extend(found.map(|(from, to)| (valve.1, which, from, to)));
            }
        }
        all
    }

    /// When the engine of each car runs over its speed limit.
    pub fn over_limit(&self) -> Vec<(&'static str, OverLimit)> {
        let mut all = Vec::new();
        for (which, trace) in self.sides() {
            let samples = trace.as_ref().map_or(&[][..], |trace| &trace.samples);
            let found = over_limit(samples, self.speed_limit).into_iter();
            all.extend(found.map(|over| (which, over)));
        }
        all
    }

    /// What has no answer, in words.
    pub fn failures(&self) -> Vec<String> {
        let said = |(which, trace): (&str, &Result<Trace, Failure>)| match trace {
            Err(e) => Some(format!("{which}: no steady running to start from: {e}")),
            Ok(trace) => {
                let last = trace.samples.last().map_or(0.0, |sample| sample.time);
                let why = trace.failure.as_ref()?;
                Some(format!("{which}: the drive ends after {last:.1} s: {why}"))
            }
        };
        self.sides().into_iter().filter_map(said).collect()
    }
}

fn sides<'a, T>(
    healthy: &'a Result<T, Failure>,
    faulty: Option<&'a Result<T, Failure>>,
) -> Sides<'a, T> {
    let faulty = faulty.map(|side| ("faulty", side));
    std::iter::once(("healthy", healthy))
        .chain(faulty)
        .collect()
}
