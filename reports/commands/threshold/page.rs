//! Thresholds for people.

use crate::answer::head;
use crate::commands::threshold::Found;
use crate::commands::threshold::form::{down, tolerated, verdict};
use crate::figure::bars::{Bar, bars};
use crate::figure::hole::{LETTERS, MM, ruler};
use crate::figure::ink::Ink;
use crate::figure::measure::{lines, width};
use crate::figure::scene::{Scene, Words};
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section};
use crate::say::threshold as say;
use crate::text::number::number;
use crate::text::words::sentence;
use sim::network::{Defect, Leak};
use sim::study::asking::threshold::{HOLES, Outcome, Symptom, Thresholds};

/// Room for the ruler's name, px.
const RULER: f64 = 70.0;
/// Sizes within this ratio are said together.
const ALIKE: f64 = 1.05;

fn name(worst: &Defect) -> String {
    worst.label()
}

/// A hole, mm, as it is shown.
fn mm(size: f64) -> String {
    number(size, if size < 10.0 { 2 } else { 1 })
}

/// Where the engine stops running.
fn stops(place: &str, found: &Thresholds) -> Vec<String> {
    let said = found.stops.iter();
    said.map(|(point, size)| say::no_running(place, point, mm(size * 1e3)))
        .collect()
}

/// Place by symptom.
pub(super) fn page(all: &Found) -> Page {
    let mut blocks = vec![Block::Says(says(all))];
    let picture = Picture::new("threshold", say::TRUE_SCALE, holes(all));
    blocks.push(Block::Picture(picture));
    let stopped = all.rows.iter();
    let stopped = stopped.flat_map(|(worst, found)| stops(&name(worst), found));
    blocks.extend(Block::list(stopped));
    let mut outcomes = all.rows.iter().flat_map(|(_, found)| &found.outcomes);
    let sound = outcomes.any(|outcome| matches!(outcome, Outcome::Sound(_)));
    let letters = all.points.iter();
    let letters = letters.map(|point| format!("{} {point}", letter(all, point)));
    let letters = letters.collect::<Vec<_>>().join(", ");
    let letters = say::first_at(letters);
    let mut each = table(all, &letters).to_vec();
    each.push(Block::Words(letters).on_page());
    each.extend(sound.then(|| Block::Words(say::SOUND_TOO.into())));
    Page {
        title: say::title(&all.car),
        lead: vec![say::ABOUT.into(), head::cruise()],
        sections: vec![
            Section::new("", blocks),
            Section::new("By what it shows", each),
        ],
        notes: vec![CAUTION.into()],
        ..Page::default()
    }
}

/// Where a place's hole shows first: index of the symptom, size, point.
fn first(found: &Thresholds) -> Option<(usize, f64, &str)> {
    let shown = found.outcomes.iter().enumerate();
    let shown = shown.filter_map(|(i, outcome)| match outcome {
        Outcome::From { size, point } => Some((i, *size, point.as_str())),
        _ => None,
    });
    shown.min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)))
}

/// Rows, the smallest hole first; those that show nothing last.
fn ranked(all: &Found) -> Vec<usize> {
    let size = |i: &usize| first(&all.rows[*i].1).map_or(f64::INFINITY, |(_, size, _)| size);
    let mut rows: Vec<usize> = (0..all.rows.len()).collect();
    rows.sort_by(|a, b| size(a).total_cmp(&size(b)).then(a.cmp(b)));
    rows
}

/// The smallest hole that shows, where and by what; and where none does.
fn says(all: &Found) -> String {
    let most = HOLES.1 * 1e3;
    let rows = ranked(all);
    let hidden = rows.iter().filter(|i| first(&all.rows[**i].1).is_none());
    let hidden: Vec<String> = hidden.map(|i| name(&all.rows[*i].0)).collect();
    let least = rows.first().and_then(|i| first(&all.rows[*i].1));
    let Some((symptom, size, point)) = least else {
        return say::shows_nowhere(most);
    };
    let alike = |i: &&usize| {
        let found = first(&all.rows[**i].1);
        found
            .is_some_and(|(other, next, at)| (other, at) == (symptom, point) && next < ALIKE * size)
    };
    let places = rows.iter().filter(alike).map(|i| name(&all.rows[*i].0));
    let places = places.collect::<Vec<_>>().join(", ");
    let by = all.symptoms[symptom].words();
    let said = say::shows_first(mm(size * 1e3), places, by, point);
    match hidden.is_empty() {
        true => said,
        false => format!("{said} {}", say::hidden(most, hidden.join(", "))),
    }
}

