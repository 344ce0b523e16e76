//! Many cases of one scenario: a grid of axes, a sample of their ranges, or the rows of a table.
//!
//! Cases are numbered once and for all and cut into chunks whose size depends on
//! their number only. A chunk starts from the healthy car of the study, so that its rows are
//! the same whoever computes it and when.

mod axis;
mod carry;
mod case;
mod file;
mod key;
mod outcome;
mod run;
pub mod sample;
mod slopes;
mod table;
pub mod tally;
mod walk;

pub use axis::Axis;
pub use case::Built;
pub use file::{Sampling, Spacing, Study};
pub use key::{KeyError, Target, Value};
pub use outcome::{Failed, Outcome, REDUCED, Reduced, Row};
pub use run::Sweep;
pub use slopes::Derivative;
pub use table::{CaseTable, Misfit};

use crate::network::Vehicle;
use crate::network::readings::{ALL, Reading};
use crate::scenario::{Mistake, Scenario};
use sample::{LatinHypercube, MOST_AXES, SobolPoints};
use std::ops::Range;

/// Most cases of a study.
const MOST_CASES: u64 = 1_000_000_000;
/// A chunk is this share of the cases, within these limits.
const CHUNKS: u64 = 128;
const CHUNK: (u64, u64) = (16, 256);

/// A study, checked.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What varies; the columns of a table of cases first.
    pub axes: Vec<Axis>,
    /// The readings to keep.
    pub readings: Vec<Reading>,
    /// What to take derivatives of them by.
    pub derivatives: Vec<Derivative>,
    /// Time between two samples of a drive, s.
    pub interval: f64,
    scenario: Scenario,
    vehicle: Vehicle,
    choice: Choice,
    /// How many of the axes are columns of a table, which vary together.
    columns: usize,
    cases: u64,
}

#[derive(Clone, Debug)]
enum Choice {
    Grid,
    LatinHypercube(LatinHypercube),
    Sobol(SobolPoints),
}

impl Plan {
    /// The study around its car.
    ///
    /// # Errors
    /// Keys that name nothing, values out of their quantity's range, keys that
    /// contradict each other, too many cases; with the key in the study file.
    pub fn new(study: &Study, vehicle: Vehicle) -> Result<Self, Mistake> {
        Self::with(study, vehicle, None)
    }

    /// The same with the cases of a table: every combination of one of its rows with the axes'
    /// values, if the study has axes too.
    ///
    /// # Errors
    /// As [`Plan::new`]; a table without rows, or of keys that the study has not. What is wrong with a
    /// column has the key `cases.` and its number.
    pub fn with(
        study: &Study,
        vehicle: Vehicle,
        table: Option<CaseTable>,
    ) -> Result<Self, Mistake> {
        let mistake = |key: &str, message: String| Mistake {
            key: key.into(),
            message,
        };
        if !study.point.is_empty() && !study.drive.is_empty() {
            let message = "a study has either `[[point]]` or a `[[drive]]`";
            return Err(mistake("drive", message.into()));
        }
        let grid = study.sampling == Sampling::Grid;
        let read = study.axis.iter().enumerate();
        let axes = read.map(|(i, axis)| Axis::read(axis, i, grid));
        let own: Vec<Axis> = axes.collect::<Result<_, _>>()?;
        let columns = table.map(CaseTable::into_axes).unwrap_or_default();
        if let Some(0) = columns.first().map(Axis::len) {
            return Err(mistake(
                "cases.0",
                "the table has a head and no cases".into(),
            ));
        }
        if own.is_empty() && columns.is_empty() {
            let message = "a study needs at least one `[[axis]]`: what varies\n\
                 [[axis]]\nkey = \"leak.0.round_hole.diameter\"\nvalues = [\"1 mm\", \"2 mm\"]\n\
                 or a table of cases: --cases FILE";
            return Err(mistake("title", message.into()));
        }
        if study.seed.fract() != 0.0 {
            return Err(mistake("seed", "a seed is a whole number".into()));
        }
        let cases = count(study, &own, columns.first())?;
        let seed = study.seed as u64;
        let choice = match study.sampling {
            Sampling::Grid => Choice::Grid,
            Sampling::LatinHypercube => {
                Choice::LatinHypercube(LatinHypercube { count: cases, seed })
            }
            Sampling::Sobol if own.len() > MOST_AXES => {
                let message = format!("a Sobol sample has at most {MOST_AXES} axes");
                return Err(mistake("sampling", message));
            }
            Sampling::Sobol => Choice::Sobol(SobolPoints::new(own.len(), seed)),
        };
        let mut plan = Self {
            columns: columns.len(),
            axes: columns.into_iter().chain(own).collect(),
            readings: match study.readings.is_empty() {
                true => ALL.to_vec(),
                false => study.readings.clone(),
            },
            derivatives: Vec::new(),
            interval: study.interval,
            scenario: study.scenario(),
            vehicle,
            choice,
            cases,
        };
        plan.check()?;
        if !study.derivatives.is_empty() {
            if plan.is_drive() {
                let message = "derivatives are those of steady points; a drive has none";
                return Err(mistake("derivatives", message.into()));
            }
            let (_, car) = plan.built(&plan.values(0))?;
            plan.derivatives = Derivative::read(&study.derivatives, &car)?;
        }
        Ok(plan)
    }

