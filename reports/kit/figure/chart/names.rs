//! What is said in a chart: its heading, the names of lines, of marked values and of bands.

use super::{Band, Chart, HEAD, KEY, LARGE, Rule, SMALL, Series};
use crate::figure::axis::Scale;
use crate::figure::ink::Ink;
use crate::figure::measure;
use crate::figure::scene::{Point, Scene, Side, Words};

impl Chart {
    /// Its heading in lines, where it has room for them.
    pub(super) fn heading(&self, room: f64) -> Vec<String> {
        match self.held {
            true => measure::lines(&self.y.title(), LARGE, true, room),
            false => vec![measure::cut(&self.y.title(), LARGE, true, room)],
        }
    }

    /// Height of the heading in a chart of this width, px.
    pub fn head(&self, width: f64) -> f64 {
        let more = self.heading(width - 10.0).len().saturating_sub(1);
        let listed = match self.listed(width) {
            true => self
                .series
                .iter()
                .filter(|one| !one.name.is_empty())
                .count(),
            false => 0,
        };
        HEAD + 1.2 * LARGE * more as f64 + KEY * listed as f64
    }

    /// Width of the longest name, px.
    pub(super) fn longest(&self) -> f64 {
        let names = self.series.iter();
        let widths = names.map(|series| measure::width(&series.name, SMALL, true));
        widths.fold(0.0, f64::max)
    }

    /// Whether the lines' names stand in a list over the chart, having no room at their ends.
    pub(super) fn listed(&self, width: f64) -> bool {
        self.held && self.longest() > 0.36 * width
    }

    /// The names with a piece of line each.
    pub(super) fn list(&self, scene: &mut Scene, [left, bottom]: Point) {
        let named: Vec<&Series> = (self.series.iter())
            .filter(|series| !series.name.is_empty())
            .collect();
        for (k, series) in named.iter().enumerate() {
            let y = bottom - KEY * (named.len() - k) as f64 + 2.0;
            let ends = [[left + 4.0, y], [left + 28.0, y]];
            if series.dots > 0.0 {
                scene.dot([left + 16.0, y], series.dots, series.ink);
            }
            if series.width > 0.0 {
                scene.line(ends.to_vec(), series.ink, series.width);
            }
            let words = Words::new(&series.name, [left + 34.0, y], SMALL, letters(series.ink));
            scene.words(words.bold());
        }
    }

    /// Names at the lines' ends, pushed apart where lines end together.
    pub(super) fn name_lines(&self, scene: &mut Scene, (_, y): (&Scale, &Scale), frame: [f64; 4]) {
        let [_, top, right, bottom] = frame;
        let last = |series: &Series| {
            let points = series.points.iter().rev();
            points.map(|p| p[1]).find(|y| y.is_finite())
        };
        let mut ends: Vec<_> = (self.series.iter())
            .filter(|series| !series.name.is_empty())
            .filter_map(|series| Some((y.at(last(series)?), series)))
            .collect();
        ends.sort_by(|a, b| a.0.total_cmp(&b.0));
        let apart = SMALL * 1.12;
        let most = bottom - top;
        let room = apart * ends.len().saturating_sub(1) as f64;
        let mut next = top;
        for (i, (at, series)) in ends.iter().enumerate() {
            let below = apart * (ends.len() - 1 - i) as f64;
            let latest = if room <= most {
                bottom - below
            } else {
                f64::INFINITY
            };
            let at = at.max(next).min(latest);
            let words = Words::new(&series.name, [right + 6.0, at], SMALL, letters(series.ink));
            scene.words(words.bold());
            next = at + apart;
        }
    }
}

/// A ghost's name must be readable.
fn letters(ink: Ink) -> Ink {
    match ink {
        Ink::Sound | Ink::Hair | Ink::Band => Ink::Quiet,
        other => other,
    }
}

pub(super) fn name_rule(
    scene: &mut Scene,
    rule: &Rule,
    (x, y): (&Scale, &Scale),
    frame: [f64; 4],
    letters: f64,
) {
    let [left, top, right, bottom] = frame;
    let words = |text: &String, at, side| Words::new(text, at, letters, Ink::Text).side(side);
    let half = 0.62 * SMALL;
    match rule {
        Rule::Level(value, text) if y.holds(*value) => {
            let at = y.at(*value);
            let places = [at - half, at + half].into_iter().flat_map(|at| {
                let first = words(text, [left + 4.0, at], Side::Right);
                [first, words(text, [right - 4.0, at], Side::Left)]
            });
            scene.words_on_paper(places.collect::<Vec<_>>());
        }
        Rule::From(value, text) if x.holds(*value) => {
            let at = x.at(*value);
            let lines = ((bottom - top) / (2.0 * half)) as usize;
            let places = (0..lines).flat_map(|line| {
                let height = top + half + 2.0 * half * line as f64;
                let first = words(text, [at + 4.0, height], Side::Right);
                [first, words(text, [at - 4.0, height], Side::Left)]
            });
            let within = places.filter(|words| {
                let [from, _, to, _] = words.bounds();
                from >= left && to <= right
            });
            scene.words_on_paper(within.collect::<Vec<_>>());
        }
        _ => {}
    }
}

pub(super) fn name_band(scene: &mut Scene, band: &Band, (x, y): (&Scale, &Scale), letters: f64) {
    let widest = (band.points.iter())
        .filter(|p| p.iter().all(|v| v.is_finite()))
        .max_by(|a, b| (a[2] - a[1]).total_cmp(&(b[2] - b[1])));
    if let Some([at, low, high]) = widest {
        let places = [0.5, 0.8, 0.2].into_iter().flat_map(|share| {
            let height = y.at(low + share * (high - low));
            [Side::Middle, Side::Right, Side::Left].map(|side| {
                Words::new(&band.name, [x.at(*at), height], letters, Ink::Quiet).side(side)
            })
        });
        scene.words_where_room(places.collect::<Vec<_>>());
    }
}
