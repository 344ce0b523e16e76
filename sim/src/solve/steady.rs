//! Steady points: Newton with the exact Jacobian, controllers included; where
//! Newton does not lead there from afar, the engine is run until it settles.
//!
//! Damping by the natural monotonicity test, which does not depend on how the
//! equations are scaled; the simplified correction it needs is taken as a step
//! of its own (deuflhard2004 ch. 3). Steps are straight in pressures and temperatures
//! (`straight.rs`). Fallback: pseudo-transient continuation,
//! here the L-stable integrator itself with its own error control (kelley1998).

use super::implicit::{Integrator, STALL_SPEED, Tolerance, plausible};
use super::lu::Factors;
use super::{Failure, Linearised, State, rates, straight};
use crate::control::fuelling::limiter_cut;
use crate::control::{Command, Memory, SpeedMode, idle_share};
use crate::network::Network;
use crate::network::layout::{SCALE, STATES, state, state_in_words};
use crate::say::solving as say;

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
    /// Whether the engine drifts away when it is pushed a little: a number of eigenvalues
    /// that is odd is real and positive. (One that swings away is not seen.)
    pub drifts: bool,
}

/// Newton stops when the next correction is below this share of every scale: so near that
/// another machine's last digits do not show.
const FINE: f64 = 1e-12;
/// A correction this small may be the last where rounding lets none be smaller.
const ENOUGH: f64 = 1e-9;
/// A correction with old factors this small may be followed by one that is smaller by its rate. At a
/// larger one the rate is that of the way so far, which a bend nearby may end.
const NEARLY: f64 = 1e-10;
/// Corrections with the old factors that cost as much as one with new ones.
const WORTH: i32 = 6;
const MOST_ITERATIONS: usize = 25;
/// Times, s, for which the engine is run when Newton alone does not arrive. The last is for
/// a throttle that creeps to its stop because almost the wanted torque is there.
const RUNS: [f64; 5] = [3.0, 20.0, 100.0, 600.0, 6000.0];
/// Error a step while the engine settles, and once more if it does not. An orifice's root
/// law carries a step from one side of rest to the other (a linearised step on √x from x
/// ends at −x) until its laminar band, 1e-4 of the pressure, is reached: near rest a
/// coarse tolerance may keep the steps at that; a fine one follows every surge.
const SETTLING: [f64; 2] = [1e-4, 1e-6];
/// Steps after which an engine that still swings will not settle: a run of 7000 s
/// to rest takes a few hundred.
pub const MOST_STEPS: usize = 4000;
/// Swing of the idle speed that counts as hunting, rpm.
const SWING: f64 = 20.0;
/// Swing of the share of cycles that do not burn which keeps an engine from coming to rest.
const UNEVEN: f64 = 0.01;

/// A steady point near `guess`. Memories that the command does not give stay as they are
/// in `guess`.
///
/// # Errors
/// [`Failure::Surging`] when the compressor keeps surging, [`Failure::Hunting`] when idle
/// keeps swinging, [`Failure::Misfiring`] when the share of cycles that burn does,
/// [`Failure::OverLimit`] when a speed is held at which there is no fuel,
/// [`Failure::Stalled`] when the engine stops, [`Failure::Unsettled`] when it
/// runs but does not come to rest.
///
/// # Examples
/// ```
/// use sim::{Command, State, solve::rates, steady};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let full = car.with(Command::full_load(366.5));
/// let found = steady(&full, &State::from(full.start()))?;
/// // Steady: no gas gathers anywhere, kg/s.
/// let moving = rates(&full, &found.state).states;
/// assert!((0..7).all(|volume| moving[3 * volume].abs() < 1e-9));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn steady(network: &Network<f64>, guess: &State) -> Result<Steady, Failure> {
    steady_within(network, guess, MOST_STEPS)
}

/// Whether load is asked for at a held speed at which the engine computer cuts the fuel. On
/// the overrun it is cut anyway.
fn over_limit(network: &Network<f64>) -> Result<(), Failure> {
    let command = &network.command;
    let limit: f64 = network.vehicle.speed_limit();
    match command.speed {
        SpeedMode::Held(speed)
            if limiter_cut(limit, speed) > 0.0
                && !(command.driven() && idle_share(command.pedal) == 1.0) =>
        {
            let [asked, limit] = [speed, limit].map(|s| s * 30.0 / std::f64::consts::PI);
            Err(Failure::OverLimit { asked, limit })
        }
        _ => Ok(()),
    }
}

