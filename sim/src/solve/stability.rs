//! Whether an engine stays at a steady point: the fastest growth of a small disturbance.

use super::{Jacobian, State, linearise};
use crate::control::SpeedMode;
use crate::network::Network;
use crate::network::layout::{SCALE, STATES};
use nalgebra::Schur;
use nalgebra::linalg::balancing::balance_parlett_reinsch;

/// How a small disturbance of a steady point goes on: as `exp(growth t)`, swinging
/// where `swing` is not zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Growth {
    /// 1/s; positive where the engine leaves the point.
    pub growth: f64,
    /// rad/s.
    pub swing: f64,
}

/// An entry of this share of its neighbours counts as nothing.
const SMALL: f64 = 1e-13;
/// Sweeps of the QR algorithm; a few an eigenvalue are enough.
const MOST_SWEEPS: usize = 40 * STATES;

/// Growth, 1/s, below which a swing is round-off.
const SLOWEST: f64 = 1e-5;

/// Whether an idling engine stays at the steady point `x` when it is pushed a little. Under a held
/// speed what swings is surge, of which the surge line tells.
pub fn stays(network: &Network<f64>, x: &State) -> bool {
    let free = network.command.speed == SpeedMode::Free;
    !free || growth(network, x).is_none_or(|at| at.growth <= SLOWEST)
}

/// The rightmost eigenvalue of the exact Jacobian at the steady point `x` of a network
/// whose command gives the memories; none where the algorithm does not converge
/// (first method of Lyapunov; khalil2002 ch. 4).
pub fn growth(network: &Network<f64>, x: &State) -> Option<Growth> {
    let at = linearise(network, x);
    let mut scaled = Jacobian::from_fn(|i, j| at.jacobian[(i, j)] * SCALE[j] / SCALE[i]);
    balance_parlett_reinsch(&mut scaled);
    let schur = Schur::try_new(scaled, SMALL, MOST_SWEEPS)?;
    let all = schur.complex_eigenvalues();
    let rightmost = all.iter().max_by(|a, b| a.re.total_cmp(&b.re))?;
    Some(Growth {
        growth: rightmost.re,
        swing: rightmost.im.abs(),
    })
}
