//! Readings before and after a repair, each as its distance from the healthy car.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Scene, Side, Words};

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
const ROW: f64 = 40.0;
const HEAD: f64 = 46.0;
/// Doubts within which 90 % of readings of a healthy car lie.
const WITHIN: f64 = 1.645;
/// Distances beyond this are drawn there.
const FAR: f64 = 12.0;

/// Dots before, rings after; the band is where nine of ten readings of a healthy car lie.
pub fn shifts(all: &[Shift], width: f64) -> Scene {
    let mut scene = Scene::new(width, HEAD + ROW * all.len() as f64 + 24.0);
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
    let floor = HEAD + ROW * all.len() as f64;
    scene.rectangle([at(-WITHIN), HEAD - 6.0, at(WITHIN), floor], Ink::Band);
    scene.line(
        vec![[at(0.0), HEAD - 6.0], [at(0.0), floor]],
        Ink::Quiet,
        1.0,
    );
    key(&mut scene);
    for (i, shift) in all.iter().enumerate() {
        let (words, y) = (HEAD + ROW * i as f64 + 8.0, HEAD + ROW * i as f64 + 26.0);
        let room = width - 20.0 - measure::width(&shift.said, LETTERS, true);
        let name = measure::cut(&shift.name, LETTERS, false, room);
        scene.words(Words::new(name, [4.0, words], LETTERS, Ink::Text));
        scene.words(
            Words::new(&shift.said, [width - 4.0, words], LETTERS, Ink::Text)
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
    let foot = |text: &str, x: f64, side| Words::new(text, [x, below], 11.0, Ink::Quiet).side(side);
    scene.words_where_room([foot("a healthy car", at(0.0), Side::Middle)]);
    scene.words_where_room([foot("reads less", left, Side::Right)]);
    scene.words_where_room([foot("reads more", right, Side::Left)]);
    scene
}

fn key(scene: &mut Scene) {
    scene.dot([12.0, 14.0], 6.0, Ink::Text);
    scene.words(Words::new("before", [24.0, 14.0], LETTERS, Ink::Text));
    scene.ring([92.0, 14.0], 6.0, Ink::Faulty, 2.5);
    scene.words(Words::new("after", [104.0, 14.0], LETTERS, Ink::Text));
    scene.rectangle([156.0, 7.0, 176.0, 21.0], Ink::Band);
    scene.words(Words::new(
        "nine of ten healthy cars",
        [182.0, 14.0],
        LETTERS,
        Ink::Text,
    ));
}
