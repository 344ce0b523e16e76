//! Non-stiff pieces, by `ode_solvers`: the only user of that library here.
//!
//! Its limits, and what is done about them: it is explicit only (stiffness comes
//! back as an error, passed on); it finds no roots (events are found here, within
//! the first step that passes them); its dense output may extrapolate the last
//! point (sparse output is used: every state is the end of a step); the rates
//! cannot refuse (rates that are not numbers are told apart afterwards).

use crate::root::{Bracket, End};
use crate::say::solving as say;
use nalgebra::SVector;
use ode_solvers::dop_shared::{IntegrationError, OutputType};
use ode_solvers::{Dop853, System};
use std::cell::Cell;

/// Relative and absolute tolerance: of the states over their size.
const TOLERANCE: f64 = 1e-11;

/// Steps of an event search are at most this share of the time allowed.
const LONGEST_STEP: f64 = 0.02;

/// Why an explicit integration has no answer; times in s from the start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refused {
    /// Too stiff for an explicit method.
    Stiff {
        /// Where it showed.
        time: f64,
    },
    /// The step became too small, or there were too many.
    Stuck {
        /// Where it ended.
        time: f64,
    },
    /// The rates are not numbers.
    NotFinite {
        /// Where that was met.
        time: f64,
    },
    /// The event did not happen in the time allowed.
    NoEvent {
        /// The time allowed.
        longest: f64,
    },
    /// A time to report at lies before the one named ahead of it, or is no time.
    WrongTime {
        /// That time.
        time: f64,
    },
}

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let said = match self {
            Refused::Stiff { time } => say::too_stiff(time),
            Refused::Stuck { time } => say::explicit_stuck(time),
            Refused::NotFinite { time } => say::not_numbers(time),
            Refused::NoEvent { longest } => say::not_reached(longest),
            Refused::WrongTime { time } => say::out_of_order(time),
        };
        f.write_str(&said)
    }
}

impl std::error::Error for Refused {}

/// What the library integrates: rates, and a test at the end of each step.
struct Piece<'a, R, E> {
    rates: R,
    stop: E,
    spoiled: &'a Cell<Option<f64>>,
}

impl<const N: usize, R, E> System<f64, SVector<f64, N>> for Piece<'_, R, E>
where
    R: Fn(&[f64; N]) -> [f64; N],
    E: Fn(&[f64; N]) -> bool,
{
    fn system(&self, time: f64, y: &SVector<f64, N>, dy: &mut SVector<f64, N>) {
        *dy = (self.rates)(&y.data.0[0]).into();
        if !dy.iter().all(|v| v.is_finite()) {
            self.spoiled.set(Some(time));
        }
    }

    fn solout(&mut self, _: f64, y: &SVector<f64, N>, _: &SVector<f64, N>) -> bool {
        (self.stop)(&y.data.0[0])
    }
}

type Steps<const N: usize> = Vec<(f64, [f64; N])>;

/// The ends of the steps from `start` on, until `stop` holds or `duration` is over.
fn steps<const N: usize>(
    rates: impl Fn(&[f64; N]) -> [f64; N],
    start: [f64; N],
    duration: f64,
    longest_step: f64,
    stop: impl Fn(&[f64; N]) -> bool,
) -> Result<Steps<N>, Refused> {
    // Factors of the step control as in the method's published code (hairer1993).
    let (safety, beta, least, most) = (0.9, 0.0, 0.333, 6.0);
    let (most_steps, stiffness_test) = (100_000, 1000);
    let spoiled = Cell::new(None);
    let piece = Piece {
        rates,
        stop,
        spoiled: &spoiled,
    };
    let mut solver = Dop853::from_param(
        piece,
        0.0,
        duration,
        duration,
        start.into(),
        TOLERANCE,
        TOLERANCE,
        safety,
        beta,
        least,
        most,
        longest_step,
        0.0,
        most_steps,
        stiffness_test,
        OutputType::Sparse,
    );
    let ended = solver.integrate();
    let (times, states) = solver.results().get();
    let last_is_finite = states
        .last()
        .is_some_and(|x| x.iter().all(|v| v.is_finite()));
    match ended {
        Ok(_) if last_is_finite => {
            let states = states.iter().map(|x| x.data.0[0]);
            Ok(times.iter().copied().zip(states).collect())
        }
        // A trial step may leave the range of the rates; what counts is that none got through.
        result => Err(match (spoiled.get(), result) {
            (Some(time), _) => Refused::NotFinite { time },
            (None, Err(IntegrationError::StiffnessDetected { x })) => Refused::Stiff { time: x },
            (None, Err(IntegrationError::StepSizeUnderflow { x })) => Refused::Stuck { time: x },
            (None, Err(IntegrationError::MaxNumStepReached { x, .. })) => {
                Refused::Stuck { time: x }
            }
            (None, Ok(_)) => Refused::NotFinite { time: duration },
        }),
    }
}

/// The state `duration` seconds (from 0) after `start`; states are scaled to about one.
///
/// # Errors
/// [`Refused`] when the method cannot get there.
pub fn advance<const N: usize>(
    rates: impl Fn(&[f64; N]) -> [f64; N],
    start: [f64; N],
    duration: f64,
) -> Result<[f64; N], Refused> {
    if duration == 0.0 {
        return Ok(start);
    }
    if !(duration > 0.0 && duration.is_finite()) {
        return Err(Refused::WrongTime { time: duration });
    }
    let steps = steps(rates, start, duration, duration, |_| false)?;
    steps
        .last()
        .map(|(_, x)| *x)
        .ok_or(Refused::Stuck { time: 0.0 })
}

/// Time, s, at which `event` (positive at the start) falls to zero, and the state there.
///
/// An event that comes and goes within a fiftieth of `longest` may be missed.
///
/// # Errors
/// [`Refused::NoEvent`] when it does not fall within `longest` seconds (> 0).
pub fn until<const N: usize>(
    rates: impl Fn(&[f64; N]) -> [f64; N],
    start: [f64; N],
    longest: f64,
    event: impl Fn(&[f64; N]) -> f64,
) -> Result<(f64, [f64; N]), Refused> {
    if event(&start) <= 0.0 {
        return Ok((0.0, start));
    }
    if !(longest > 0.0 && longest.is_finite()) {
        return Err(Refused::WrongTime { time: longest });
    }
    let passed = |x: &[f64; N]| event(x) <= 0.0;
    let steps = steps(&rates, start, longest, LONGEST_STEP * longest, passed)?;
    let Some(past) = steps.iter().position(|(_, x)| passed(x)) else {
        return Err(Refused::NoEvent { longest });
    };
    let (from, before) = if past == 0 {
        (0.0, start)
    } else {
        steps[past - 1]
    };
    let (to, after) = steps[past];
    let mut bracket = Bracket::new((0.0, event(&before)), (to - from, event(&after)), None);
    let mut found = (to, after);
    for _ in 0..60 {
        if bracket.high.1 == 0.0 || bracket.width() <= 1e-13 * to {
            break;
        }
        let time = bracket.guess();
        let x = advance(&rates, before, time)?;
        if bracket.take(time, event(&x)) == End::High {
            found = (from + time, x);
        }
    }
    Ok(found)
}