/// The same, giving up on an engine that does not come to rest within so many steps: what
/// still swings then is not told from what is slow. With none, Newton alone must arrive.
///
/// # Errors
/// As [`steady`].
pub fn steady_within(
    network: &Network<f64>,
    guess: &State,
    most_steps: usize,
) -> Result<Steady, Failure> {
    over_limit(network)?;
    let kept = network.command.memory.unwrap_or(remembered(guess));
    let mut evaluations = 0;
    let alone = newton(network, kept, guess, Reach::Any, &mut evaluations);
    // No engine stays at a point that it leaves when pushed: it is let settle elsewhere.
    match alone {
        Some(found) if !found.drifts || most_steps == 0 => return Ok(found),
        None if most_steps == 0 => {
            return Err(Failure::Unsettled {
                state: say::singular().into(),
                rate: f64::NAN,
            });
        }
        _ => {}
    }
    let network = &network.with(Command {
        memory: Some(kept),
        ..network.command
    });
    let settled = let_run(network, guess, (Reach::Any, most_steps), &mut evaluations);
    settled.or_else(|failure| alone.ok_or(failure))
}

/// The steady point to which the engine runs by itself from the state `from`: Newton's method
/// ends the run only where its own contraction shows that this point is near.
///
/// # Errors
/// As [`steady`].
pub fn run_from(network: &Network<f64>, from: &State) -> Result<Steady, Failure> {
    over_limit(network)?;
    let kept = network.command.memory.unwrap_or(remembered(from));
    let network = &network.with(Command {
        memory: Some(kept),
        ..network.command
    });
    let_run(network, from, (Reach::Near, MOST_STEPS), &mut 0)
}

/// The steady point that belongs to `from`, a steady point of nearly the same engine: Newton's
/// method must contract from the first step on, so that it cannot end at another one, and the
/// engine must stay there.
pub fn followed(network: &Network<f64>, from: &State) -> Option<Steady> {
    over_limit(network).ok()?;
    let kept = network.command.memory.unwrap_or(remembered(from));
    newton(network, kept, from, Reach::Near, &mut 0).filter(|found| !found.drifts)
}

/// Runs the engine with a coarse tolerance, and with a fine one if that does not settle.
fn let_run(
    network: &Network<f64>,
    from: &State,
    (reach, most_steps): (Reach, usize),
    evaluations: &mut usize,
) -> Result<Steady, Failure> {
    let mut try_at = |relative| {
        let tolerance = Tolerance {
            relative,
            ..Tolerance::default()
        };
        settle(network, from, tolerance, (reach, most_steps), evaluations)
    };
    match try_at(SETTLING[0]) {
        Err(Failure::Unsettled { .. }) if most_steps == MOST_STEPS => try_at(SETTLING[1]),
        result => result,
    }
}

