//! How far a car is off its own readings, before and after the fit.

use crate::figure::tracks::{Track, tracks};
use crate::page::Picture;
use crate::say::vehicle_fit as say;

/// Readings drawn, the farthest off before or after first.
const MOST: usize = 30;

/// A reading.
pub(super) struct Row {
    /// Which, and where it was read.
    pub said: String,
    /// Read less shown, in standard deviations, before and after.
    pub off: [f64; 2],
}

/// Every reading as its distance from what the car shows; none where nothing is shown.
pub(super) fn residuals(all: &[Row]) -> Option<Picture> {
    let mut drawn: Vec<(usize, &Row)> = all.iter().enumerate().collect();
    let far = |one: &Row| {
        one.off
            .into_iter()
            .fold(0.0, |most: f64, off| most.max(off.abs()))
    };
    drawn.sort_by(|a, b| far(b.1).total_cmp(&far(a.1)));
    drawn.truncate(MOST);
    drawn.sort_by_key(|(i, _)| *i);
    let drawn = drawn.into_iter().map(|(i, one)| {
        let at = |key: &str| format!("/readings/{i}/{key}");
        let [before, after] = one.off;
        Track {
            said: one.said.clone(),
            ring: (at("off_before"), before),
            dot: (at("off_after"), after),
        }
    });
    let drawn: Vec<Track> = drawn.collect();
    let scene = || tracks(&drawn, 3.0, &[-9.0, -6.0, -3.0, 0.0, 3.0, 6.0, 9.0]);
    (!drawn.is_empty()).then(|| Picture::new("residuals", say::RESIDUALS, scene()))
}
