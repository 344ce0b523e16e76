//! What opens, grows and closes while a car is driven, moment by moment.

use crate::network::{Defect, Network};
use crate::scenario::Event;

/// Time of a stair, s, of what changes bit by bit: each is a small hole more, opened at once.
const STAIR: f64 = 0.1;
/// Fewest and most stairs of one change.
const STAIRS: (f64, f64) = (20.0, 1000.0);

/// One defect that opens, grows, closes or is mended during a drive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// When it begins and ends, s; the same where it comes at once.
    pub time: (f64, f64),
    /// Which of the car's defects, as [`Network::defects`] counts them.
    pub which: usize,
    /// Share of the defect's size before and after.
    pub share: (f64, f64),
}

impl Change {
    /// The defect before and after.
    pub fn defects(&self, car: &Network<f64>) -> Option<[Defect; 2]> {
        let defect = car.defects().nth(self.which)?;
        Some([self.share.0, self.share.1].map(|share| part(&defect, share)))
    }
}

/// A defect at a share of its size.
fn part(defect: &Defect, share: f64) -> Defect {
    let healthy = defect.healthy();
    match share {
        1.0 => *defect,
        share => defect.sized(healthy + share * (defect.size() - healthy)),
    }
}

/// What these events do to the car, in the order in which they begin; one that names nothing of it
/// does nothing.
pub fn changes(car: &Network<f64>, events: &[Event]) -> Vec<Change> {
    let counts = [car.leaks.len(), car.faults.len()];
    let named = events.iter();
    let named = named.filter_map(|event| Some((event.defect(counts).ok()?, event)));
    let mut named: Vec<(usize, &Event)> = named.collect();
    named.sort_by(|a, b| a.1.time.total_cmp(&b.1.time));
    let mut last = vec![0.0; car.defects().count()];
    let all = named.into_iter().map(|(which, event)| {
        let before = std::mem::replace(&mut last[which], event.to);
        Change {
            time: (event.time, event.time + event.ramp),
            which,
            share: (event.from.unwrap_or(before), event.to),
        }
    });
    all.collect()
}

/// A car of which something changes on the way.
#[derive(Clone, Debug)]
pub struct Happening {
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
        let all = changes(car, events);
        let mut shares = vec![1.0; defects.len()];
        for change in all.iter().rev() {
            shares[change.which] = change.share.0;
        }
        let mut stairs = Vec::new();
        for Change { time, which, share } in all {
            let ramp = time.1 - time.0;
            let count = match ramp > 0.0 {
                true => (ramp / STAIR).ceil().clamp(STAIRS.0, STAIRS.1),
                false => 0.0,
            };
            for k in 0..count as usize {
                let done = (k as f64 + 0.5) / count;
                let at = time.0 + ramp * k as f64 / count;
                stairs.push((at, which, share.0 + done * (share.1 - share.0)));
            }
            stairs.push((time.1, which, share.1));
        }
        stairs.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self {
            defects,
            shares,
            changes: stairs,
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
        car.only(there.map(|(defect, share)| part(defect, *share)))
    }
}
