//! How far a car is off its own readings, before and after the fit.

use crate::figure::ink::Ink;
use crate::figure::measure::cut;
use crate::figure::scene::{Scene, Side, Words};
use crate::page::Picture;
use crate::say::vehicle_fit as say;
use crate::text::number::number;

/// Readings drawn, the farthest off before or after first.
const MOST: usize = 30;
const WIDTH: f64 = 720.0;
const ROW: f64 = 24.0;
/// Standard deviations drawn at most.
const REACH: f64 = 12.0;

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
    let reach = drawn.iter().map(|(_, one)| far(one)).fold(4.0, f64::max);
    let reach = reach.min(REACH) * 1.08;
    let (left, right) = (300.0, WIDTH - 20.0);
    let height = 46.0 + ROW * drawn.len() as f64;
    let bottom = height - 28.0;
    let at = |off: f64| left + (right - left) * (off.clamp(-reach, reach) / reach + 1.0) / 2.0;
    let mut scene = Scene::new(WIDTH, height);
    scene.rectangle([at(-3.0), 8.0, at(3.0), bottom], Ink::Band);
    scene.line(vec![[at(0.0), 8.0], [at(0.0), bottom]], Ink::Quiet, 1.0);
    for (row, (i, one)) in drawn.iter().enumerate() {
        let y = 8.0 + ROW * (row as f64 + 0.5);
        let said = cut(&one.said, 12.0, false, left - 12.0);
        scene.words(Words::new(said, [left - 8.0, y], 12.0, Ink::Text).side(Side::Left));
        let [before, after] = one.off;
        scene.line(vec![[at(before), y], [at(after), y]], Ink::Hair, 2.0);
        scene.number(&format!("/readings/{i}/off_before"), before, |scene| {
            scene.ring([at(before), y], 5.0, Ink::Sound, 2.5)
        });
        scene.number(&format!("/readings/{i}/off_after"), after, |scene| {
            scene.dot([at(after), y], 5.0, Ink::Faulty)
        });
    }
    let quiet = |words: &str, x: f64| Words::new(words, [x, bottom + 10.0], 11.0, Ink::Quiet);
    for tick in [-9.0, -6.0, -3.0, 0.0, 3.0, 6.0, 9.0_f64] {
        if tick.abs() < reach {
            scene.words(quiet(&number(tick, 0), at(tick)).side(Side::Middle));
        }
    }
    scene.words(quiet("standard deviations off", 4.0));
    (!drawn.is_empty()).then(|| Picture::new("residuals", say::RESIDUALS, scene))
}
