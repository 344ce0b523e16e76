//! Where the time of a row comes from, and in which unit.

use crate::log::head::Head;
use crate::log::survey::Survey;
use crate::log::{Mapped, Mapping, Taken, unit};
use sim::units::{convert, round};

/// How the unit of a column of time is known.
#[derive(Clone, Copy, Debug)]
pub(super) enum Told {
    /// It is said, or a clock shows itself.
    Said,
    /// By its usual step.
    Step(f64),
    /// It counts from 1970, and reaches our days in no other unit.
    Epoch,
}

/// Where the time of a row comes from.
#[derive(Clone, Copy, Debug)]
pub(super) enum Clock {
    /// A column and the seconds in one of its units; a time of day shows itself.
    Column(usize, f64, &'static str, Told),
    /// Seconds between rows.
    Rows(f64),
}

/// Seconds since 1970 that a log may show: 2001 to 2096.
const EPOCH: [f64; 2] = [1e9, 4e9];
/// Units of a count, and the usual step, in that unit, by which each is told: 2 s at most, 5 ms
/// to 5 s, 20 ms to 2 s (own choice: between them a step could be of either).
const COUNTS: [(&str, f64, [f64; 2]); 4] = [
    ("s", 1.0, [0.0, 2.0]),
    ("ms", 1e-3, [5.0, 5e3]),
    ("us", 1e-6, [2e4, 2e6]),
    ("ns", 1e-9, [2e7, 2e9]),
];
/// Steps, s, with which a count from 1970 is one.
const STEPS: [f64; 2] = [1e-4, 60.0];

const FIX: &str = "\nsay it in the mapping: `\"...\" = { reading = \"time\", unit = \"s\" }`, or how \
                   many rows a second holds: `--samples-per-second 10`, in a mapping `interval = \
                   \"0.1 s\"`";

impl Clock {
    pub fn of(
        column: Option<(usize, Option<unit::Scale>)>,
        mapping: &Mapping,
        head: &Head,
        survey: &Survey,
    ) -> Result<Self, String> {
        if let Some(interval) = mapping.interval {
            return Ok(Clock::Rows(interval));
        }
        let Some((i, scale)) = column else {
            let stated = head.stated.map(|stated| Clock::Rows(stated.interval));
            return stated.ok_or(format!("no column is understood as the time{FIX}"));
        };
        let look = &survey.columns[i];
        if look.clocks > look.numbers {
            return Ok(Clock::Column(i, 1.0, "clock", Told::Said));
        }
        if let Some(unit::Scale::Unit(name, of)) = scale {
            let second = convert(1.0, name, of)?;
            return Ok(Clock::Column(i, 1.0 / second, name, Told::Said));
        }
        let Some(step) = survey.steps.usual() else {
            return Err(format!("the time never goes on{FIX}"));
        };
        let within = |value: f64, [low, high]: [f64; 2]| (low..=high).contains(&value);
        let epoch = COUNTS.iter().find(|(_, unit, _)| {
            let first = survey.steps.first();
            within(first * unit, EPOCH) && within(step * unit, STEPS)
        });
        let stepped = || COUNTS.iter().find(|(.., steps)| within(step, *steps));
        let found = epoch.map(|count| (count, Told::Epoch));
        let found = found.or_else(|| Some((stepped()?, Told::Step(step))));
        let ((name, unit, _), told) = found.ok_or(format!(
            "the column of time has no unit, and its steps do not tell it{FIX}"
        ))?;
        Ok(Clock::Column(i, *unit, name, told))
    }

    pub fn show(&self, mapped: &mut [Mapped]) {
        if let Clock::Column(i, _, name, told) = self {
            mapped[*i].taken = Taken::Time;
            mapped[*i].unit = (*name).into();
            mapped[*i].why = match told {
                Told::Said => "the time".into(),
                Told::Step(step) => {
                    format!("the time; {name} by its usual step {}", round(*step, 3))
                }
                Told::Epoch => format!("the time; {name} since 1970 by its size"),
            };
        }
    }

    /// Median of the times between rows that are not at once, s.
    pub fn median(&self, survey: &Survey) -> f64 {
        match self {
            Clock::Rows(interval) => *interval,
            Clock::Column(_, factor, ..) => survey.steps.usual().unwrap_or(0.0) * factor,
        }
    }

    /// Usual time between rows, s: the median, or the mean where it is less.
    pub fn usual(&self, survey: &Survey) -> f64 {
        self.median(survey).min(self.step(survey))
    }

    /// Mean time between rows, s, jumps of the clock left out.
    pub fn step(&self, survey: &Survey) -> f64 {
        match self {
            Clock::Rows(interval) => *interval,
            Clock::Column(_, factor, ..) => {
                survey.steps.elapsed(*factor) / survey.passed.rows.max(1) as f64
            }
        }
    }
}