    /// Number of cases.
    pub fn cases(&self) -> u64 {
        self.cases
    }

    /// Number of cases of a chunk (the last may have fewer).
    pub fn chunk_size(&self) -> u64 {
        self.cases.div_ceil(CHUNKS).clamp(CHUNK.0, CHUNK.1)
    }

    /// Number of chunks.
    pub fn chunks(&self) -> u64 {
        self.cases.div_ceil(self.chunk_size())
    }

    /// The cases of a chunk.
    pub fn chunk(&self, chunk: u64) -> Range<u64> {
        let from = chunk * self.chunk_size();
        from..(from + self.chunk_size()).min(self.cases)
    }

    /// The names of a case's operating points; none for a drive.
    pub fn points(&self) -> impl Iterator<Item = &str> {
        self.scenario.point.iter().map(|point| point.name.as_str())
    }

    /// Whether each case is a drive, with one row, instead of operating points.
    pub fn is_drive(&self) -> bool {
        self.scenario.point.is_empty()
    }

    /// Number of rows of a case.
    pub fn rows(&self) -> u64 {
        self.scenario.point.len().max(1) as u64
    }

    /// Number of leaks of every case.
    pub fn leaks(&self) -> usize {
        self.scenario.leak.len()
    }

    /// Whether the healthy car too differs from case to case: itself, the air, or the points.
    pub fn car_varies(&self) -> bool {
        !self.axes.iter().all(Axis::is_of_fault)
    }

    /// The values that say which healthy car a case has, and what its computer may learn.
    fn of_ray(&self, values: &[Value]) -> Vec<Value> {
        let axes = self.axes.iter().zip(values);
        let of_car = axes.filter(|(axis, _)| !axis.is_of_ray());
        of_car.map(|(_, value)| *value).collect()
    }

    /// Where a case lies on each axis of a grid; all columns of a table are at its row, the slowest.
    fn places(&self, case: u64) -> Vec<u64> {
        let mut rest = case;
        let mut places: Vec<u64> = (self.axes[self.columns..].iter().rev())
            .map(|axis| {
                let place = rest % axis.len();
                rest /= axis.len();
                place
            })
            .collect();
        places.extend(std::iter::repeat_n(rest, self.columns));
        places.reverse();
        places
    }

    /// The values of a case, one an axis.
    pub fn values(&self, case: u64) -> Vec<Value> {
        let axes = self.axes.iter().enumerate();
        match &self.choice {
            Choice::Grid => {
                let places = self.places(case);
                axes.map(|(i, axis)| axis.value(places[i])).collect()
            }
            Choice::LatinHypercube(sample) => axes
                .map(|(i, axis)| axis.between(sample.at(case, i)))
                .collect(),
            Choice::Sobol(points) => axes
                .map(|(i, axis)| axis.between(points.at(case, i)))
                .collect(),
        }
    }
}

/// Number of cases of a study with these axes, and a table with this first column.
fn count(study: &Study, axes: &[Axis], column: Option<&Axis>) -> Result<u64, Mistake> {
    let mistake = |key: &str, message: String| Mistake {
        key: key.into(),
        message,
    };
    match (study.sampling, study.count) {
        (Sampling::LatinHypercube | Sampling::Sobol, _) if column.is_some() => Err(mistake(
            "sampling",
            "the table says which cases there are: beside it, axes make a grid\n\
             leave out `sampling` and `count`"
                .into(),
        )),
        (Sampling::Grid, None) => {
            let product = (column.into_iter().chain(axes))
                .try_fold(1u64, |n, axis| n.checked_mul(axis.len()));
            let product = product.filter(|n| *n <= MOST_CASES);
            product.ok_or_else(|| {
                let message = format!("the axes multiply to more than {MOST_CASES} cases");
                mistake(
                    if axes.is_empty() {
                        "cases.0"
                    } else {
                        "axis.0.key"
                    },
                    message,
                )
            })
        }
        (Sampling::Grid, Some(_)) => Err(mistake(
            "count",
            "a grid takes every combination of its axes; `count` is for a sample\n\
             sampling = \"latin_hypercube\" or \"sobol\""
                .into(),
        )),
        (_, None) => Err(mistake(
            "sampling",
            "a sample needs a `count` of cases".into(),
        )),
        (_, Some(count)) if count.fract() != 0.0 => {
            Err(mistake("count", "a count is a whole number".into()))
        }
        (_, Some(count)) => Ok(count as u64),
    }
}
