//! The right-hand side for solvers that are not in Rust: SciPy's call it through C, so that no second
//! copy of the equations has to keep up with the first.

pub mod drive;

use drive::{Drive, hole, network};
use sim::control::Command;
use sim::network::Network;
use sim::network::layout::STATES;
use sim::solve::{State, rates};
use std::slice::{from_raw_parts, from_raw_parts_mut};
use std::sync::OnceLock;

fn answer(network: &Network<f64>, x: &[f64], dx: &mut [f64]) {
    dx.copy_from_slice(&rates(network, &State::from_column_slice(x)).states);
}

/// Rates of a piece of the drive.
///
/// # Safety
/// `x` and `dx` point to as many numbers as there are states.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rates_of_piece(piece: usize, x: *const f64, dx: *mut f64) {
    static DRIVE: OnceLock<Drive> = OnceLock::new();
    let drive = DRIVE.get_or_init(Drive::tip_in);
    // SAFETY: the caller's word.
    let (x, dx) = unsafe { (from_raw_parts(x, STATES), from_raw_parts_mut(dx, STATES)) };
    answer(&drive.pieces[piece].network, x, dx);
}

/// Rates at full load, the speed held (rad/s), with a hole of this diameter, m.
///
/// # Safety
/// `x` and `dx` point to as many numbers as there are states.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rates_with_hole(diameter: f64, speed: f64, x: *const f64, dx: *mut f64) {
    static CAR: OnceLock<Network<f64>> = OnceLock::new();
    let car = CAR.get_or_init(|| network(diameter, Command::full_load(speed)));
    // SAFETY: the caller's word.
    let (x, dx) = unsafe { (from_raw_parts(x, STATES), from_raw_parts_mut(dx, STATES)) };
    let mut car = car.clone();
    car.leaks[0] = hole(diameter);
    answer(&car, x, dx);
}
