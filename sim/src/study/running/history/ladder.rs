//! Rungs along a way whose steps are as long as they may be.

/// First step, share of the way to the widest defect.
const FIRST: f64 = 1.0 / 32.0;
/// Longest step, the same.
const LONGEST: f64 = 0.25;
/// Step after a jump.
const AFTER: f64 = 1e-4;
/// A step this short, over how far it has gone, that still leads nowhere is no step but a jump.
const SHORTEST: f64 = 1e-6;

/// Tries the way from what stands at one coordinate to another one; none where that is too far.
/// Where the last word is `true` it must answer: what was there is there no more.
pub(super) type Go<'a, S> = &'a mut dyn FnMut(&S, f64, bool) -> Option<S>;

/// What stands where along a way, from 0 up. Its rungs are the same whoever asks for which of
/// them, and in which order.
#[derive(Clone, Debug)]
pub(super) struct Ladder<S> {
    rungs: Vec<(f64, S)>,
    step: f64,
}

impl<S: Clone> Ladder<S> {
    /// With its foot only.
    pub fn new(foot: S) -> Self {
        Self {
            rungs: vec![(0.0, foot)],
            step: FIRST,
        }
    }

    /// Climbs until a rung stands past `to`.
    pub fn climb(&mut self, to: f64, go: Go<S>) {
        let (mut at, mut here) = self.top();
        while at <= to {
            (at, here) = step(&here, at, &mut self.step, f64::INFINITY, go);
            self.rungs.push((at, here.clone()));
        }
    }

    fn top(&self) -> (f64, S) {
        // There is always the foot.
        self.rungs[self.rungs.len() - 1].clone()
    }

    /// What stands at `to`, no further than the ladder goes: from the rung below on.
    pub fn at(&self, to: f64, go: Go<S>) -> S {
        let past = self.rungs.partition_point(|(at, _)| *at <= to);
        let (mut at, mut here) = self.rungs[past.max(1) - 1].clone();
        let mut length = to - at;
        while at < to {
            (at, here) = step(&here, at, &mut length, to, go);
        }
        here
    }

    /// The same ladder, as far as the one that went further.
    pub fn longer_of(&mut self, other: Self) {
        if other.rungs.len() > self.rungs.len() {
            *self = other;
        }
    }

    /// The rungs, with their coordinates.
    pub fn rungs(&self) -> &[(f64, S)] {
        &self.rungs
    }
}

/// One step on, at most to `end`; the next one may be longer or must be shorter.
fn step<S>(here: &S, at: f64, length: &mut f64, end: f64, go: Go<S>) -> (f64, S) {
    loop {
        let to = if at + *length * (1.0 + 1e-12) >= end {
            end
        } else {
            at + *length
        };
        if let Some(there) = go(here, to, false) {
            *length = (2.0 * *length).min(LONGEST);
            return (to, there);
        }
        if to - at > SHORTEST * to {
            *length = 0.5 * (to - at);
            continue;
        }
        *length = AFTER;
        if let Some(there) = go(here, to, true) {
            return (to, there);
        }
    }
}
