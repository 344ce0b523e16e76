//! Two ways to an answer from one right-hand side: a steady point by Newton, a
//! trace by a stiff integrator. Both use the exact Jacobian.

pub mod implicit;
mod rodas;
pub mod steady;

use crate::dual::Dual;
use crate::scalar::Scalar;
use crate::network::layout::{STATES, ledger};
use crate::network::{Network, Rates};
use nalgebra::{SMatrix, SVector};

/// A state of the network.
pub type State = SVector<f64, STATES>;
/// d(rates)/d(states).
pub type Jacobian = SMatrix<f64, STATES, STATES>;
/// What has passed since the start of a run.
pub type Book = SVector<f64, { ledger::ENTRIES }>;
/// d(ledger rates)/d(states).
pub type BookJacobian = SMatrix<f64, { ledger::ENTRIES }, STATES>;

/// Rates of states and ledger at `x`.
pub fn rates(network: &Network<f64>, x: &State) -> Rates<f64> {
    network.rates_at(&x.data.0[0])
}

/// Rates and their exact derivatives at `x`.
pub struct Linearised {
    /// Rates of the states.
    pub rates: State,
    /// Their derivatives.
    pub jacobian: Jacobian,
    /// Rates of the ledger.
    pub book: Book,
    /// Their derivatives.
    pub book_jacobian: BookJacobian,
}

/// Directions carried at once: few enough for the compiler to keep a dual in
/// registers. One pass with all 34 measured twice the time of three with 12.
const WIDTH: usize = 12;

/// Rates and exact Jacobian at `x`, by forward-mode duals, [`WIDTH`] columns a pass.
pub fn linearise(network: &Network<f64>, x: &State) -> Linearised {
    let mut at = Linearised {
        rates: State::zeros(),
        jacobian: Jacobian::zeros(),
        book: Book::zeros(),
        book_jacobian: BookJacobian::zeros(),
    };
    for first in (0..STATES).step_by(WIDTH) {
        let last = (first + WIDTH).min(STATES);
        let seeded: [Dual<WIDTH>; STATES] = std::array::from_fn(|i| {
            if (first..last).contains(&i) { Dual::variable(x[i], i - first) } else { Dual::constant(x[i]) }
        });
        let rates = network.rates_at(&seeded);
        for j in first..last {
            for i in 0..STATES {
                at.jacobian[(i, j)] = rates.states[i].slope[j - first];
            }
            for i in 0..ledger::ENTRIES {
                at.book_jacobian[(i, j)] = rates.ledger[i].slope[j - first];
            }
        }
        if first == 0 {
            at.rates = State::from_fn(|i, _| rates.states[i].value);
            at.book = Book::from_fn(|i, _| rates.ledger[i].value);
        }
    }
    at
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// The crankshaft came to a stop.
    Stalled,
    /// The driver asks for more than the engine gives.
    Unreachable {
        /// Torque asked for, N m.
        wanted: f64,
        /// Torque with the throttle at its stop, N m.
        got: f64,
    },
    /// No steady state was found: what still moves, and how fast (1/s, scaled).
    Unsettled {
        /// Name of the state that moves most.
        state: String,
        /// Its rate over its scale, 1/s.
        rate: f64,
    },
    /// The step size fell below what the time can resolve.
    StepTooSmall {
        /// Time at which it happened, s.
        time: f64,
    },
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        match self {
            Failure::Stalled => write!(f, "the engine stalls"),
            Failure::Unreachable { wanted, got } => write!(
                f,
                "the engine cannot reach {wanted:.1} N m here: with the throttle at its stop it gives {got:.1} N m"
            ),
            Failure::Unsettled { state, rate } => write!(
                f,
                "no steady running: the {state} keeps moving ({rate:.1e} of its scale a second)"
            ),
            Failure::StepTooSmall { time } => {
                write!(f, "the integration cannot go on at {time:.3} s: the step became too small")
            }
        }
    }
}
