//! Non-stiff pieces, by `ode_solvers`: the only user of that library here.
//!
//! Its limits, and what is done about them: it is explicit only (stiffness comes
//! back as an error, passed on); it finds no roots (events are found here, by
//! stepping back from the first step past them); its dense output may
//! extrapolate the last point (sparse output is used, and the last state is
//! that of the step's own end).

use nalgebra::SVector;
use ode_solvers::dop_shared::OutputType;
use ode_solvers::{Dop853, System};

/// Relative and absolute tolerance: of the states over their size.
const TOLERANCE: f64 = 1e-11;

/// Why an explicit integration has no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refused {
    /// Stiff, too many steps, or the step became too small: the library's words.
    Solver(String),
    /// The event did not happen before the time given, s, ran out.
    NoEvent,
}

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match self {
            Refused::Solver(why) => write!(f, "the explicit integration cannot go on: {why}"),
            Refused::NoEvent => write!(f, "the pressure asked for is not reached in the time allowed"),
        }
    }
}

struct Rates<F>(F);

impl<const N: usize, F: Fn(&SVector<f64, N>) -> SVector<f64, N>> System<f64, SVector<f64, N>> for Rates<F> {
    fn system(&self, _: f64, y: &SVector<f64, N>, dy: &mut SVector<f64, N>) {
        *dy = self.0(y);
    }
}

/// The state `duration` seconds after `start`; states are scaled to about one.
///
/// # Errors
/// [`Refused::Solver`] when the problem is too stiff for an explicit method.
pub fn advance<const N: usize>(
    rates: impl Fn(&SVector<f64, N>) -> SVector<f64, N>,
    start: SVector<f64, N>,
    duration: f64,
) -> Result<SVector<f64, N>, Refused> {
    if duration <= 0.0 {
        return Ok(start);
    }
    let mut solver = Dop853::from_param(
        Rates(rates), 0.0, duration, duration, start, TOLERANCE, TOLERANCE,
        0.9, 0.0, 0.333, 6.0, duration, 0.0, 100_000, 1000, OutputType::Sparse,
    );
    solver.integrate().map_err(|e| Refused::Solver(e.to_string()))?;
    solver.y_out().last().copied().ok_or_else(|| Refused::Solver("no output".into()))
}

/// Time, s, at which `event` (positive at the start) falls to zero, and the state there.
///
/// Walks in steps of `longest`/200, then halves the step that crosses.
///
/// # Errors
/// [`Refused::NoEvent`] when it does not within `longest` seconds.
pub fn until<const N: usize>(
    rates: impl Fn(&SVector<f64, N>) -> SVector<f64, N>,
    start: SVector<f64, N>,
    longest: f64,
    event: impl Fn(&SVector<f64, N>) -> f64,
) -> Result<(f64, SVector<f64, N>), Refused> {
    let stride = longest / 200.0;
    let (mut time, mut x) = (0.0, start);
    while time < longest {
        let next = advance(&rates, x, stride)?;
        if event(&next) <= 0.0 {
            let (mut low, mut high) = (0.0, stride);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                let there = advance(&rates, x, middle)?;
                if event(&there) > 0.0 { low = middle } else { high = middle }
            }
            return Ok((time + high, advance(&rates, x, high)?));
        }
        (time, x) = (time + stride, next);
    }
    Err(Refused::NoEvent)
}
