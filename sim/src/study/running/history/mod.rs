//! How a car came to be as it is, where that makes a difference: a steady answer that belongs to
//! the case and its history, and to nothing else.
//!
//! Grown: all defects are scaled from nothing together. The steady state is followed, step by
//! step, as long as the engine stays in it; where it leaves it the engine is run to where it goes
//! by itself. Steps are those at which Newton's method contracts from the first correction on
//! (`followed`), so that none changes over to another steady state. What the computer learns is
//! followed in the same way, before the points.
//!
//! A state that loses its stability by swinging is followed on, with the warning that it swings:
//! whether the engine then hunts or stalls is a question for a drive.

mod ladder;
mod spot;

pub use crate::scenario::History;
pub use spot::{Spot, apart};

use crate::control::{Command, Memory};
use crate::network::{Defect, Network};
use crate::solve::State;
use crate::study::running::learnt::{Learnt, lessons, remembering, take_lesson};
use crate::words;
use ladder::Ladder;

words! {
    /// Which of several steady states an engine is in.
    pub enum Branch {
        /// the one that leads back to the healthy car's without a jump
        Followed = "followed",
        /// the one to which an engine jumps while its fault grows
        Jumped = "jumped",
        /// one to which a fault that grows does not lead
        Other = "other",
    }
}

/// Way, in scales, below which two steady states are one.
const SAME: f64 = 1e-6;

impl Branch {
    /// Of an engine's steady `state`, beside where one is whose fault has `grown`.
    pub fn of(state: &State, grown: &Spot) -> Self {
        match grown {
            Spot::Runs { state: at, jumps } if apart(state, at) < SAME => match jumps {
                0 => Branch::Followed,
                _ => Branch::Jumped,
            },
            _ => Branch::Other,
        }
    }
}

/// What a computer has learnt on the way, and the engine at each of its lessons.
#[derive(Clone, Debug)]
pub struct Taught {
    /// What it has learnt.
    pub memory: Memory,
    /// At idle, light cruise and brisk driving; none where it has no such lesson.
    pub spots: [Option<Spot>; 3],
}

impl Taught {
    /// As a healthy car's computer has learnt.
    fn foot(network: &Network<f64>, healthy: &Learnt) -> Self {
        let states = [healthy.idle, healthy.cruise, healthy.brisk];
        let commands = lessons(network);
        let spots = std::array::from_fn(|i| {
            let at = network.with(remembering(commands[i]?, healthy.memory, true));
            Some(Spot::foot(states[i], State::from(at.start())))
        });
        Self {
            memory: healthy.memory,
            spots,
        }
    }

    /// One lesson after the other, each engine by `next`; none where one of them has none.
    fn again(
        &self,
        network: &Network<f64>,
        mut next: impl FnMut(&Spot, &Network<f64>) -> Option<Spot>,
    ) -> Option<Self> {
        let (mut memory, mut spots) = (self.memory, self.spots.clone());
        for (i, command) in lessons(network).into_iter().enumerate() {
            let (Some(command), Some(spot)) = (command, &self.spots[i]) else {
                continue;
            };
            let spot = next(spot, &network.with(remembering(command, memory, true)))?;
            if let Spot::Runs { state, .. } = &spot {
                take_lesson(&mut memory, i, state);
            }
            spots[i] = Some(spot);
        }
        Some(Self { memory, spots })
    }

    /// The same, where it ran steadily.
    pub fn learnt(&self) -> Learnt {
        let state = |i: usize| self.spots[i].as_ref().and_then(|spot| spot.state().ok());
        Learnt {
            memory: self.memory,
            idle: state(0),
            cruise: state(1),
            brisk: state(2),
        }
    }
}

/// A car that grows worse: what is learnt on the way.
#[derive(Clone, Debug)]
struct Teacher {
    healthy: Network<f64>,
    /// At coordinate 1: the largest of the defects is as large as it can be.
    worst: Vec<Defect>,
    ladder: Ladder<Taught>,
}

impl Teacher {
    /// The car at a coordinate.
    fn network(&self, at: f64) -> Network<f64> {
        let defects = self.worst.iter().map(|defect| {
            let healthy = defect.healthy();
            defect.sized(healthy + at * (defect.size() - healthy))
        });
        self.healthy.only(defects)
    }

