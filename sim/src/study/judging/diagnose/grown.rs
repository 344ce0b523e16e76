//! Cars whose faults have grown slowly while the engine computer learned.
//!
//! A steady point with a large fault need not be the only one: an engine that stalls when a
//! hole opens at once may run on where the same hole has grown (the idle opening and the trims
//! have followed it). Most faults in use grow, so predictions follow that branch.

use super::catalogue::Suspect;
use crate::control::Command;
use crate::network::Network;
use crate::solve::State;
use crate::study::running::simulate::{Comparison, Learnt, settled};

/// Steps from sound to worst: those of a leak's ladder.
const STEPS: f64 = 8.0;
/// Halvings of a step on which the engine is lost.
const HALVINGS: usize = 1;

/// Faults on their way.
pub(super) struct Growth<'a> {
    /// The car as it was.
    pub sound: &'a Comparison,
    /// The same with what is wrong with it besides and has come at once.
    pub base: &'a Network<f64>,
    /// What is asked of it.
    pub commands: &'a [Command],
    /// What grows, and to which size, SI.
    pub faults: &'a [(Suspect, f64)],
    /// How they come about.
    pub onset: Onset,
    /// Steps in which the engine must come to rest.
    pub patience: usize,
}

/// How a fault comes about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Onset {
    /// Slowly, the computer learning on the way.
    Grown,
    /// At once, in a healthy car.
    Opened,
}

/// The car somewhere on the way: its computer has learnt, and where it runs.
pub(super) struct Stage {
    /// Sound and as it is.
    pub car: Comparison,
    /// At each command; none where the engine does not run.
    pub states: Vec<Option<State>>,
    share: f64,
}

impl Growth<'_> {
    /// Fully there, from the states of the healthy car.
    pub fn grown(&self, sound: Vec<Option<State>>) -> Stage {
        let mut stage = Stage {
            car: self.sound.clone(),
            states: sound,
            share: 0.0,
        };
        let far = self.faults.iter().map(|(s, size)| s.coordinate(*size));
        let steps = (STEPS * far.fold(0.0, f64::max) - 1e-9).ceil().max(0.0);
        if self.onset == Onset::Opened {
            return self.next(&stage, 1.0);
        }
        if !self.faults.is_empty() || !self.base.is_healthy() {
            // The least leak is not reached from none by small steps.
            stage = self.next(&stage, 0.0);
        }
        for k in 1..=steps as usize {
            stage = self.climbed(stage, k as f64 / steps, HALVINGS);
        }
        stage
    }

    fn climbed(&self, from: Stage, share: f64, halvings: usize) -> Stage {
        let next = self.next(&from, share);
        if halvings == 0 || !next.lost(&from) {
            return next;
        }
        let middle = 0.5 * (from.share + share);
        let half = self.climbed(from, middle, halvings - 1);
        self.climbed(half, share, halvings - 1)
    }

    fn next(&self, from: &Stage, share: f64) -> Stage {
        let mut network = self.base.clone();
        for (suspect, size) in self.faults {
            // The last step ends at the size itself, which may be below the least rung.
            let here = match share {
                1.0 => *size,
                _ => suspect.size(share * suspect.coordinate(*size)),
            };
            suspect.add(&mut network, here);
        }
        let car = (self.sound).instead_near(&network, from.car.learnt(true), self.patience);
        let states = self.commands.iter().zip(&from.states);
        let states = states.map(|(command, guess)| {
            let at = network.with(car.command(*command, true));
            // The computer has just idled.
            let idle = car.learnt(true).idle.filter(|_| *command == Command::IDLE);
            let found = settled(&at, &idle.or(*guess)?, self.patience).ok()?;
            Some(found.0.state)
        });
        let states = states.collect();
        Stage { car, states, share }
    }
}

impl Stage {
    /// Whether the engine stands still where it ran before.
    fn lost(&self, before: &Stage) -> bool {
        let learnt = [&before.car, &self.car].map(|car| car.learnt(true));
        let ran = |state: fn(&Learnt) -> Option<State>| {
            let [before, now] = learnt.map(state);
            before.is_some() && now.is_none()
        };
        let mut states = self.states.iter().zip(&before.states);
        states.any(|(now, before)| now.is_none() && before.is_some())
            || ran(|learnt| learnt.idle)
            || ran(|learnt| learnt.cruise)
    }
}
