//! BDF and ESDIRK34 of the Rust library `diffsol`, with the exact Jacobian.

use crate::drive::{Drive, Run};
use diffsol::{
    NalgebraLU, NalgebraMat, OdeBuilder, OdeEquations, OdeSolverMethod, OdeSolverStopReason, Vector,
};
use sim::network::layout::{SCALE, STATES};
use sim::solve::{Jacobian, State, linearise, rates};
use std::cell::{Cell, RefCell};

/// A method of the library.
#[derive(Clone, Copy)]
pub enum Method {
    Bdf,
    Esdirk34,
}

fn advance<'a, Eqn>(
    mut solver: impl OdeSolverMethod<'a, Eqn>,
    times: &[f64],
    run: &mut Run,
) -> Option<()>
where
    Eqn: OdeEquations<T = f64> + 'a,
{
    let end = *times.last()?;
    solver.set_stop_time(end).ok()?;
    let mut due = times.iter().peekable();
    loop {
        let reason = solver.step().ok()?;
        run.steps += 1;
        let done = matches!(reason, OdeSolverStopReason::TstopReached);
        let now = solver.state().t;
        while let Some(time) = due.next_if(|time| **time <= now || done) {
            let y = solver.interpolate(time.min(now)).ok()?;
            run.outputs.push(State::from_fn(|i, _| y.get_index(i)));
        }
        if done {
            return Some(());
        }
    }
}

/// The drive by one of its methods. The library asks for products of Jacobian and
/// vector, 42 for a matrix: the matrix is kept as long as the state is the same.
pub fn run(drive: &Drive, relative: f64, method: Method) -> Option<Run> {
    let mut run = Run::default();
    let mut start = drive.start;
    for piece in &drive.pieces {
        let (evaluations, jacobians) = (Cell::new(0), Cell::new(0));
        let kept: RefCell<(State, Jacobian)> =
            RefCell::new((State::repeat(f64::NAN), Jacobian::zeros()));
        let problem = OdeBuilder::<NalgebraMat<f64>>::new()
            .t0(piece.from)
            .rtol(relative)
            .atol(SCALE.map(|s| s * relative))
            .rhs_implicit(
                |x, _, _, dx| {
                    evaluations.set(evaluations.get() + 1);
                    let x = State::from_column_slice(x);
                    dx.copy_from_slice(&rates(&piece.network, &x).states);
                },
                |x, _, _, v, jv| {
                    let x = State::from_column_slice(x);
                    let mut kept = kept.borrow_mut();
                    if kept.0 != x {
                        jacobians.set(jacobians.get() + 1);
                        *kept = (x, linearise(&piece.network, &x).jacobian);
                    }
                    jv.fill(0.0);
                    for (j, v) in v.iter().enumerate().filter(|(_, v)| **v != 0.0) {
                        for (i, sum) in jv.iter_mut().enumerate() {
                            *sum += kept.1[(i, j)] * v;
                        }
                    }
                },
            )
            .init(|_, _, x| x.copy_from_slice(start.as_slice()), STATES)
            .build()
            .ok()?;
        match method {
            Method::Bdf => {
                let solver = problem.bdf::<NalgebraLU<f64>>().ok()?;
                advance(solver, &piece.times, &mut run)?;
            }
            Method::Esdirk34 => {
                let solver = problem.esdirk34::<NalgebraLU<f64>>().ok()?;
                advance(solver, &piece.times, &mut run)?;
            }
        }
        start = *run.outputs.last()?;
        run.evaluations += evaluations.get();
        run.jacobians += jacobians.get();
    }
    Some(run)
}
