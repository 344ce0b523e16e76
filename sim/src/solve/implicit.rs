//! Time traces: a Rosenbrock integrator with exact Jacobian, error control and
//! dense output.
//!
//! The method needs no Newton iteration: one Jacobian, one factorisation and
//! eight solves a step. It keeps linear invariants (mass and energy balances)
//! to round-off at any tolerance, because the ledger is integrated by the same
//! stages (hairer1996 ch. IV.7 and IV.9).

use super::lu::Factors;
use super::rodas::{A, C, DENSE, ERROR_ORDER, GAMMA, STAGES};
use super::{Book, Failure, Linearised, State, rates};
use crate::network::Network;
use crate::network::layout::{SCALE, STATES, state};

/// How exactly to integrate.
#[derive(Clone, Copy, Debug)]
pub struct Tolerance {
    /// Error a step over the state or its scale.
    pub relative: f64,
    /// Longest step, s.
    pub longest_step: f64,
}

impl Default for Tolerance {
    fn default() -> Self {
        Self {
            relative: 1e-6,
            longest_step: f64::INFINITY,
        }
    }
}

/// What an integration cost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Accepted steps.
    pub steps: usize,
    /// Rejected steps.
    pub rejected: usize,
    /// Right-hand sides in plain numbers.
    pub evaluations: usize,
    /// Exact Jacobians (one dual right-hand side each) and factorisations.
    pub jacobians: usize,
}

impl std::ops::AddAssign for Cost {
    fn add_assign(&mut self, more: Self) {
        self.steps += more.steps;
        self.rejected += more.rejected;
        self.evaluations += more.evaluations;
        self.jacobians += more.jacobians;
    }
}

/// One accepted step, with what dense output needs.
#[derive(Clone, Debug)]
pub struct Step {
    /// Time at its start, s.
    pub from: f64,
    /// Length, s.
    pub length: f64,
    /// State at its start.
    pub start: State,
    /// State at its end.
    pub end: State,
    stages: [State; STAGES],
}

impl Step {
    /// State at `time` within the step (order 4 between the ends).
    pub fn at(&self, time: f64) -> State {
        let s = (time - self.from) / self.length;
        let s1 = 1.0 - s;
        let [d1, d2, d3] = DENSE.map(|weights| {
            let mut sum = State::zeros();
            for (weight, stage) in weights.iter().zip(&self.stages) {
                sum.axpy(*weight, stage, 1.0);
            }
            sum
        });
        self.start * s1 + (self.end + (d1 + (d2 + d3 * s) * s) * s1) * s
    }
}

/// A running integration.
#[derive(Clone)]
pub struct Integrator<'a> {
    network: &'a Network<f64>,
    tolerance: Tolerance,
    /// Time, s.
    pub time: f64,
    /// State.
    pub state: State,
    /// Ledger since the start.
    pub book: Book,
    /// Cost so far.
    pub cost: Cost,
    next: f64,
    previous_error: f64,
    previous_step: f64,
    /// Kept from step to step: a step allocates nothing.
    at: Box<Linearised>,
    factors: Box<Factors>,
}

/// First step tried, s: shorter than the fastest volume's filling time.
const FIRST_STEP: f64 = 1e-4;
/// Crank speed at which the engine counts as stalled, rad/s (about 190 rpm).
pub const STALL_SPEED: f64 = 20.0;

impl<'a> Integrator<'a> {
    /// An integration from `state` at `time`.
    pub fn new(network: &'a Network<f64>, time: f64, state: State, tolerance: Tolerance) -> Self {
        Self {
            network,
            tolerance,
            time,
            state,
            book: Book::zeros(),
            cost: Cost::default(),
            next: FIRST_STEP,
            previous_error: 1.0,
            previous_step: FIRST_STEP,
            at: Box::new(Linearised::room()),
            factors: Box::new(Factors::room()),
        }
    }

    /// Runs to `end`; `seen` sees every accepted step.
    pub fn run_to(&mut self, end: f64, mut seen: impl FnMut(&Step)) -> Result<(), Failure> {
        while self.time < end {
            let step = self.step(end)?;
            seen(&step);
        }
        Ok(())
    }

