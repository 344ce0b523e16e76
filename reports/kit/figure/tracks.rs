//! Two distances a row beside a band, in standard deviations: where something was, and where it is.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Scene, Side, Words, held_width};
use crate::text::number::number;

/// A row: what was read, and two distances with where they stand in the result for programs.
pub struct Track {
    /// What was read.
    pub said: String,
    /// Drawn as a ring.
    pub ring: (String, f64),
    /// Drawn as a disc.
    pub dot: (String, f64),
}

const LETTERS: f64 = 12.0;
const LINE: f64 = 16.0;
/// Most that is drawn, standard deviations.
const REACH: f64 = 12.0;

/// Rows about a band of so many standard deviations each way.
pub fn tracks(all: &[Track], band: f64, ticks: &[f64]) -> Scene {
    let wide = (720.0, 300.0);
    let held = (held_width(LETTERS), 0.0);
    drawn(all, band, ticks, wide).with_held(drawn(all, band, ticks, held))
}

/// Names before the tracks where they have `left` px, else above them.
fn drawn(all: &[Track], band: f64, ticks: &[f64], (width, left): (f64, f64)) -> Scene {
    let above = left == 0.0;
    let named = |track: &Track| match above {
        true => measure::lines(track.said.trim_end(), LETTERS, false, width - 8.0),
        false => vec![measure::cut(
            track.said.trim_end(),
            LETTERS,
            false,
            left - 12.0,
        )],
    };
    // Ticks, and below them where names stand above, what they count.
    let foot = if above { 48.0 } else { 38.0 };
    let names: Vec<Vec<String>> = all.iter().map(named).collect();
    let tall = |names: &Vec<String>| match above {
        true => LINE * names.len() as f64 + 20.0,
        false => 26.0,
    };
    let height = 8.0 + names.iter().map(tall).sum::<f64>() + foot;
    let bottom = height - foot + 10.0;
    let mut scene = Scene::new(width, height);
    let (from, to) = (left + 8.0, width - if above { 8.0 } else { 20.0 });
    let reach = all.iter().flat_map(|track| [track.dot.1, track.ring.1]);
    let reach = reach.fold(band + 1.0, |most, v| most.max(v.abs()));
    let reach = reach.min(REACH) * 1.08;
    let at = |v: f64| from + (to - from) * (v.clamp(-reach, reach) / reach + 1.0) / 2.0;
    scene.rectangle([at(-band), 8.0, at(band), bottom], Ink::Band);
    scene.line(vec![[at(0.0), 8.0], [at(0.0), bottom]], Ink::Quiet, 1.0);
    let mut top = 8.0;
    for (track, names) in all.iter().zip(names) {
        let below = tall(&names);
        for (k, line) in names.into_iter().enumerate() {
            let (place, side) = match above {
                true => ([4.0, top + 9.0 + LINE * k as f64], Side::Right),
                false => ([left - 8.0, top + below / 2.0], Side::Left),
            };
            let words = Words::new(line, place, LETTERS, Ink::Text).side(side);
            if above {
                scene.rectangle(words.bounds(), Ink::Paper);
            }
            scene.words(words);
        }
        let y = if above {
            top + below - 10.0
        } else {
            top + below / 2.0
        };
        let [ring, dot] = [&track.ring, &track.dot].map(|(_, value)| at(*value));
        scene.line(vec![[ring, y], [dot, y]], Ink::Hair, 2.0);
        scene.number(&track.ring.0, track.ring.1, |scene| {
            scene.ring([ring, y], 5.0, Ink::Sound, 2.5)
        });
        scene.number(&track.dot.0, track.dot.1, |scene| {
            scene.dot([dot, y], 5.0, Ink::Faulty)
        });
        top += below;
    }
    let quiet = |words: &str, place| Words::new(words, place, LETTERS, Ink::Quiet);
    for tick in ticks.iter().filter(|tick| tick.abs() < reach) {
        let words = quiet(&number(*tick, 0), [at(*tick), bottom + 9.0]);
        scene.words_where_room([words.side(Side::Middle)]);
    }
    let unit = [4.0, if above { height - 8.0 } else { bottom + 9.0 }];
    scene.words(quiet("standard deviations off", unit));
    scene
}