/// A true hole for each place: the smallest that shows in anything watched.
fn holes(all: &Found) -> Scene {
    let [wide, held] = LETTERS.map(|letters| holes_with(all, letters));
    wide.with_held(held)
}

fn holes_with(all: &Found, letters: f64) -> Scene {
    const GAP: f64 = 10.0;
    let line_px = 1.25 * letters;
    // What a screen of 360 px leaves between its margins, and least room for words.
    const PHONE: f64 = 330.0;
    const NARROW: f64 = 150.0;
    let rows = ranked(all);
    let widest = |words: &mut dyn Iterator<Item = String>, bold| {
        let widths = words.map(|words| width(&words, letters, bold));
        widths.fold(0.0, f64::max)
    };
    let said = |i: usize| match first(&all.rows[i].1) {
        Some((symptom, _, point)) => format!("{}, {point}", all.symptoms[symptom].words()),
        None => say::NOT_UP_TO_20.into(),
    };
    let across = |i: usize| first(&all.rows[i].1).map_or(0.0, |(_, size, _)| size * 1e3);
    let largest = rows.iter().map(|i| across(*i)).fold(10.0, f64::max);
    // Holes, then name over words, in lines that a phone has room for.
    let middle = 2.0 + largest * MM / 2.0;
    let left = middle + largest * MM / 2.0 + GAP;
    let room = (PHONE - left - GAP).max(NARROW);
    let told = |i: usize| lines(&said(i), letters, false, room);
    let headed = |i: usize| match first(&all.rows[i].1) {
        Some((_, size, _)) => format!("{} mm: {}", mm(size * 1e3), name(&all.rows[i].0)),
        None => name(&all.rows[i].0),
    };
    let named = |i: usize| lines(&headed(i), letters, true, room);
    let words = widest(&mut rows.iter().flat_map(|i| told(*i)), false);
    let words = words.max(widest(&mut rows.iter().flat_map(|i| named(*i)), true));
    let count = |i: usize| (told(i).len() + named(i).len()) as f64;
    let tall = |i: usize| (across(i) * MM + 4.0).max(line_px * count(i) + 4.0);
    let height: f64 = rows.iter().map(|i| tall(*i)).sum();
    let mut scene = Scene::new(left + words + GAP, height + 30.0);
    scene.true_scale = true;
    let mut top = 4.0;
    for i in rows {
        let y = top + tall(i) / 2.0;
        let first_line = y - line_px * (count(i) - 1.0) / 2.0;
        let line = |text: String, k: usize, ink| {
            Words::new(text, [left, first_line + line_px * k as f64], letters, ink)
        };
        let heads = named(i).len();
        for (k, text) in named(i).into_iter().enumerate() {
            scene.words(line(text, k, Ink::Text).bold());
        }
        match first(&all.rows[i].1) {
            Some((symptom, size, _)) => {
                let size = size * 1e3;
                let json = format!("/rows/{i}/thresholds/{symptom}/size_mm");
                scene.number(&json, size, |scene| {
                    scene.dot([middle, y], size * MM / 2.0, Ink::Leak);
                    for (k, text) in told(i).into_iter().enumerate() {
                        scene.words(line(text, heads + k, Ink::Text));
                    }
                });
            }
            None => {
                for (k, text) in told(i).into_iter().enumerate() {
                    scene.words(line(text, heads + k, Ink::Quiet));
                }
            }
        }
        top += tall(i);
    }
    ruler(&mut scene, [RULER + 10.0 * MM, top + 14.0], letters);
    scene
}

/// The letter of a point in the table.
fn letter(all: &Found, point: &str) -> char {
    let index = all.points.iter().position(|name| name == point);
    char::from(b'a' + index.unwrap_or(0).min(25) as u8)
}

