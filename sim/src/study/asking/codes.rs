//! From which size on each fault sets which trouble code, and where: the answer to
//! "what would this computer notice?".

pub use crate::study::asking::threshold::{HOLES, Watch};

use crate::control::Code;
use crate::network::Defect;
use crate::study::asking::threshold::{Outcome, Symptom};

/// A hole at every place, and every fault each way that it goes, as bad as is tried.
pub fn all() -> Vec<Defect> {
    let holes = Defect::holes(HOLES.1).into_iter();
    holes.chain(Defect::worst_faults()).collect()
}

/// What the car does at a size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sign {
    /// A code is set.
    Code(Code),
    /// The engine does not run on steadily.
    NoRunning,
}

/// A sign, the first point that shows it, and the size from which on.
#[derive(Clone, Debug, PartialEq)]
pub struct First {
    /// What shows.
    pub sign: Sign,
    /// Where.
    pub point: String,
    /// From this size on, SI.
    pub size: f64,
}

impl Watch {
    /// Every sign of a defect that grows to `worst`, in the order in which they come; a leak
    /// grows from the smallest of [`HOLES`].
    pub fn firsts(&self, worst: Defect) -> Vec<First> {
        let healthy = worst.healthy();
        let codes: Vec<Code> = Code::WORDS.iter().map(|(_, code, _)| *code).collect();
        let symptoms: Vec<Symptom> = codes.iter().map(|code| Symptom::code(*code)).collect();
        let found = self.thresholds(worst, HOLES.0, &symptoms);
        let set = codes.iter().zip(found.outcomes);
        let set = set.filter_map(|(code, outcome)| {
            let (point, size) = match outcome {
                Outcome::From { size, point } => (point, size),
                Outcome::Sound(point) => (point, healthy),
                Outcome::Never => return None,
            };
            let sign = Sign::Code(*code);
            Some(First { sign, point, size })
        });
        let far = |size: f64| (size - healthy).abs();
        let stops = found.stops.into_iter();
        let stop = stops.min_by(|a, b| far(a.1).total_cmp(&far(b.1)));
        let stop = stop.map(|(point, size)| First {
            sign: Sign::NoRunning,
            point,
            size,
        });
        let mut firsts: Vec<First> = set.chain(stop).collect();
        firsts.sort_by(|a, b| far(a.size).total_cmp(&far(b.size)));
        firsts
    }
}
