//! A steady state followed along one number of the car, whether the engine would stay in it or not:
//! round folds, where that number turns back, and past corners, where a controller meets its stop.
//!
//! Pseudo-arclength continuation (keller1977): the unknowns are the state and the number, the
//! further equation keeps the step's length along the tangent. The Jacobian over the states is
//! exact; over the number it is a central difference, for what the computer has learnt hangs on it
//! through a search of its own. The bordered system is solved by elimination with the same factors.
//! At a corner the tangent turns at once: there the step is taken along a tangent from beyond.

use super::lu::Factors;
use super::steady::{is_running, nearby};
use super::{Linearised, State, rates};
use crate::network::Network;
use crate::network::layout::{SCALE, STATES};

/// A steady state, and where.
#[derive(Clone, Copy, Debug)]
pub struct Place {
    /// The number, from 0 to 1.
    pub at: f64,
    /// The state.
    pub state: State,
}

/// First, longest and shortest step, in scales.
const STEPS: (f64, f64, f64) = (0.01, 0.15, 1e-5);
/// Step past a corner.
const CORNER: f64 = 1e-3;
/// Weight of the number beside the states.
const WEIGHT: f64 = 3.0;
/// Half the width of the difference over the number.
const WIDTH: f64 = 1e-6;
/// Most corrections of a step; correction, in scales, that is the last.
const CORRECTIONS: (usize, f64) = (8, 1e-9);
/// Cosine of the largest turn in a step.
const TURN: f64 = 0.95;
const MOST_PLACES: usize = 3000;

/// A direction: of the states, and of the number.
type Way = (State, f64);

/// The curve through `from`, in one direction, until the number leaves 0 to 1 or the curve cannot be
/// followed: the engine stands still there, or the equations are not continuous.
pub fn curve(car: &mut dyn FnMut(f64) -> Network<f64>, from: Place, up: bool) -> Vec<Place> {
    let mut tracer = Tracer {
        car,
        weights: State::from_fn(|i, _| 1.0 / SCALE[i].max(from.state[i].abs())),
        at: Box::new(Linearised::room()),
        factors: Box::new(Factors::room()),
    };
    let mut all = vec![from];
    let Some(mut way) = tracer.tangent(&from) else {
        return all;
    };
    if (way.1 > 0.0) != up {
        way = (-way.0, -way.1);
    }
    let mut length = STEPS.0;
    while all.len() < MOST_PLACES {
        let here = all[all.len() - 1];
        let next = tracer.step(&here, &way, length).and_then(|there| {
            let turned = tracer.onward(&here, &there)?;
            let turn = tracer.dot(&turned, &way);
            (turn > TURN || length < 4.0 * STEPS.2).then_some((there, turned))
        });
        let next = match next {
            None if length > 2.0 * STEPS.2 => {
                length *= 0.5;
                continue;
            }
            None => {
                length = STEPS.0;
                tracer.past_corner(&all, &way)
            }
            found => {
                length = (1.5 * length).min(STEPS.1);
                found
            }
        };
        let Some((there, turned)) = next else { break };
        if !(0.0..=1.0).contains(&there.at) {
            let end = there.at.clamp(0.0, 1.0);
            let share = (end - here.at) / (there.at - here.at);
            let guess = here.state + (there.state - here.state) * share;
            let found = nearby(&(tracer.car)(end), &guess);
            all.extend(found.map(|found| Place {
                at: end,
                state: found.state,
            }));
            break;
        }
        all.push(there);
        way = turned;
    }
    all
}

struct Tracer<'a> {
    car: &'a mut dyn FnMut(f64) -> Network<f64>,
    weights: State,
    at: Box<Linearised>,
    factors: Box<Factors>,
}