/// The table; on a terminal the symptoms stand above it, for they are long, and what the letters are.
fn table(all: &Found, letters: &str) -> [Block; 2] {
    let cell = |i: usize, j: usize, outcome: &Outcome| match outcome {
        Outcome::From { size, point } => {
            let size = size * 1e3;
            Cell {
                text: format!("{} {}", mm(size), letter(all, point)),
                ..Cell::number(size, 2, format!("/rows/{i}/thresholds/{j}/size_mm"))
            }
        }
        Outcome::Sound(_) => Cell::words("healthy too"),
        Outcome::Never => Cell::words("\u{2013}"),
    };
    let row = |(i, (worst, found)): (usize, &(Defect, Thresholds))| {
        let cells = found.outcomes.iter().enumerate();
        let cells = cells.map(|(j, outcome)| cell(i, j, outcome));
        let name = Cell::words(name(worst));
        [name].into_iter().chain(cells).collect()
    };
    let rows: Vec<Vec<Cell>> = all.rows.iter().enumerate().map(row).collect();
    let under = |heads: Vec<Column>, caption: String| {
        let head = [Column::words("place")].into_iter().chain(heads);
        Block::table(caption, head, rows.clone())
    };
    let caption = say::holes(HOLES.1 * 1e3);
    let symptoms = || all.symptoms.iter().map(Symptom::words);
    let keys = (1..=all.symptoms.len()).map(|i| format!("({i})"));
    let legend = keys.clone().zip(symptoms());
    let legend = legend.map(|(key, symptom)| format!("{key} {symptom}"));
    let legend = legend.collect::<Vec<_>>().join(", ");
    [
        under(
            symptoms().map(|text| Column::numbers(text, "mm")).collect(),
            caption.clone(),
        )
        .on_page(),
        under(
            keys.map(|key| Column::numbers(key, "")).collect(),
            format!("{caption} {letters} {legend}."),
        )
        .on_terminal(),
    ]
}

/// How large a gap may be.
pub(super) fn tolerance(all: &Found, worst: &Defect, leak: &Leak<f64>, found: &Thresholds) -> Page {
    let (place, shape) = (leak.place.label(), leak.shape.name().replace('_', " "));
    let picture = Picture::new("tolerance", say::SMALLEST_GAPS, gaps(all, found));
    let blocks = [
        Block::Says(sentence(&verdict(worst, leak, found))),
        Block::Picture(picture),
        away(all, worst, found),
    ];
    let stops = Block::list(stops(&place, found));
    let blocks = blocks.into_iter().chain(stops).collect();
    Page {
        title: say::tolerance_title(&all.car),
        lead: vec![say::opening(shape, &place).into()],
        sections: vec![Section::new("Largest gap", blocks)],
        notes: vec![say::REGULAR.into(), CAUTION.into()],
        ..Page::default()
    }
}

/// A bar for each symptom.
fn gaps(all: &Found, found: &Thresholds) -> Scene {
    let bar = |(i, outcome): (usize, &Outcome)| {
        let (value, said, json) = match outcome {
            Outcome::From { size, point } => (
                size * 1e3,
                format!("{} mm, {point}", number(size * 1e3, 3)),
                format!("/rows/0/thresholds/{i}/size_mm"),
            ),
            Outcome::Sound(_) => (0.0, say::SOUND_SHOWS.into(), String::new()),
            Outcome::Never => (0.0, say::NOT_UP_TO_TRIED.into(), String::new()),
        };
        Bar {
            name: all.symptoms[i].words(),
            value,
            said,
            json,
            interval: None,
            ink: Ink::Faulty,
        }
    };
    let all: Vec<Bar> = found.outcomes.iter().enumerate().map(bar).collect();
    bars("gap, mm", &all, 460.0)
}

/// Up to which gap symptoms stay away.
fn away(all: &Found, worst: &Defect, found: &Thresholds) -> Block {
    let row = |name: &str, size: Option<f64>, json: &str, point: &str| {
        let cells = size.map(|size| {
            let [text, thou] = down(size);
            let mm = Cell::number(size * 1e3, 3, format!("/rows/0/{json}"));
            [Cell { text, ..mm }, Cell::words(thou)]
        });
        let [mm, thou] = cells.unwrap_or_else(|| ["\u{2013}"; 2].map(Cell::words));
        vec![Cell::words(name), mm, thou, Cell::words(point)]
    };
    let tried = worst.size();
    let symptoms = all.symptoms.iter().zip(&found.outcomes).enumerate();
    let rows = symptoms.map(|(i, (symptom, outcome))| match outcome {
        Outcome::From { size, point } => {
            let json = format!("thresholds/{i}/size_mm");
            row(&symptom.words(), Some(*size), &json, point)
        }
        Outcome::Sound(point) => row(&symptom.words(), None, "", &say::sound_shows_at(point)),
        Outcome::Never => row(
            &symptom.words(),
            Some(tried),
            "largest_tried_mm",
            say::ALL_TRIED,
        ),
    });
    let none = tolerated(worst, found);
    let ends = [
        none.map(|size| row(say::ALL_AWAY, Some(size), "largest_without_symptom_mm", "")),
        Some(row(say::LARGEST_TRIED, Some(tried), "largest_tried_mm", "")),
    ];
    let head = [
        Column::words("symptom"),
        Column::numbers("gap", "mm"),
        Column::numbers("gap", "thou"),
        Column::words("first at"),
    ];
    Block::table(
        say::STAYS_AWAY,
        head,
        rows.chain(ends.into_iter().flatten()),
    )
}
