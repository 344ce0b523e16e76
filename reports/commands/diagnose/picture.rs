//! The pictures of a diagnosis.

use crate::commands::diagnose::form::{Suspicion, Test, Witness};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::figure::tracks::{Track, tracks};
use crate::page::Picture;
use crate::say::diagnose as say;
use crate::text::number::number;

/// Readings drawn.
const READINGS: usize = 12;
/// Tests drawn.
const TESTS: usize = 8;

/// What stands first stands out, with all that is shown to be as likely.
fn ink(one: &str, first: &str) -> Ink {
    match one == first {
        true => Ink::Faulty,
        false => Ink::Sound,
    }
}

/// How probable each is.
pub(super) fn probabilities(shown: &[Suspicion]) -> Picture {
    let first = shown.first().map_or("", |first| first.share.as_str());
    let likely = shown.iter().map(|one| Bar {
        name: one.name.clone(),
        value: 100.0 * one.probability,
        said: one.share.clone(),
        json: String::new(),
        interval: None,
        ink: ink(&one.share, first),
    });
    let likely: Vec<Bar> = likely.collect();
    let mut scene = bars("probability", &likely, 460.0);
    // The bars' own numbers, as the result for programs has them.
    for (i, one) in shown.iter().enumerate() {
        let json = format!("/hypotheses/{i}/probability");
        scene.number(&json, one.probability, |_| {});
    }
    Picture::new("probability", say::PROBABILITY, scene)
}

/// How large leaks would be; none where there is none.
pub(super) fn sizes(shown: &[Suspicion]) -> Option<Picture> {
    let sized = shown.iter().enumerate().filter_map(|(i, one)| {
        let size = one.size.as_ref().filter(|size| size.unit == "mm")?;
        let [best, low, high] = &size.shown;
        Some(Bar {
            name: one.name.clone(),
            value: size.best,
            said: format!("{best} ({low} to {high})"),
            json: format!("/hypotheses/{i}/size/best"),
            interval: Some((size.low90, size.high90)),
            ink: Ink::Band,
        })
    });
    let sized: Vec<Bar> = sized.collect();
    let scene = || bars("size as a sharp-edged hole, mm", &sized, 460.0);
    (!sized.is_empty()).then(|| Picture::new("sizes", say::SIZES, scene()))
}

/// What each test tells; none where there is none.
pub(super) fn tests(all: &[Test]) -> Option<Picture> {
    let gain = all.iter().take(TESTS).enumerate();
    let gain = gain.map(|(i, test)| Bar {
        // The key keeps its old word for the valve.
        name: (test.test)
            .replace("recirculation_valve", "bypass_valve")
            .replace('_', " "),
        value: test.settles_pct,
        said: format!("{} in {} min", test.settles, number(test.minutes, 0)),
        json: format!("/next_tests/{i}/settles_pct"),
        interval: None,
        ink: if i == 0 { Ink::Faulty } else { Ink::Sound },
    });
    let gain: Vec<Bar> = gain.collect();
    let scene = || bars("should settle, %", &gain, 460.0);
    (!gain.is_empty()).then(|| Picture::new("next-tests", say::PER_MINUTE, scene()))
}

/// How far readings are off what a fault and a healthy car give.
pub(super) fn distances(index: usize, all: &[Witness]) -> Picture {
    let all = all.iter().take(READINGS).enumerate().map(|(i, w)| {
        let read = number(w.read, w.form.decimals);
        let said = format!("{}, {}: {read} {}", w.form.label, w.condition, w.unit);
        let json = |key: &str| format!("/hypotheses/{index}/readings/{i}/{key}");
        Track {
            said,
            ring: (json("sound_off_by_deviations"), w.sound_off_by_deviations),
            dot: (json("this_off_by_deviations"), w.this_off_by_deviations),
        }
    });
    let all: Vec<Track> = all.collect();
    marks(&format!("readings-{}", index + 1), say::DISTANCES, &all)
}

/// Distances in standard deviations, two a row, beside a band of two.
pub(super) fn marks(name: &str, caption: &str, all: &[Track]) -> Picture {
    let told = &all[..all.len().min(READINGS)];
    let scene = tracks(told, 2.0, &[-8.0, -4.0, -2.0, 0.0, 2.0, 4.0, 8.0]);
    Picture::new(name, caption, scene)
}