impl Tracer<'_> {
    fn dot(&self, a: &Way, b: &Way) -> f64 {
        let states = (0..STATES).map(|i| a.0[i] * b.0[i] * self.weights[i] * self.weights[i]);
        states.sum::<f64>() + a.1 * b.1 * WEIGHT * WEIGHT
    }

    fn apart(&self, a: &Place, b: &Place) -> f64 {
        let way = (b.state - a.state, b.at - a.at);
        self.dot(&way, &way).sqrt()
    }

    /// How the state follows the number, by the last factors' Jacobian, and the next correction at a
    /// fixed number.
    fn linear(&mut self, place: &Place) -> Option<(State, State)> {
        let network = (self.car)(place.at);
        let memory = network.command.memory;
        self.at.take(&network, memory, &place.state);
        if !self.factors.take(&self.at, None) {
            return None;
        }
        let ends = [(place.at - WIDTH).max(0.0), place.at + WIDTH];
        let [low, high] = ends.map(|at| State::from(rates(&(self.car)(at), &place.state).states));
        let by_number = (high - low) / (ends[1] - ends[0]);
        let follows = -self.factors.solve(&by_number);
        let left = -self.factors.solve(&self.at.rates);
        let finite = |x: &State| x.iter().all(|v| v.is_finite());
        (finite(&follows) && finite(&left)).then_some((follows, left))
    }

    /// The direction of the curve, towards larger numbers.
    fn tangent(&mut self, place: &Place) -> Option<Way> {
        let (follows, _) = self.linear(place)?;
        let way = (follows, 1.0);
        let length = self.dot(&way, &way).sqrt();
        Some((way.0 / length, way.1 / length))
    }

    /// The direction at `there`, away from `here`.
    fn onward(&mut self, here: &Place, there: &Place) -> Option<Way> {
        let way = self.tangent(there)?;
        let gone = (there.state - here.state, there.at - here.at);
        Some(match self.dot(&way, &gone) < 0.0 {
            true => (-way.0, -way.1),
            false => way,
        })
    }

    /// The place on the curve a step further.
    fn step(&mut self, here: &Place, way: &Way, length: f64) -> Option<Place> {
        let ahead = Place {
            at: here.at + way.1 * length,
            state: here.state + way.0 * length,
        };
        let mut there = ahead;
        for _ in 0..CORRECTIONS.0 {
            if !is_running(&there.state) || !(-0.5..1.5).contains(&there.at) {
                return None;
            }
            let (follows, left) = self.linear(&there)?;
            let off = (there.state - ahead.state, there.at - ahead.at);
            let gone = self.dot(way, &off) + self.dot(way, &(left, 0.0));
            let number = -gone / self.dot(way, &(follows, 1.0));
            let step = (left + follows * number, number);
            there.state += step.0;
            there.at += step.1;
            let last = self.dot(&step, &step).sqrt();
            if !last.is_finite() {
                return None;
            }
            if last < CORRECTIONS.1 {
                let near = self.apart(&there, &ahead) < 0.5 * length;
                return (near && is_running(&there.state)).then_some(there);
            }
        }
        None
    }

    /// The place past a corner of the curve, which turns by any angle there: along a tangent from a
    /// little beyond, to the side from which the curve did not come.
    fn past_corner(&mut self, all: &[Place], way: &Way) -> Option<(Place, Way)> {
        let here = all[all.len() - 1];
        let beyond = Place {
            at: here.at + way.1 * CORNER,
            state: here.state + way.0 * CORNER,
        };
        let bent = self.tangent(&beyond)?;
        for side in [1.0, -1.0] {
            let bent = (bent.0 * side, bent.1 * side);
            for length in [CORNER, 4.0 * CORNER, 0.25 * CORNER] {
                let Some(there) = self.step(&here, &bent, length) else {
                    continue;
                };
                let back = all.iter().rev().skip(1).take(50);
                let nearest = back.map(|place| self.apart(place, &there));
                if nearest.fold(f64::INFINITY, f64::min) > 0.5 * length
                    && let Some(turned) = self.onward(&here, &there)
                {
                    return Some((there, turned));
                }
            }
        }
        None
    }
}
