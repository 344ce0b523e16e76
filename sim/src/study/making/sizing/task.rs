//! A match in progress: a draft, the bench that runs it, and how one number is turned.

use super::bench::{Bench, Point};
use super::draft::{Draft, Load, STROKE};
use super::root::{Root, root};
use super::{Refusal, build, turbo};
use crate::control::Command;
use crate::solve::Failure;

/// Highest boost that is asked anywhere, Pa gauge.
pub(super) const HIGHEST: f64 = 270e3;

/// A free number of the draft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Free {
    Quality,
    Level,
    Throat,
    RatedFilling,
    CoolantShare,
    FullLoadLambda,
    BackPressure,
    Accessories,
    /// Boost wanted at a place of the list.
    Boost(usize),
}

impl Free {
    fn of(self, draft: &mut Draft) -> &mut f64 {
        match self {
            Free::Quality => &mut draft.quality,
            Free::Level => &mut draft.level,
            Free::Throat => &mut draft.throat,
            Free::RatedFilling => &mut draft.rated_filling,
            Free::CoolantShare => &mut draft.coolant_share,
            Free::FullLoadLambda => &mut draft.full_load_lambda,
            Free::BackPressure => &mut draft.back_pressure,
            Free::Accessories => &mut draft.accessories,
            Free::Boost(place) => &mut draft.boosts[place][1],
        }
    }
}

/// A number that may be moved, its limits, and what it may miss.
#[derive(Clone, Copy, Debug)]
pub(super) struct Knob {
    pub free: Free,
    pub range: [f64; 2],
    pub tolerance: f64,
}

/// A match in progress.
pub(super) struct Task {
    pub draft: Draft,
    pub bench: Bench,
}

impl Task {
    /// Runs the draft at `command`; where its gate hunts, with a stiffer capsule from then on.
    pub fn run(&mut self, command: Command) -> Result<Point, Refusal> {
        loop {
            let (vehicle, _) = build::vehicle(&self.draft)?;
            match self.bench.run(&vehicle, command) {
                Err(Failure::Unsettled { .. }) if self.draft.stroke < STROKE[1] => {
                    let stroke = 1.45 * self.draft.stroke;
                    self.draft.stroke = stroke.min(STROKE[1]);
                    self.draft.preload = turbo::preload(&self.draft);
                }
                point => return point.map_err(Refusal::Run),
            }
        }
    }

    /// What flows at `command`; none where the draft does not yet run there.
    pub fn load(&mut self, command: Command) -> Result<Option<Load>, Refusal> {
        match self.run(command) {
            Ok(point) => Ok(Some(point.load())),
            Err(Refusal::Run(_)) => Ok(None),
            Err(other) => Err(other),
        }
    }

    /// Moves a number until `miss`, which rises with it, is 0 at `command`.
    pub fn turn(
        &mut self,
        knob: Knob,
        command: Command,
        miss: impl Fn(&Point) -> f64,
    ) -> Result<Root, Refusal> {
        let start = *knob.free.of(&mut self.draft);
        let mut best = Root {
            at: start,
            miss: f64::INFINITY,
        };
        let found = root(knob.range, start, knob.tolerance, |value| {
            *knob.free.of(&mut self.draft) = value;
            let miss = miss(&self.run(command)?);
            if miss.abs() < best.miss.abs() {
                best = Root { at: value, miss };
            }
            Ok::<_, Refusal>(miss)
        });
        let found = match found {
            // The other numbers may bring it to run: go on from the best that did.
            Err(Refusal::Run(_)) => best,
            found => found?,
        };
        *knob.free.of(&mut self.draft) = found.at;
        Ok(found)
    }

    /// [`turn`](Self::turn) of one number after another until one of them does it.
    pub fn turn_any(
        &mut self,
        knobs: &[Knob],
        command: Command,
        miss: impl Fn(&Point) -> f64,
    ) -> Result<(), Refusal> {
        for knob in knobs {
            if self.turn(*knob, command, &miss)?.miss.abs() <= knob.tolerance {
                break;
            }
        }
        Ok(())
    }
}
