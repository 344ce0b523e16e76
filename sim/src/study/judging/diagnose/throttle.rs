//! Throttle openings, and from where they are counted.

use super::file::ReadingsFile;
use crate::network::Reading;

/// Throttle opening, %, that no warm engine idles with, counted from where the plate rests: absolute throttle
/// positions (SAE J1979) rest at a tenth to a fifth (common practice, no source).
const RESTING: f64 = 8.0;

impl ReadingsFile<f64> {
    /// Whether throttle openings are counted from somewhere else than where the plate rests, as absolute
    /// throttle positions are: then nobody knows how far it is open, and none is judged by.
    pub fn throttle_from_elsewhere(&self) -> bool {
        let idles = self.condition.iter().filter(|taken| taken.idle);
        let mut given = idles.flat_map(|taken| taken.readings.given());
        given.any(|(_, reading, value)| reading == Reading::Throttle && value > RESTING)
    }
}
