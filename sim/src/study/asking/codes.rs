//! From which size on each fault sets which trouble code, and where: the answer to
//! "what would this computer notice?".

pub use crate::study::asking::threshold::HOLES;
pub use crate::study::asking::threshold::Watch;
pub use crate::study::asking::threshold::Worsening;

use crate::control::Code;
use crate::study::asking::threshold::{Outcome, Symptom};

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
    /// Every sign of a fault that worsens, in the order in which they come.
    pub fn firsts(&self, worsening: Worsening) -> Vec<First> {
        let codes: Vec<Code> = Code::WORDS.iter().map(|(_, code, _)| *code).collect();
        let symptoms: Vec<Symptom> = codes.iter().map(|code| Symptom::code(*code)).collect();
        let found = self.thresholds(worsening, &symptoms);
        let set = codes.iter().zip(found.outcomes);
        let set = set.filter_map(|(code, outcome)| {
            let (point, size) = match outcome {
                Outcome::From { size, point } => (point, size),
                Outcome::Sound(point) => (point, worsening.sound()),
                Outcome::Never => return None,
            };
            let sign = Sign::Code(*code);
            Some(First { sign, point, size })
        });
        let sound = worsening.sound();
        let far = |size: f64| (size - sound).abs();
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
