//! Readings before and after a repair, each as its distance from the healthy car.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Scene, Side, Words, held_width};

/// One reading; distances in its doubts from what the healthy car shows.
pub struct Shift {
    /// What was read.
    pub name: String,
    /// Both values in words.
    pub said: String,
    /// Distance, value, and where the value stands in the result for programs.
    pub before: Option<(f64, f64, String)>,
    /// The same after the repair.
    pub after: Option<(f64, f64, String)>,
}

const LETTERS: f64 = 12.0;
/// A line of words.
const LINE: f64 = 17.0;
/// Doubts within which 90 % of readings of a healthy car lie.
const WITHIN: f64 = 1.645;
/// Distances beyond this are drawn there.
const FAR: f64 = 12.0;

/// Dots before, rings after; the band is where nine of ten readings of a healthy car lie.
pub fn shifts(all: &[Shift], width: f64) -> Scene {
    drawn(all, width, 0.0).with_held(drawn(all, held_width(LETTERS), LINE))
}

/// With so much more room for words where the picture is narrow.
fn drawn(all: &[Shift], width: f64, more: f64) -> Scene {
    let (row, head) = (40.0 + more, 46.0 + more);
    let mut scene = Scene::new(width, head + row * all.len() as f64 + 24.0 + more);
    let reach = (all.iter())
        .flat_map(|shift| [&shift.before, &shift.after])
        .flatten()
        .map(|(distance, ..)| distance.clamp(-FAR, FAR));
    let (low, high) = reach.fold((-3.0_f64, 3.0_f64), |(low, high), d| {
        (low.min(d), high.max(d))
    });
    let (left, right) = (14.0, width - 14.0);
    let at =
        |distance: f64| left + (right - left) * (distance.clamp(-FAR, FAR) - low) / (high - low);
    let floor = head + row * all.len() as f64;
    scene.rectangle([at(-WITHIN), head - 6.0, at(WITHIN), floor], Ink::Band);
    scene.line(
        vec![[at(0.0), head - 6.0], [at(0.0), floor]],
        Ink::Quiet,
        1.0,
    );
    key(&mut scene, more);
    for (i, shift) in all.iter().enumerate() {
        let words = head + row * i as f64 + 8.0;
        let y = words + 18.0 + more;
        let beside = measure::width(&shift.said, LETTERS, true);
        let room = width - if more > 0.0 { 8.0 } else { 20.0 + beside };
        let name = measure::cut(&shift.name, LETTERS, false, room);
        scene.words(Words::new(name, [4.0, words], LETTERS, Ink::Text));
        scene.words(
            Words::new(&shift.said, [width - 4.0, words + more], LETTERS, Ink::Text)
                .side(Side::Left)
                .bold(),
        );
        if let (Some(before), Some(after)) = (&shift.before, &shift.after) {
            scene.line(vec![[at(before.0), y], [at(after.0), y]], Ink::Quiet, 1.5);
        }
        if let Some((distance, value, json)) = &shift.before {
            scene.number(json, *value, |scene| {
                scene.dot([at(*distance), y], 6.0, Ink::Text)
            });
        }
        if let Some((distance, value, json)) = &shift.after {
            scene.number(json, *value, |scene| {
                scene.dot([at(*distance), y], 6.0, Ink::Paper);
                scene.ring([at(*distance), y], 6.0, Ink::Faulty, 2.5);
            });
        }
    }
    let below = floor + 12.0;
    let foot =
        |text: &str, x: f64, side| Words::new(text, [x, below], LETTERS, Ink::Quiet).side(side);
    scene.words_where_room([foot("a healthy car", at(0.0), Side::Middle)]);
    let below = below + more;
    let foot =
        |text: &str, x: f64, side| Words::new(text, [x, below], LETTERS, Ink::Quiet).side(side);
    scene.words_where_room([foot("reads less", left, Side::Right)]);
    scene.words_where_room([foot("reads more", right, Side::Left)]);
    scene
}

fn key(scene: &mut Scene, more: f64) {
    scene.dot([12.0, 14.0], 6.0, Ink::Text);
    scene.words(Words::new("before", [24.0, 14.0], LETTERS, Ink::Text));
    scene.ring([92.0, 14.0], 6.0, Ink::Faulty, 2.5);
    scene.words(Words::new("after", [104.0, 14.0], LETTERS, Ink::Text));
    let [x, y] = if more > 0.0 {
        [4.0, 14.0 + more]
    } else {
        [156.0, 14.0]
    };
    scene.rectangle([x, y - 7.0, x + 20.0, y + 7.0], Ink::Band);
    let words = "nine of ten healthy cars";
    scene.words(Words::new(words, [x + 26.0, y], LETTERS, Ink::Text));
}