    /// One accepted step, not past `end`.
    pub fn step(&mut self, end: f64) -> Result<Step, Failure> {
        self.at
            .take(self.network, self.network.command.memory, &self.state);
        self.cost.jacobians += 1;
        loop {
            let left = end - self.time;
            let mut h = self.next.min(self.tolerance.longest_step);
            // Land on the end without a sliver of a last step.
            let last = h >= left * 0.999_999;
            if last {
                h = left;
            } else if 2.0 * h > left {
                h = 0.5 * left;
            }
            if h <= 1e-12 * self.time.abs().max(1.0) && !last {
                return Err(Failure::StepTooSmall { time: self.time });
            }
            let trial = self.trial(h);
            let error = self.error_of(&trial);
            let factor = (0.9 * error.powf(-1.0 / ERROR_ORDER)).clamp(0.2, 6.0);
            if error <= 1.0 && plausible(&trial.end) {
                // Predictive controller (gustafsson1994, as in hairer1996 IV.8).
                let trend = (self.previous_error / (error * error)).powf(1.0 / ERROR_ORDER);
                let predicted = 0.9 * trend * h / self.previous_step;
                let factor = if self.cost.steps > 0 {
                    factor.min(predicted).max(0.2)
                } else {
                    factor
                };
                self.previous_step = h;
                self.previous_error = error.max(1e-2);
                self.cost.steps += 1;
                let step = Step {
                    from: self.time,
                    length: h,
                    start: self.state,
                    end: trial.end,
                    stages: trial.stages,
                };
                self.time = if last { end } else { self.time + h };
                self.state = trial.end;
                self.book += trial.book;
                if !last || factor < 1.0 {
                    self.next = h * factor;
                }
                if self.state[state::ENGINE] < STALL_SPEED {
                    return Err(self.stalled());
                }
                return Ok(step);
            }
            self.cost.rejected += 1;
            self.next = h * if error.is_finite() {
                factor.min(0.5)
            } else {
                0.1
            };
            if self.next < 1e-13 {
                return Err(Failure::StepTooSmall { time: self.time });
            }
        }
    }

    fn stalled(&self) -> Failure {
        let moment = self.network.evaluate(&self.state.data.0[0]);
        let cycle = &moment.streams.cycle;
        Failure::Stalled {
            lambda: cycle.lambda,
            burns: cycle.burned > 0.9 * (1.0 - self.network.vehicle.cylinders.dead_share),
        }
    }

    fn trial(&mut self, h: f64) -> Trial {
        let at = &*self.at;
        let shift = 1.0 / (GAMMA * h);
        let regular = self.factors.take(at, Some(shift));
        let mut stages = [State::zeros(); STAGES];
        let mut books = [Book::zeros(); STAGES];
        for i in 0..STAGES {
            let (mut right, mut book) = if i == 0 {
                (at.rates, at.book)
            } else {
                let mut argument = self.state;
                for j in 0..i {
                    argument.axpy(A[i][j], &stages[j], 1.0);
                }
                self.cost.evaluations += 1;
                let now = rates(self.network, &argument);
                (State::from(now.states), Book::from(now.ledger))
            };
            for j in 0..i {
                right.axpy(C[i][j] / h, &stages[j], 1.0);
                book.axpy(C[i][j] / h, &books[j], 1.0);
            }
            stages[i] = match regular {
                true => self.factors.solve(&right),
                false => State::repeat(f64::NAN),
            };
            book.gemv(1.0, &at.book_jacobian, &stages[i], 1.0);
            books[i] = book / shift;
        }
        let mut end = self.state + stages[STAGES - 1];
        let mut book = books[STAGES - 1];
        for j in 0..STAGES - 1 {
            end.axpy(A[STAGES - 1][j], &stages[j], 1.0);
            book.axpy(A[STAGES - 1][j], &books[j], 1.0);
        }
        Trial { end, stages, book }
    }

    fn error_of(&self, trial: &Trial) -> f64 {
        let mut sum = 0.0;
        for (i, scale) in SCALE.iter().enumerate() {
            let scale = scale.max(self.state[i].abs()).max(trial.end[i].abs());
            sum += (trial.stages[STAGES - 1][i] / (scale * self.tolerance.relative)).powi(2);
        }
        let error = (sum / STATES as f64).sqrt();
        if error.is_nan() {
            f64::INFINITY
        } else {
            error.max(1e-10)
        }
    }
}

struct Trial {
    end: State,
    stages: [State; STAGES],
    book: Book,
}

/// Masses positive and everything finite: what the next right-hand side needs.
pub(super) fn plausible(x: &State) -> bool {
    x.iter().all(|v| v.is_finite())
        && (0..crate::network::layout::VOLUMES).all(|v| x[3 * v] > 0.0)
        && x[state::CAPSULE] > 0.0
        && x[state::CHAMBER] > 0.0
        && x[state::ENGINE] > 0.0
}