    /// What the computer of the car `end`, at a coordinate, has learnt.
    fn taught(&mut self, at: f64, end: &Network<f64>) -> Taught {
        if !self.healthy.command.learning {
            return self.ladder.rungs()[0].1.clone();
        }
        let foot = self.foot();
        let mut ladder = std::mem::replace(&mut self.ladder, Ladder::new(foot));
        ladder.climb(at, &mut |from, to, run| {
            from.again(&self.network(to), |spot, network| spot.next(network, run))
        });
        let found = ladder.at(at, &mut |from, to, run| {
            let between = (to != at).then(|| self.network(to));
            let network = between.as_ref().unwrap_or(end);
            from.again(network, |spot, network| spot.next(network, run))
        });
        self.ladder = ladder;
        found
    }

    fn foot(&self) -> Taught {
        self.ladder.rungs()[0].1.clone()
    }
}

/// All cars on the way from a healthy one along a ray of sizes, at some commands.
#[derive(Clone, Debug)]
pub struct Ray {
    teacher: Teacher,
    points: Vec<(Command, Ladder<Spot>)>,
}

impl Ray {
    /// The ray through `whole`, whose healthy car has learnt `healthy`. Each command comes with
    /// the steady state of the healthy car there, if there is one.
    pub fn new(
        whole: &Network<f64>,
        healthy: &Learnt,
        points: impl IntoIterator<Item = (Command, Option<State>)>,
    ) -> Self {
        let (worst, _) = direction(whole);
        let car = whole.healthy();
        let teacher = Teacher {
            ladder: Ladder::new(Taught::foot(&car, healthy)),
            healthy: car,
            worst,
        };
        Self {
            points: feet(&teacher, healthy.memory, points),
            teacher,
        }
    }

    /// The same ray at other commands.
    pub fn at(&self, points: impl IntoIterator<Item = (Command, Option<State>)>) -> Self {
        let healthy = &self.teacher.foot().memory;
        Self {
            points: feet(&self.teacher, *healthy, points),
            teacher: self.teacher.clone(),
        }
    }

    /// Whether a car lies on it.
    pub fn leads_to(&self, whole: &Network<f64>) -> bool {
        direction(whole).0 == self.teacher.worst
    }

    /// Whether another one is the same, however far either has been climbed.
    pub fn is(&self, other: &Ray) -> bool {
        let commands = |ray: &Ray| ray.points.iter().map(|(c, _)| *c).collect::<Vec<_>>();
        self.teacher.worst == other.teacher.worst && commands(self) == commands(other)
    }

    /// With the rungs of the same ray, climbed by another, where it went further.
    pub fn longer_of(&mut self, other: Ray) {
        self.teacher.ladder.longer_of(other.teacher.ladder);
        for ((_, mine), (_, theirs)) in self.points.iter_mut().zip(other.points) {
            mine.longer_of(theirs);
        }
    }

    /// What the computer of a car on the ray has learnt.
    pub fn taught(&mut self, whole: &Network<f64>) -> Taught {
        self.teacher.taught(direction(whole).1, whole)
    }

    /// The engine of a car on the ray at one of the commands; its computer has learnt `memory`.
    pub fn spot(&mut self, whole: &Network<f64>, memory: Memory, point: usize) -> Spot {
        let at = direction(whole).1;
        let teacher = &mut self.teacher;
        let learning = teacher.healthy.command.learning;
        let (command, ladder) = &mut self.points[point];
        let order = |memory| remembering(*command, memory, learning);
        let mut between = |from: &Spot, to: f64, run: bool| {
            let network = teacher.network(to);
            let memory = teacher.taught(to, &network).memory;
            from.next(&network.with(order(memory)), run)
        };
        ladder.climb(at, &mut between);
        let end = whole.with(order(memory));
        ladder.at(at, &mut |from, to, run| match to == at {
            true => from.next(&end, run),
            false => between(from, to, run),
        })
    }
}

