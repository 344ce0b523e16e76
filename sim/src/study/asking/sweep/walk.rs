//! From the steady points of one case to those of another.

use super::carry::carried;
use super::{Plan, Value};
use crate::control::{Command, Memory};
use crate::network::Network;
use crate::scenario::Scenario;
use crate::solve::State;
use crate::solve::steady::{nearby, steady};
use crate::study::running::learnt::{Learnt, brisk, cruise, lessons, remembering, take_lesson};

/// Where an engine ran, and what its computer had learnt.
#[derive(Clone, Debug)]
pub(super) struct Warm {
    /// The case it belongs to.
    pub values: Vec<Value>,
    pub learnt: Learnt,
    /// Where to look for the idle, the cruise and the brisk driving of a neighbour.
    pub idle: Option<State>,
    pub cruise: Option<State>,
    pub brisk: Option<State>,
    pub points: Vec<Option<State>>,
}

impl Warm {
    /// Nothing has run, nothing is learnt.
    pub fn cold(values: &[Value]) -> Self {
        Self {
            values: values.to_vec(),
            learnt: Learnt {
                memory: Memory::FRESH,
                idle: None,
                cruise: None,
                brisk: None,
            },
            idle: None,
            cruise: None,
            brisk: None,
            points: Vec::new(),
        }
    }
}

/// The shortest piece of the way that is tried.
const SHORTEST: f64 = 1.0 / 64.0;

/// One operating point of a case, learning or of the study.
#[derive(Clone, Copy)]
enum Spot {
    Idle,
    Cruise,
    Brisk,
    Point(usize),
}

impl Spot {
    fn command(self, scenario: &Scenario, network: &Network<f64>) -> Option<Command> {
        match self {
            Spot::Idle => Some(Command::IDLE),
            Spot::Cruise => Some(cruise(network)),
            Spot::Brisk => brisk(network),
            Spot::Point(i) => scenario.point.get(i)?.command().ok(),
        }
    }
}

/// What a computer learns at idle and at light cruise, as in a comparison, but from
/// where a neighbour ran; without points.
pub(super) fn learn(network: &Network<f64>, values: &[Value], from: &Warm) -> Warm {
    let mut memory = Memory::FRESH;
    let mut states = [None; 3];
    let guesses = [from.idle, from.cruise, from.brisk];
    for (i, asked) in lessons(network).into_iter().enumerate() {
        let Some(asked) = asked else { continue };
        let network = network.with(remembering(asked, memory, true));
        let rest = State::from(network.start());
        if let Ok(found) = steady(&network, &guesses[i].unwrap_or(rest)) {
            take_lesson(&mut memory, i, &found.state);
            states[i] = Some(found.state);
        }
    }
    let [idle, cruise, brisk] = states;
    Warm {
        values: values.to_vec(),
        learnt: Learnt {
            memory,
            idle,
            cruise,
            brisk,
        },
        idle: idle.or(from.idle),
        cruise: cruise.or(from.cruise),
        brisk: brisk.or(from.brisk),
        points: Vec::new(),
    }
}

impl Plan {
    /// The healthy car of the case with `values` at all points, from that of another case.
    pub(super) fn sound(&self, values: &[Value], from: &Warm) -> Warm {
        let Ok((scenario, network)) = self.built(values) else {
            return from.clone();
        };
        let network = network.healthy();
        let walked = |spot, x: &Option<State>, memory| {
            let x = x.as_ref()?;
            self.walk(spot, &from.values, values, memory, x)
                .or_else(|| {
                    let (_, before) = self.built(&from.values).ok()?;
                    Some(carried(&before.healthy(), &network, x))
                })
        };
        let near = Warm {
            idle: walked(Spot::Idle, &from.idle, from.learnt.memory),
            cruise: walked(Spot::Cruise, &from.cruise, from.learnt.memory),
            brisk: walked(Spot::Brisk, &from.brisk, from.learnt.memory),
            ..from.clone()
        };
        let mut now = learn(&network, values, &near);
        for (i, point) in scenario.point.iter().enumerate() {
            let before = from.points.get(i).copied().flatten();
            let guess = walked(Spot::Point(i), &before, now.learnt.memory);
            let found = point.command().ok().and_then(|asked| {
                let network = network.with(remembering(asked, now.learnt.memory, true));
                let rest = State::from(network.start());
                steady(&network, guess.as_ref().unwrap_or(&rest)).ok()
            });
            now.points.push(found.map(|found| found.state));
        }
        now
    }

    /// Follows a steady point of the healthy car from the values `from` to the values `to`,
    /// in steps as long as Newton can take; none if it is lost on the way.
    fn walk(
        &self,
        spot: Spot,
        from: &[Value],
        to: &[Value],
        memory: Memory,
        x: &State,
    ) -> Option<State> {
        let at = |share: f64| {
            let (scenario, network) = self.built(&between(from, to, share)).ok()?;
            let sound = network.healthy();
            let command = spot.command(&scenario, &sound)?;
            Some(sound.with(remembering(command, memory, true)))
        };
        let (mut here, mut state) = (at(0.0)?, *x);
        // By how much carrying over was wrong, for each unit of the way.
        let mut drift = State::zeros();
        let (mut done, mut step) = (0.0, 1.0);
        while step >= SHORTEST {
            let share = f64::min(done + step, 1.0);
            let next = at(share)?;
            let carry = carried(&here, &next, &state);
            let guess = carry + drift * (share - done);
            match nearby(&next, &guess) {
                Some(found) if share == 1.0 => return Some(found.state),
                Some(found) => {
                    drift = (found.state - carry) / (share - done);
                    (here, state, done) = (next, found.state, share);
                    step *= 2.0;
                }
                None => {
                    // A bend in the way: what was learnt before it does not hold.
                    drift = State::zeros();
                    step *= 0.5;
                }
            }
        }
        None
    }
}

/// Values between two cases; words and shapes are those of the second.
fn between(from: &[Value], to: &[Value], share: f64) -> Vec<Value> {
    let pairs = from.iter().zip(to);
    let mixed = pairs.map(|pair| match pair {
        (_, to) if share == 1.0 => *to,
        (Value::Number(a), Value::Number(b)) => Value::Number(a + share * (b - a)),
        (_, to) => *to,
    });
    mixed.collect()
}
