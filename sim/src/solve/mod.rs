//! Two ways to an answer from one right-hand side: a steady point by Newton, a
//! trace by a stiff integrator. Both use the exact Jacobian.

pub mod arclength;
pub mod explicit;
pub mod implicit;
mod joins;
pub(crate) mod lu;
mod rodas;
pub mod stability;
pub mod steady;
pub mod straight;
mod tape;
mod traced;

pub(crate) use tape::differentiate;

use crate::control::Memory;
use crate::dual::Dual;
use crate::network::layout::{STATES, ledger};
use crate::network::{Network, Rates};
use crate::say::solving as say;
use crate::scalar::Scalar;
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
#[derive(Clone)]
pub struct Linearised {
    /// Rates of the states.
    pub rates: State,
    /// Their derivatives.
    pub jacobian: Jacobian,
    /// Columns of each row of it that are not zero, one bit each.
    pub pattern: [u64; STATES],
    /// Rates of the ledger.
    pub book: Book,
    /// Their derivatives.
    pub book_jacobian: BookJacobian,
}

/// Rates and exact Jacobian at `x`.
pub fn linearise(network: &Network<f64>, x: &State) -> Linearised {
    let mut at = Linearised::room();
    at.take(network, network.command.memory, x);
    at
}

/// Rates and exact Jacobian at `x` by dual numbers with a slope for every state:
/// slower than [`linearise`], a witness for it.
pub fn linearise_by_duals(network: &Network<f64>, x: &State) -> Linearised {
    let mut at = Linearised::room();
    at.take_by_duals(network, network.command.memory, x);
    at
}

impl Linearised {
    pub(crate) fn room() -> Self {
        Self {
            rates: State::zeros(),
            jacobian: Jacobian::zeros(),
            pattern: [0; STATES],
            book: Book::zeros(),
            book_jacobian: BookJacobian::zeros(),
        }
    }

    /// Takes the values at `x`; `kept` is what memories return to.
    pub(crate) fn take(&mut self, network: &Network<f64>, kept: Option<Memory>, x: &State) {
        for (i, pattern) in self.pattern.iter_mut().enumerate() {
            for j in lu::members(std::mem::take(pattern)) {
                self.jacobian[(i, j)] = 0.0;
            }
        }
        self.book_jacobian.fill(0.0);
        let complete = tape::differentiate(
            &x.data.0[0],
            |states| network.rates_keeping(states, kept),
            |traced, slopes| {
                for (i, rate) in traced.states.iter().enumerate() {
                    self.rates[i] = rate.value();
                    slopes.of(rate, |j, slope| self.enter(i, j, slope));
                }
                for (i, rate) in traced.ledger.iter().enumerate() {
                    self.book[i] = rate.value();
                    slopes.of(rate, |j, slope| self.book_jacobian[(i, j)] = slope);
                }
            },
        );
        if !complete {
            self.take_by_duals(network, kept, x);
        }
    }

    /// The same by dual numbers with a slope for every state, which any network fits.
    fn take_by_duals(&mut self, network: &Network<f64>, kept: Option<Memory>, x: &State) {
        let states: [Dual<STATES>; STATES] = std::array::from_fn(|i| Dual::variable(x[i], i));
        let rates = network.rates_keeping(&states, kept);
        for (i, rate) in rates.states.iter().enumerate() {
            self.rates[i] = rate.value;
            (0..STATES).for_each(|j| self.enter(i, j, rate.slope[j]));
        }
        for (i, rate) in rates.ledger.iter().enumerate() {
            self.book[i] = rate.value;
            (0..STATES).for_each(|j| self.book_jacobian[(i, j)] = rate.slope[j]);
        }
    }

    pub(crate) fn enter(&mut self, i: usize, j: usize, slope: f64) {
        if slope != 0.0 {
            self.jacobian[(i, j)] = slope;
            self.pattern[i] |= 1 << j;
        }
    }
}

/// Why there is no answer.
///
/// # Examples
/// ```
/// use sim::{Command, Comparison, Failure};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// // More than this engine gives at 1200 rpm.
/// let asked = Comparison::new(&car).point("", Command::torque(126.0, 600.0)).healthy;
/// assert!(matches!(asked, Err(Failure::Unreachable { wanted, got }) if got < wanted));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub enum Failure {
    /// The crankshaft came to a stop.
    Stalled {
        /// Mixture in the cylinders as it did.
        lambda: f64,
        /// Whether that still burns.
        burns: bool,
    },
    /// The driver asks for a torque that the engine does not give, at either stop of the throttle.
    Unreachable {
        /// Torque asked for, N m.
        wanted: f64,
        /// Torque with the throttle at its stop, N m.
        got: f64,
    },
    /// With the pedal down, a speed is held at which the engine computer cuts the fuel.
    OverLimit {
        /// Speed asked for, rpm.
        asked: f64,
        /// Speed limit of the engine, rpm.
        limit: f64,
    },
    /// The compressor surges: flow and boost go on swinging.
    Surging,
    /// The idle hunts: crank speed keeps swinging.
    Hunting {
        /// Lowest speed of the swing, rpm.
        low: f64,
        /// Highest, rpm.
        high: f64,
    },
    /// The engine swings between burning more and fewer of its working cycles.
    Misfiring {
        /// Largest share of them that did not burn, 0 to 1.
        most: f64,
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

impl Failure {
    /// No derivative can be taken where the search ended.
    pub(crate) fn singular() -> Self {
        Failure::Unsettled {
            state: say::singular().into(),
            rate: 0.0,
        }
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let said = match self {
            Failure::Stalled { burns: true, .. } => say::stalled_for_torque().into(),
            Failure::Stalled { lambda, .. } if (0.1..10.0).contains(lambda) => {
                say::stalled_at_mixture(lambda)
            }
            Failure::Stalled { .. } => say::stalled_for_mixture().into(),
            Failure::Unreachable { wanted, got } if got > wanted => {
                say::torque_too_low(wanted, got)
            }
            Failure::Unreachable { wanted, got } => say::torque_too_high(wanted, got),
            Failure::OverLimit { asked, limit } => say::over_limit(asked, limit),
            Failure::Hunting { low, high } => say::hunting(low, high),
            Failure::Surging => say::surging().into(),
            Failure::Misfiring { most } => say::misfiring(100.0 * most),
            Failure::Unsettled { state, .. } => say::unsettled(state),
            Failure::StepTooSmall { time } => say::step_too_small(time),
        };
        f.write_str(&said)
    }
}

impl std::error::Error for Failure {}
