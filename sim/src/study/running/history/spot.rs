//! An engine at one command while what is wrong with it grows.

use crate::network::Network;
use crate::network::layout::{SCALE, STATES, state};
use crate::solve::steady::{followed, nearby, run_from};
use crate::solve::{Failure, State};

/// Where an engine is at one command.
#[derive(Clone, Debug)]
pub enum Spot {
    /// It runs in this steady state.
    Runs {
        /// The state.
        state: State,
        /// How often it has left the states that it could stay in, since the healthy car.
        jumps: u32,
    },
    /// It runs, but does not come to rest.
    Swings {
        /// A state in which it did.
        from: State,
        /// How it goes on.
        why: Failure,
        /// As above.
        jumps: u32,
    },
    /// It stands still, or is not fuelled.
    Stands(Failure),
}

/// Way, in scales, from which an engine that had to be run has gone somewhere else.
const ELSEWHERE: f64 = 0.02;

/// The same, from which it has jumped there: not one that crept past a corner in a small step.
const JUMPED: f64 = 0.05;

impl Spot {
    /// An engine in a steady state of the healthy car, or at rest where that has none.
    pub(super) fn foot(healthy: Option<State>, rest: State) -> Self {
        match healthy {
            Some(state) => Spot::Runs { state, jumps: 0 },
            None => Spot::Swings {
                from: rest,
                why: Failure::singular(),
                jumps: 0,
            },
        }
    }

    /// The same once the car has become `network`, a little worse; none where that is too much at
    /// once to follow. With `run` the engine is run to where it goes by itself.
    pub(super) fn next(&self, network: &Network<f64>, run: bool) -> Option<Self> {
        let (state, jumps) = match self {
            Spot::Runs { state, jumps } => (state, *jumps),
            Spot::Swings { from, jumps, .. } => return Some(Self::ran(network, from, *jumps)),
            Spot::Stands(_) => return Some(self.clone()),
        };
        let found = followed(network, state).or_else(|| {
            // At a corner Newton's method may go astray and come back.
            let found = nearby(network, state).filter(|_| run)?;
            let near = !found.drifts && apart(state, &found.state) < ELSEWHERE;
            near.then_some(found)
        });
        match found {
            Some(found) => Some(Spot::Runs {
                state: found.state,
                jumps,
            }),
            None if run => Some(Self::ran(network, state, jumps)),
            None => None,
        }
    }

    /// Where the engine runs to by itself.
    pub(super) fn ran(network: &Network<f64>, from: &State, jumps: u32) -> Self {
        match run_from(network, from) {
            Ok(found) => {
                let jumped = u32::from(felt(from, &found.state) > JUMPED);
                Spot::Runs {
                    state: found.state,
                    jumps: jumps + jumped,
                }
            }
            Err(why @ (Failure::Stalled { .. } | Failure::OverLimit { .. })) => Spot::Stands(why),
            Err(why) => Spot::Swings {
                from: *from,
                why,
                jumps,
            },
        }
    }

    /// The same, its jumps not counted.
    pub(super) fn afresh(self) -> Self {
        match self {
            Spot::Runs { state, .. } => Spot::Runs { state, jumps: 0 },
            other => other,
        }
    }

    /// The steady state, if it is in one.
    pub fn state(&self) -> Result<State, Failure> {
        match self {
            Spot::Runs { state, .. } => Ok(*state),
            Spot::Swings { why, .. } | Spot::Stands(why) => Err(why.clone()),
        }
    }

    /// How often it has left the states that it could stay in; none where it does not run steadily.
    pub fn jumps(&self) -> Option<u32> {
        match self {
            Spot::Runs { jumps, .. } => Some(*jumps),
            _ => None,
        }
    }
}

/// How far two states are apart to an engine, in scales. The memory of a boost controller whose
/// wastegate stands shut anyway runs to its stop, within days and with its signal line only: nothing
/// else of the engine moves.
fn felt(a: &State, b: &State) -> f64 {
    let mut b = *b;
    for own in [state::DUTY, state::CAPSULE] {
        b[own] = a[own];
    }
    apart(a, &b)
}

/// How far two states are apart, in scales.
pub fn apart(a: &State, b: &State) -> f64 {
    let each = (0..STATES).map(|i| (a[i] - b[i]).abs() / SCALE[i].max(a[i].abs()));
    each.fold(0.0, f64::max)
}
