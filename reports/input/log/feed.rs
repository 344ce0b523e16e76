//! Rows with their times, given to the finder; a row whose clock goes astray is held back
//! until the next one shows whether the clock jumped.

use super::moment::Moments;
use super::time::Clock;
use sim::study::knowing::log::{Finder, Found};

/// A row whose time does not follow that of the row above.
#[derive(Clone, Debug)]
struct Astray {
    /// The clock before it.
    before: Moments,
    time: f64,
    passed: f64,
    fresh: Vec<f64>,
}

/// Feeds the finder.
#[derive(Clone, Debug)]
pub(super) struct Feed {
    clock: Clock,
    finder: Finder,
    astray: Option<Astray>,
    pub tally: Times,
}

/// What was met of the clock.
#[derive(Clone, Debug)]
pub(super) struct Times {
    pub moments: Moments,
    /// Rows.
    pub rows: u64,
    /// Time of the log, s, jumps left out.
    pub seconds: f64,
    /// Time, s, over which nothing is held.
    pub gap: f64,
    /// Jumps ahead, and the farthest, s.
    pub jumps: (u64, f64),
    /// Rows left out because the clock of those around them goes on without theirs.
    pub astray: u64,
}

impl Feed {
    pub fn new(clock: Clock, finder: Finder) -> Self {
        let factor = match clock {
            Clock::Column(_, factor, ..) => factor,
            Clock::Rows(_) => 1.0,
        };
        let tally = Times {
            moments: Moments::new(factor),
            rows: 0,
            seconds: 0.0,
            gap: finder.gap(),
            jumps: (0, 0.0),
            astray: 0,
        };
        Self {
            clock,
            finder,
            astray: None,
            tally,
        }
    }

    /// The next row: the cell of its time, and what came with it.
    pub fn row(&mut self, cell: &[u8], fresh: &[f64]) {
        self.tally.rows += 1;
        if let Clock::Rows(interval) = self.clock {
            let passed = if self.tally.rows > 1 { interval } else { 0.0 };
            self.give((self.tally.rows - 1) as f64 * interval, passed, fresh);
            return;
        }
        if let Some(astray) = self.astray.take() {
            let mut back = astray.before;
            let now = back.next(cell).filter(|_| back.odd == astray.before.odd);
            if let Some((now, passed)) = now.filter(|(_, passed)| self.follows(*passed)) {
                self.tally.moments = back;
                self.tally.astray += 1;
                self.give(now, passed, fresh);
                return;
            }
            self.give(astray.time, astray.passed, &astray.fresh);
        }
        let before = self.tally.moments;
        let Some((time, passed)) = self.tally.moments.next(cell) else {
            return;
        };
        if passed.is_nan() || self.follows(passed) {
            self.give(time, passed, fresh);
        } else {
            self.astray = Some(Astray {
                before,
                time,
                passed,
                fresh: fresh.to_vec(),
            });
        }
    }

    /// All that was found.
    pub fn finish(mut self) -> (Found, Times) {
        if let Some(astray) = self.astray.take() {
            self.give(astray.time, astray.passed, &astray.fresh);
        }
        (self.finder.finish(), self.tally)
    }

    fn follows(&self, passed: f64) -> bool {
        (0.0..=self.tally.gap).contains(&passed)
    }

    fn give(&mut self, time: f64, passed: f64, fresh: &[f64]) {
        if self.follows(passed) {
            self.tally.seconds += passed;
        } else if passed > 0.0 {
            let (count, farthest) = self.tally.jumps;
            self.tally.jumps = (count + 1, farthest.max(passed));
        }
        self.finder.row(time, fresh);
    }
}