fn feet(
    teacher: &Teacher,
    memory: Memory,
    points: impl IntoIterator<Item = (Command, Option<State>)>,
) -> Vec<(Command, Ladder<Spot>)> {
    let car = &teacher.healthy;
    let points = points.into_iter().map(|(command, state)| {
        let at = car.with(remembering(command, memory, car.command.learning));
        let foot = Spot::foot(state, State::from(at.start()));
        (command, Ladder::new(foot))
    });
    points.collect()
}

impl Ray {
    /// The car on the ray at a share of the way to `whole`, at one of the commands, with what its
    /// computer has learnt.
    pub fn car(&mut self, whole: &Network<f64>, share: f64, point: usize) -> Network<f64> {
        let at = share.max(0.0) * direction(whole).1;
        let car = match share {
            1.0 => whole.clone(),
            _ => self.teacher.network(at),
        };
        let memory = self.teacher.taught(at, &car).memory;
        car.with(remembering(
            self.points[point].0,
            memory,
            car.command.learning,
        ))
    }

    /// The engine at one of the commands while what is wrong grows to `whole`: shares of the way.
    pub fn growing(&mut self, whole: &Network<f64>, point: usize) -> Vec<(f64, Spot)> {
        let memory = self.taught(whole).memory;
        let end = self.spot(whole, memory, point);
        let all = direction(whole).1;
        let rungs = self.points[point].1.rungs().iter();
        let below = rungs.take_while(|(at, _)| *at < all);
        let below = below.map(|(at, spot)| (at / all, spot.clone()));
        below.chain([(1.0, end)]).collect()
    }

    /// The same while it is mended from `whole`, bit by bit, the engine running.
    pub fn mended(&mut self, whole: &Network<f64>, point: usize) -> Vec<(f64, Spot)> {
        let memory = self.taught(whole).memory;
        let mut ladder = Ladder::new(self.spot(whole, memory, point).afresh());
        ladder.climb(1.0, &mut |from: &Spot, mended, run| {
            from.next(&self.car(whole, 1.0 - mended, point), run)
        });
        let rungs = ladder.rungs().iter();
        let rungs = rungs.map(|(mended, spot)| ((1.0 - mended).max(0.0), spot.clone()));
        rungs.collect()
    }
}

/// The defects of a car as large as the largest of them can be, and how far it has gone there.
fn direction(whole: &Network<f64>) -> (Vec<Defect>, f64) {
    let defects: Vec<Defect> = whole.defects().collect();
    let way = |defect: &Defect| defect.size() - defect.healthy();
    let far = |defect: &Defect| match way(defect) {
        0.0 => 0.0,
        way => way / (widest(defect) - defect.healthy()),
    };
    let at = defects.iter().map(far).fold(0.0, f64::max);
    let worst = defects.iter().map(|defect| {
        if defects.len() == 1 || at == 0.0 {
            return defect.sized(widest(defect));
        }
        defect.sized(defect.healthy() + way(defect) / at)
    });
    (worst.collect(), at)
}

/// The largest size that a defect can have, the way that it goes.
fn widest(defect: &Defect) -> f64 {
    match defect {
        Defect::Leak(leak) => leak.shape.measure().widest,
        Defect::Fault(fault) if fault.is_below() => fault.kind.field().low,
        Defect::Fault(fault) => fault.kind.field().high,
    }
}

/// What the computer of a car has learnt in which what is wrong has come at once: on the running
/// healthy engine, or before the engine was started.
pub fn opened(whole: &Network<f64>, healthy: &Learnt, history: History) -> Taught {
    let foot = Taught::foot(&whole.healthy(), healthy);
    if !whole.command.learning {
        return foot;
    }
    let next = |spot: &Spot, network: &Network<f64>| {
        Some(Spot::ran(network, &begun(spot, network, history), 0))
    };
    foot.again(whole, next).unwrap_or(foot)
}

/// The engine of such a car at a command, `network`, from the state of the healthy one there.
pub fn opened_at(network: &Network<f64>, healthy: Option<State>, history: History) -> Spot {
    let foot = Spot::foot(healthy, State::from(network.start()));
    Spot::ran(network, &begun(&foot, network, history), 0)
}

fn begun(spot: &Spot, network: &Network<f64>, history: History) -> State {
    match spot {
        Spot::Runs { state, .. } if history != History::Restarted => *state,
        _ => State::from(network.start()),
    }
}
