//! CVODE of SUNDIALS, through a small C file.

use crate::drive::{Drive, Run};
use sim::network::Network;
use sim::network::layout::{SCALE, STATES};
use sim::solve::{State, linearise, rates};
use std::ffi::{c_int, c_long, c_void};

type RatesFn = extern "C" fn(f64, *const f64, *mut f64, *mut c_void) -> c_int;
type JacobianFn = extern "C" fn(*const f64, *mut f64, *mut c_void) -> c_int;

unsafe extern "C" {
    fn cvode_piece(
        n: c_long,
        f: RatesFn,
        j: Option<JacobianFn>,
        user: *mut c_void,
        start: *mut f64,
        from: f64,
        relative: f64,
        absolute: *const f64,
        times: *const f64,
        count: c_long,
        out: *mut f64,
        steps: *mut c_long,
    ) -> c_int;
}

struct Side<'a> {
    network: &'a Network<f64>,
    evaluations: usize,
    jacobians: usize,
}

/// # Safety
/// `x` points at the solver's state.
unsafe fn state(x: *const f64) -> State {
    // SAFETY: as the caller says.
    State::from_column_slice(unsafe { std::slice::from_raw_parts(x, STATES) })
}

extern "C" fn rates_of(_: f64, x: *const f64, dx: *mut f64, user: *mut c_void) -> c_int {
    // SAFETY: the C side passes the pointers it was given, of this length, and calls nobody else.
    let (side, x, dx) = unsafe {
        let side = &mut *user.cast::<Side>();
        (side, state(x), std::slice::from_raw_parts_mut(dx, STATES))
    };
    side.evaluations += 1;
    dx.copy_from_slice(&rates(side.network, &x).states);
    c_int::from(!dx.iter().all(|v| v.is_finite()))
}

extern "C" fn jacobian_of(x: *const f64, j: *mut f64, user: *mut c_void) -> c_int {
    // SAFETY: as above.
    let (side, x, j) = unsafe {
        let j = std::slice::from_raw_parts_mut(j, STATES * STATES);
        (&mut *user.cast::<Side>(), state(x), j)
    };
    side.jacobians += 1;
    j.copy_from_slice(linearise(side.network, &x).jacobian.as_slice());
    0
}

/// The drive by CVODE, with its own difference quotients or the exact Jacobian.
pub fn run(drive: &Drive, relative: f64, exact: bool) -> Option<Run> {
    let absolute = SCALE.map(|s| s * relative);
    let mut run = Run::default();
    let mut x = drive.start;
    for piece in &drive.pieces {
        let mut side = Side {
            network: &piece.network,
            evaluations: 0,
            jacobians: 0,
        };
        let mut out = vec![0.0; STATES * piece.times.len()];
        let mut steps = 0;
        // SAFETY: every pointer is to as many numbers as the C side takes.
        let bad = unsafe {
            cvode_piece(
                STATES as c_long,
                rates_of,
                exact.then_some(jacobian_of as JacobianFn),
                (&raw mut side).cast(),
                x.as_mut_ptr(),
                piece.from,
                relative,
                absolute.as_ptr(),
                piece.times.as_ptr(),
                piece.times.len() as c_long,
                out.as_mut_ptr(),
                &raw mut steps,
            )
        };
        if bad != 0 {
            return None;
        }
        run.outputs
            .extend(out.chunks(STATES).map(State::from_column_slice));
        x = *run.outputs.last()?;
        run.steps += steps as usize;
        run.evaluations += side.evaluations;
        run.jacobians += side.jacobians;
    }
    Some(run)
}
