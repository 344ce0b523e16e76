//! What opens, grows and closes while a car is driven, moment by moment.

use crate::network::{Defect, Network};
use crate::scenario::Event;

/// Time of a stair, s, of what changes bit by bit: each is a small hole more, opened at once.
const STAIR: f64 = 0.1;
/// Fewest and most stairs of one change.
const STAIRS: (f64, f64) = (20.0, 1000.0);

/// A car of which something changes on the way.
pub(super) struct Happening {
    defects: Vec<Defect>,
    /// Of each defect, the share of its size that is there.
    shares: Vec<f64>,
    /// Time, defect, share from then on; in order.
    changes: Vec<(f64, usize, f64)>,
    done: usize,
}

impl Happening {
    /// What these events do to the car; one that names nothing of it does nothing.
    pub fn new(car: &Network<f64>, events: &[Event]) -> Self {
        let defects: Vec<Defect> = car.defects().collect();
        let counts = [car.leaks.len(), car.faults.len()];
        let named = events.iter();
        let named = named.filter_map(|event| Some((event.defect(counts).ok()?, event)));
        let mut named: Vec<(usize, &Event)> = named.collect();
        named.sort_by(|a, b| a.1.time.total_cmp(&b.1.time));
        let mut shares = vec![1.0; defects.len()];
        for (i, event) in named.iter().rev() {
            shares[*i] = event.from.unwrap_or(0.0);
        }
        let mut changes = Vec::new();
        let mut last = shares.clone();
        for (i, event) in named {
            let from = event.from.unwrap_or(last[i]);
            let stairs = (event.ramp / STAIR).ceil().clamp(STAIRS.0, STAIRS.1);
            let stairs = if event.ramp == 0.0 { 0.0 } else { stairs };
            for k in 0..stairs as usize {
                let done = (k as f64 + 0.5) / stairs;
                let time = event.time + event.ramp * k as f64 / stairs;
                changes.push((time, i, from + done * (event.to - from)));
            }
            changes.push((event.time + event.ramp, i, event.to));
            last[i] = event.to;
        }
        changes.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self {
            defects,
            shares,
            changes,
            done: 0,
        }
    }

    /// When something changes next, s.
    pub fn next(&self) -> f64 {
        self.changes
            .get(self.done)
            .map_or(f64::INFINITY, |(time, ..)| *time)
    }

    /// Whether anything changes at all.
    pub fn is_still(&self) -> bool {
        self.changes.is_empty()
    }

    /// The car after what changes up to `time`, s, its orders kept.
    pub fn car(&mut self, car: &Network<f64>, time: f64) -> Network<f64> {
        while let Some((_, i, share)) = self.changes.get(self.done).filter(|c| c.0 <= time) {
            self.shares[*i] = *share;
            self.done += 1;
        }
        if self.is_still() {
            return car.clone();
        }
        let there = self.defects.iter().zip(&self.shares);
        let there = there.filter(|(_, share)| **share > 0.0);
        car.only(there.map(|(defect, share)| {
            let healthy = defect.healthy();
            match *share {
                1.0 => *defect,
                share => defect.sized(healthy + share * (defect.size() - healthy)),
            }
        }))
    }
}
