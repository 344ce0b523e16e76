//! Horizontal bars with names at the left and words at the right: signed, or with intervals.

use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Scene, Side, Words, held_width};

/// A bar.
pub struct Bar {
    /// Its name.
    pub name: String,
    /// Its length, in the unit of the picture; negative to the left.
    pub value: f64,
    /// Its value in words.
    pub said: String,
    /// Where the number stands in the result for programs; empty where it does not.
    pub json: String,
    /// Lowest and highest it may be, if that is drawn.
    pub interval: Option<(f64, f64)>,
    /// Its colour.
    pub ink: Ink,
}

const LETTERS: f64 = 12.0;
const ROW: f64 = 24.0;
const HEAD: f64 = 30.0;
/// Least room for the longest bar, px.
const LEAST: f64 = 60.0;

/// Bars under a heading, in a picture of this width.
pub fn bars(heading: &str, all: &[Bar], width: f64) -> Scene {
    bars_within(heading, all, width, 1e-12)
}

/// The same, whose scale spans at least this much: what is next to nothing looks so.
pub fn bars_within(heading: &str, all: &[Bar], width: f64, least: f64) -> Scene {
    beside(heading, all, width, least).with_held(under(heading, all, least))
}

/// Where a value lies between two places.
fn scale(all: &[Bar], least: f64, (left, right): (f64, f64)) -> impl Fn(f64) -> f64 {
    let reach = all.iter().flat_map(|bar| {
        let (low, high) = bar.interval.unwrap_or((bar.value, bar.value));
        [bar.value, low, high]
    });
    let (low, high) = reach
        .filter(|v| v.is_finite())
        .fold((0.0_f64, 0.0_f64), |(low, high), v| {
            (low.min(v), high.max(v))
        });
    let span = (high - low).max(least);
    let low = if high > -low { low } else { high - span };
    move |value| left + (right - left) * ((value - low) / span).clamp(0.0, 1.0)
}

/// A bar with its interval at this height.
fn draw(scene: &mut Scene, bar: &Bar, y: f64, at: &impl Fn(f64) -> f64) {
    let (zero, end) = (at(0.0), at(bar.value));
    scene.rectangle(
        [
            zero.min(end),
            y - 8.0,
            zero.max(end).max(zero + 1.0),
            y + 8.0,
        ],
        bar.ink,
    );
    if let Some((low, high)) = bar.interval {
        scene.line(vec![[at(low), y], [at(high), y]], Ink::Text, 2.0);
        for end in [low, high] {
            scene.line(vec![[at(end), y - 5.0], [at(end), y + 5.0]], Ink::Text, 2.0);
        }
    }
}

/// Each bar under its name, for a screen that has no room beside it.
fn under(heading: &str, all: &[Bar], least: f64) -> Scene {
    const LINE: f64 = 16.0;
    let width = held_width(LETTERS);
    let lines = |text: &str, bold| measure::lines(text, LETTERS, bold, width - 8.0);
    let title = lines(heading, true);
    let named: Vec<_> = all.iter().map(|bar| lines(&bar.name, false)).collect();
    let said = all
        .iter()
        .map(|bar| measure::width(&bar.said, LETTERS, false));
    let said = said.fold(0.0, f64::max);
    // Words that would leave no room for a bar stand in lines above it, too.
    let apart = said > 0.5 * width;
    let at = scale(
        all,
        least,
        (4.0, width - if apart { 12.0 } else { said + 12.0 }),
    );
    let head = LINE * title.len() as f64 + 8.0;
    let more = |bar: &Bar| match apart {
        true => lines(&bar.said, true),
        false => Vec::new(),
    };
    let named = all.iter().zip(named).map(|(bar, names)| (names, more(bar)));
    let named: Vec<_> = named.collect();
    let tall = |(names, more): &(Vec<String>, Vec<String>)| {
        LINE * (names.len() + more.len()) as f64 + 26.0
    };
    let height: f64 = head + named.iter().map(tall).sum::<f64>();
    let mut scene = Scene::new(width, height);
    for (k, line) in title.into_iter().enumerate() {
        let words = Words::new(line, [4.0, 9.0 + LINE * k as f64], LETTERS, Ink::Text);
        scene.words(words.bold());
    }
    let mut top = head;
    for (bar, names) in all.iter().zip(named) {
        let below = tall(&names);
        let y = top + below - 16.0;
        let (names, more) = names;
        let words = names.into_iter().map(|line| (line, false));
        let words = words.chain(more.into_iter().map(|line| (line, true)));
        for (k, (line, bold)) in words.enumerate() {
            let place = [4.0, top + 8.0 + LINE * k as f64];
            let words = Words::new(line, place, LETTERS, Ink::Text);
            scene.words(Words { bold, ..words });
        }
        scene.line(
            vec![[at(0.0), y - 9.0], [at(0.0), y + 9.0]],
            Ink::Quiet,
            1.0,
        );
        let drawn = |scene: &mut Scene| {
            draw(scene, bar, y, &at);
            if !apart {
                let words = Words::new(&bar.said, [width - 4.0, y], LETTERS, Ink::Text);
                scene.words(words.side(Side::Left));
            }
        };
        match bar.json.is_empty() {
            true => drawn(&mut scene),
            false => scene.number(&bar.json, bar.value, drawn),
        }
        top += below;
    }
    scene
}

/// Each bar beside its name.
fn beside(heading: &str, all: &[Bar], width: f64, least: f64) -> Scene {
    let mut scene = Scene::new(width, HEAD + ROW * all.len() as f64 + 8.0);
    let title = measure::cut(heading, 13.0, true, width - 8.0);
    scene.words(Words::new(title, [4.0, 12.0], 13.0, Ink::Text).bold());
    let widest = |of: fn(&Bar) -> &String| {
        let widths = all
            .iter()
            .map(|bar| measure::width(of(bar), LETTERS, false));
        widths.fold(0.0, f64::max)
    };
    let said = widest(|bar| &bar.said).min(0.4 * width);
    // A name is cut only where the longest bar would be next to nothing.
    let most = (width - said - 24.0 - LEAST).max(0.45 * width);
    let names = widest(|bar| &bar.name).min(most);
    let (left, right) = (names + 12.0, width - said - 12.0);
    let at = scale(all, least, (left, right));
    for (i, bar) in all.iter().enumerate() {
        let y = HEAD + ROW * (i as f64 + 0.5);
        let name = measure::cut(&bar.name, LETTERS, false, names);
        scene.words(Words::new(name, [names + 4.0, y], LETTERS, Ink::Text).side(Side::Left));
        let drawn = |scene: &mut Scene| {
            draw(scene, bar, y, &at);
            let words = measure::cut(&bar.said, LETTERS, false, said);
            scene.words(Words::new(words, [right + 8.0, y], LETTERS, Ink::Text));
        };
        match bar.json.is_empty() {
            true => drawn(&mut scene),
            false => scene.number(&bar.json, bar.value, drawn),
        }
    }
    scene.line(
        vec![[at(0.0), HEAD], [at(0.0), HEAD + ROW * all.len() as f64]],
        Ink::Quiet,
        1.0,
    );
    scene
}