/// A steady point by running the engine until Newton arrives.
fn settle(
    network: &Network<f64>,
    guess: &State,
    tolerance: Tolerance,
    (reach, most_steps): (Reach, usize),
    evaluations: &mut usize,
) -> Result<Steady, Failure> {
    let kept = network.command.memory.unwrap_or(remembered(guess));
    let (mut steps, mut surged) = (0, false);
    let mut speeds = (f64::INFINITY, 0.0_f64);
    let mut missed = (f64::INFINITY, 0.0_f64);
    let mut x = *guess;
    for run in RUNS {
        let mut engine = Integrator::new(network, 0.0, x, tolerance);
        while engine.time < run && steps < most_steps {
            let step = engine.step(run)?;
            steps += 1;
            if steps > most_steps / 2 {
                surged |= step.end[state::COMPRESSOR_FLOW] < 0.0;
                let speed = step.end[state::ENGINE] * 30.0 / std::f64::consts::PI;
                speeds = (speeds.0.min(speed), speeds.1.max(speed));
                let share = 1.0 - network.evaluate(&step.end.data.0[0]).streams.cycle.burned;
                missed = (missed.0.min(share), missed.1.max(share));
            }
        }
        *evaluations += engine.cost.evaluations + engine.cost.jacobians;
        x = engine.state;
        let found = newton(network, kept, &x, reach, evaluations);
        if let Some(found) = found.filter(|found| !found.drifts) {
            return Ok(Steady {
                fallback: true,
                ..found
            });
        }
        if steps == most_steps {
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
    if missed.1 > missed.0 + UNEVEN {
        return Err(Failure::Misfiring { most: missed.1 });
    }
    let now = rates(network, &x).states;
    let (worst, rate) = (0..STATES)
        .map(|i| (i, now[i].abs() / SCALE[i]))
        .fold((0, 0.0), |a, b| if b.1 > a.1 { b } else { a });
    Err(Failure::Unsettled {
        state: state_in_words(worst),
        rate,
    })
}

/// The steady point that Newton alone reaches from `guess`, if it does.
pub fn nearby(network: &Network<f64>, guess: &State) -> Option<Steady> {
    let kept = network.command.memory.unwrap_or(remembered(guess));
    newton(network, kept, guess, Reach::Any, &mut 0)
}

/// What the computer remembers in this state.
pub fn remembered(x: &State) -> Memory {
    Memory {
        idle_opening: x[state::IDLE],
        idle_trim: x[state::IDLE_TRIM],
        part_load_trim: x[state::PART_TRIM],
        high_load_trim: x[state::HIGH_TRIM],
    }
}

/// How far Newton's method may go.
#[derive(Clone, Copy, PartialEq)]
enum Reach {
    /// To any steady point.
    Any,
    /// To the one that the guess belongs to.
    Near,
}

/// Contraction of the first simplified correction at which the guess belongs to the point found
/// (deuflhard2004 ch. 5: a continuation step is as long as this bound lets it be).
const BELONGS: f64 = 0.25;
/// Way, in scales, that is no other steady point whatever Newton's method did on it: at a corner of
/// the equations, where a controller meets its stop, it need not contract.
const SHORT: f64 = 0.01;

fn newton(
    network: &Network<f64>,
    kept: Memory,
    guess: &State,
    reach: Reach,
    evaluations: &mut usize,
) -> Option<Steady> {
    let (mut x, mut allowed) = (*guess, f64::INFINITY);
    let (mut at, mut factors) = (Linearised::room(), Factors::room());
    for iterations in 1..=MOST_ITERATIONS {
        at.take(network, Some(kept), &x);
        if !factors.take(&at, None) {
            return None;
        }
        let mut correction = |x: &State| {
            *evaluations += 1;
            let left = network.rates_keeping(&x.data.0[0], Some(kept));
            -factors.solve(&State::from(left.states))
        };
        let step = -factors.solve(&at.rates);
        let mut length = size(&step, &x);
        if !length.is_finite() {
            return None;
        }
        let mut share = room(&x, &step);
        let (near, mut simplified, mut next) = loop {
            let near = match share * length > straight::SMALL {
                true => straight::ahead(network, &x, &step, share),
                false => x + step * share,
            };
            let simplified = correction(&near);
            let next = size(&simplified, &near);
            // The simplified correction must shrink, or the step is cut.
            if next <= (1.0 - 0.25 * share) * length || length < ENOUGH {
                break (near, simplified, next);
            }
            share *= if next.is_finite() {
                (length / next * 0.5).clamp(0.1, 0.5)
            } else {
                0.25
            };
            if share < 1e-3 {
                return None;
            }
        };
        if iterations == 1 && reach == Reach::Near {
            if length > SHORT && (share < 1.0 || next > BELONGS * length) {
                return None;
            }
            allowed = 2.0 * length.max(SHORT);
        }
        x = near;
        if size(&(x - guess), &x) > allowed {
            return None;
        }
        // As near as rounding lets it: there corrections no longer shrink.
        if share == 1.0 && length < ENOUGH && next < ENOUGH {
            if next < length {
                x += simplified;
            }
            let drifts = drifts(network, kept, &x, (&mut at, &mut factors));
            return accept(x, iterations, *evaluations, drifts);
        }
        // Further corrections with the same factors, as long as they shrink fast.
        while share == 1.0 && next < 0.5 * length && plausible(&(x + simplified)) {
            x += simplified;
            // Linear convergence at rate next/length: what is left after this one.
            if next < FINE || (next < NEARLY && next * (next / length) < FINE) {
                let drifts = drifts(network, kept, &x, (&mut at, &mut factors));
                return accept(x, iterations, *evaluations, drifts);
            }
            if next * (next / length).powi(WORTH) > ENOUGH {
                break;
            }
            length = next;
            simplified = correction(&x);
            next = size(&simplified, &x);
        }
        if share == 1.0 && length < ENOUGH {
            let drifts = drifts(network, kept, &x, (&mut at, &mut factors));
            return accept(x, iterations, *evaluations, drifts);
        }
    }
    None
}

/// Whether the engine turns and every mass is positive: only there a root counts.
pub(super) fn is_running(x: &State) -> bool {
    plausible(x) && x[state::ENGINE] > STALL_SPEED && x[state::SHAFT] > 0.0
}

fn accept(x: State, iterations: usize, evaluations: usize, drifts: bool) -> Option<Steady> {
    is_running(&x).then_some(Steady {
        state: x,
        iterations,
        evaluations,
        fallback: false,
        drifts,
    })
}

/// Whether an odd number of eigenvalues at `x` is positive. The last factors may be those
/// of a point beyond a kink: what they say is asked again at `x` itself.
fn drifts(
    network: &Network<f64>,
    kept: Memory,
    x: &State,
    (at, factors): (&mut Linearised, &mut Factors),
) -> bool {
    // Of a stable point's eigenvalues all are on the left.
    let odd = |factors: &Factors| factors.positive() == (STATES % 2 == 1);
    odd(factors) && {
        at.take(network, Some(kept), x);
        factors.take(at, None) && odd(factors)
    }
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
