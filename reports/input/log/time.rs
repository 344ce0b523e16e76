//! Where the time of a row comes from, and in which unit.

use crate::log::Mapping;
use crate::log::survey::Survey;
use crate::log::{Mapped, Taken, unit};
use sim::units::convert;

/// Where the time of a row comes from.
#[derive(Clone, Copy, Debug)]
pub(super) enum Clock {
    /// A column and the seconds in one of its units; a time of day shows itself.
    Column(usize, f64, &'static str),
    /// Seconds between rows.
    Rows(f64),
}

impl Clock {
    pub fn of(
        column: Option<(usize, Option<unit::Scale>)>,
        mapping: &Mapping,
        survey: &Survey,
    ) -> Result<Self, String> {
        if let Some(interval) = mapping.interval {
            return Ok(Clock::Rows(interval));
        }
        let fix = "\nsay it in the mapping: `\"...\" = { reading = \"time\", unit = \"s\" }`, or \
                   `interval = \"0.1 s\"`";
        let Some((i, scale)) = column else {
            return Err(format!("no column is understood as the time{fix}"));
        };
        let look = &survey.columns[i];
        if look.clocks > look.numbers {
            return Ok(Clock::Column(i, 1.0, "clock"));
        }
        if let Some(unit::Scale::Unit(name, of)) = scale {
            let second = convert(1.0, name, of)?;
            return Ok(Clock::Column(i, 1.0 / second, name));
        }
        // Between 2 and 5 a step could be either; from a minute on it is less than a millisecond.
        match survey.steps.usual() {
            Some(step) if step <= 2.0 => Ok(Clock::Column(i, 1.0, "s")),
            Some(step) if (5.0..=60e3).contains(&step) => Ok(Clock::Column(i, 1e-3, "ms")),
            Some(_) => Err(format!(
                "the column of time has no unit, and its steps do not tell it{fix}"
            )),
            None => Err(format!("the time never goes on{fix}")),
        }
    }

    pub fn show(&self, mapped: &mut [Mapped]) {
        if let Clock::Column(i, _, name) = self {
            mapped[*i].taken = Taken::Time;
            (mapped[*i].unit, mapped[*i].why) = ((*name).into(), "the time".into());
        }
    }

    /// Usual time between rows, s: the median of those that are not at once, or the mean
    /// where it is less.
    pub fn usual(&self, survey: &Survey) -> f64 {
        let step = self.step(survey);
        match self {
            Clock::Rows(_) => step,
            Clock::Column(_, factor, _) => {
                let median = survey.steps.usual().unwrap_or(0.0) * factor;
                median.min(step)
            }
        }
    }

    /// Mean time between rows, s, jumps of the clock left out.
    pub fn step(&self, survey: &Survey) -> f64 {
        match self {
            Clock::Rows(interval) => *interval,
            Clock::Column(_, factor, _) => {
                survey.steps.elapsed(*factor) / survey.passed.rows.max(1) as f64
            }
        }
    }
}
