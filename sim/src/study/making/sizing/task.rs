//! A match in progress: a draft, the bench that runs it, and how one number is turned.

use super::bench::{Bench, Point};
use super::draft::Draft;
use super::root::{Root, root};
use super::{Refusal, build};
use crate::control::Command;

/// A number that may be moved, and its limits.
pub(super) struct Knob {
    pub range: [f64; 2],
    pub of: fn(&mut Draft) -> &mut f64,
}

/// A match in progress.
pub(super) struct Task {
    pub draft: Draft,
    pub bench: Bench,
}

impl Task {
    /// Runs the draft at `command`.
    pub fn run(&mut self, command: Command) -> Result<Point, Refusal> {
        let (vehicle, _) = build::vehicle(&self.draft)?;
        self.bench.run(&vehicle, command).map_err(Refusal::Run)
    }

    /// Moves `knob` until `miss`, which rises with it, is 0 at `command`.
    pub fn turn(
        &mut self,
        knob: &Knob,
        command: Command,
        tolerance: f64,
        miss: impl Fn(&Point) -> f64,
    ) -> Result<Root, Refusal> {
        let start = *(knob.of)(&mut self.draft);
        let found = root(knob.range, start, tolerance, |value| {
            *(knob.of)(&mut self.draft) = value;
            Ok::<_, Refusal>(miss(&self.run(command)?))
        })?;
        *(knob.of)(&mut self.draft) = found.at;
        Ok(found)
    }
}
