//! Steady points: Newton with the exact Jacobian, controllers included; where
//! Newton does not lead there from afar, the engine is run until it settles.
//!
//! Damping by the natural monotonicity test, which does not depend on how the
//! equations are scaled; the simplified correction it needs is taken as a step
//! of its own (deuflhard2004 ch. 3). Fallback: pseudo-transient continuation,
//! here the L-stable integrator itself with its own error control (kelley1998).

use super::implicit::{Integrator, STALL_SPEED, Tolerance, plausible};
use super::{Failure, State, linearise, rates};
use crate::control::{Command, Memory, SpeedMode};
use crate::network::Network;
use crate::network::layout::{SCALE, STATES, state, state_name};

/// A steady point and what it cost.
#[derive(Clone, Debug)]
pub struct Steady {
    /// The state.
    pub state: State,
    /// Newton iterations: one exact Jacobian and one factorisation each.
    pub iterations: usize,
    /// Right-hand sides in plain numbers.
    pub evaluations: usize,
    /// Whether the engine had to be run to get near.
    pub fallback: bool,
}

/// Newton stops when the next correction is below this share of every scale.
const ENOUGH: f64 = 1e-9;
const MOST_ITERATIONS: usize = 25;
/// Times, s, for which the engine is run when Newton alone does not arrive.
const RUNS: [f64; 4] = [3.0, 20.0, 100.0, 600.0];
/// Error a step while the engine settles. An orifice's root law carries a step from one
/// side of rest to the other (a linearised step on √x from x ends at −x) until its
/// laminar band, 1e-4 of the pressure, is reached: the tolerance must be as fine as that.
const SETTLING: f64 = 1e-4;
/// Steps after which an engine that still swings will not settle: a run of 700 s
/// to rest takes a few hundred.
const MOST_STEPS: usize = 4000;
/// Swing of the idle speed that counts as hunting, rpm.
const SWING: f64 = 20.0;

/// A steady point near `guess`. Memories that the command does not give stay as they are
/// in `guess`.
///
/// # Errors
/// [`Failure::Surging`] when the compressor keeps surging, [`Failure::Hunting`] when idle
/// keeps swinging,
/// [`Failure::Stalled`] when the engine stops, [`Failure::Unsettled`] when it
/// runs but does not come to rest.
pub fn steady(network: &Network<f64>, guess: &State) -> Result<Steady, Failure> {
    if network.command.memory.is_none() {
        let memory = Some(remembered(guess));
        let command = Command {
            memory,
            ..network.command
        };
        return steady(&network.with(command), guess);
    }
    let (mut evaluations, mut steps, mut surged) = (0, 0, false);
    let mut speeds = (f64::INFINITY, 0.0_f64);
    if let Some(found) = newton(network, guess, &mut evaluations) {
        return Ok(found);
    }
    let mut x = *guess;
    for run in RUNS {
        let tolerance = Tolerance {
            relative: SETTLING,
            ..Tolerance::default()
        };
        let mut engine = Integrator::new(network, 0.0, x, tolerance);
        while engine.time < run && steps < MOST_STEPS {
            let step = engine.step(run)?;
            steps += 1;
            surged |= step.end[state::COMPRESSOR_FLOW] < 0.0;
            if steps > MOST_STEPS / 2 {
                let speed = step.end[state::ENGINE] * 30.0 / std::f64::consts::PI;
                speeds = (speeds.0.min(speed), speeds.1.max(speed));
            }
        }
        evaluations += engine.cost.evaluations + engine.cost.jacobians;
        x = engine.state;
        if let Some(found) = newton(network, &x, &mut evaluations) {
            return Ok(Steady {
                fallback: true,
                ..found
            });
        }
        if steps == MOST_STEPS {
            break;
        }
    }
    if surged {
        return Err(Failure::Surging);
    }
    if network.command.speed == SpeedMode::Free && speeds.1 > speeds.0 + SWING {
        return Err(Failure::Hunting {
            low: speeds.0,
            high: speeds.1,
        });
    }
    let now = rates(network, &x).states;
    let (worst, rate) = (0..STATES)
        .map(|i| (i, now[i].abs() / SCALE[i]))
        .fold((0, 0.0), |a, b| if b.1 > a.1 { b } else { a });
    Err(Failure::Unsettled {
        state: state_name(worst),
        rate,
    })
}

/// The steady point that Newton alone reaches from `guess`, if it does; the command must
/// give the memories.
pub fn nearby(network: &Network<f64>, guess: &State) -> Option<Steady> {
    newton(network, guess, &mut 0)
}

/// What the computer remembers in this state.
pub fn remembered(x: &State) -> Memory {
    Memory {
        idle_opening: x[state::IDLE],
        idle_trim: x[state::IDLE_TRIM],
        part_load_trim: x[state::PART_TRIM],
    }
}

fn newton(network: &Network<f64>, guess: &State, evaluations: &mut usize) -> Option<Steady> {
    let mut x = *guess;
    for iterations in 1..=MOST_ITERATIONS {
        let at = linearise(network, &x);
        let factors = at.jacobian.lu();
        let step = -factors.solve(&at.rates)?;
        let length = size(&step, &x);
        if !length.is_finite() {
            return None;
        }
        let mut share = room(&x, &step);
        loop {
            let near = x + step * share;
            *evaluations += 1;
            let simplified = -factors.solve(&State::from(rates(network, &near).states))?;
            let next = size(&simplified, &near);
            // The simplified correction must shrink, or the step is cut.
            if next <= (1.0 - 0.25 * share) * length || length < ENOUGH {
                x = near;
                if share == 1.0 && next < 0.5 * length && plausible(&(near + simplified)) {
                    x = near + simplified;
                    // Linear convergence at rate next/length: what is left after this step.
                    if next * (next / length) < ENOUGH || next < ENOUGH {
                        return accept(network, x, iterations, evaluations);
                    }
                }
                break;
            }
            share *= if next.is_finite() {
                (length / next * 0.5).clamp(0.1, 0.5)
            } else {
                0.25
            };
            if share < 1e-3 {
                return None;
            }
        }
    }
    None
}

/// A root counts only where the engine turns and every mass is positive.
fn accept(_: &Network<f64>, x: State, iterations: usize, evaluations: &usize) -> Option<Steady> {
    (plausible(&x) && x[state::ENGINE] > STALL_SPEED && x[state::SHAFT] > 0.0).then_some(Steady {
        state: x,
        iterations,
        evaluations: *evaluations,
        fallback: false,
    })
}

/// Largest component of a correction over its scale.
fn size(step: &State, x: &State) -> f64 {
    let mut largest = 0.0;
    for i in 0..STATES {
        let s = step[i].abs() / SCALE[i].max(x[i].abs());
        if s.is_nan() {
            return f64::INFINITY;
        }
        largest = f64::max(largest, s);
    }
    largest
}

/// Largest share (at most 1) of `step` that no positive state may fall by more than 70 %.
fn room(x: &State, step: &State) -> f64 {
    let mut share: f64 = 1.0;
    let positive = (0..crate::network::layout::VOLUMES).map(|v| 3 * v);
    for i in positive.chain([state::CAPSULE, state::CHAMBER, state::ENGINE]) {
        if step[i] < 0.0 {
            share = share.min(-0.7 * x[i] / step[i]);
        }
    }
    share
}
