//! Thresholds for people.

use crate::commands::threshold::Found;
use crate::commands::threshold::form::{down, tolerated, verdict};
use crate::figure::bars::{Bar, bars};
use crate::figure::hole::{MM, ruler};
use crate::figure::ink::Ink;
use crate::figure::measure::width;
use crate::figure::scene::{Scene, Side, Words};
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section};
use crate::say::threshold as say;
use crate::text::number::number;
use crate::text::words::sentence;
use sim::network::{Defect, Leak};
use sim::study::asking::threshold::{HOLES, Outcome, Thresholds};

/// Largest hole drawn, mm.
const DRAWN: f64 = 20.0;

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
    let pictures = all.symptoms.iter().enumerate().map(|(i, symptom)| {
        let name = format!("threshold-{}", i + 1);
        let picture = Picture::new(name, say::TRUE_SCALE, holes(all, i));
        Section::new(&symptom.text, vec![Block::Picture(picture)])
    });
    let mut blocks = table(all).to_vec();
    let letters = all.points.iter();
    let letters = letters.map(|point| format!("{} {point}", letter(all, point)));
    let letters = letters.collect::<Vec<_>>().join(", ");
    blocks.push(Block::Words(say::first_at(letters)));
    let mut outcomes = all.rows.iter().flat_map(|(_, found)| &found.outcomes);
    if outcomes.any(|outcome| matches!(outcome, Outcome::Sound(_))) {
        blocks.push(Block::Words(say::SOUND_TOO.into()));
    }
    let stopped = all.rows.iter();
    let stopped = stopped.flat_map(|(worst, found)| stops(&name(worst), found));
    blocks.extend(Block::list(stopped));
    let table = Section::new("All of them", blocks);
    Page {
        title: say::title(&all.car),
        lead: vec![say::ABOUT.into()],
        sections: pictures.chain([table]).collect(),
        notes: vec![CAUTION.into()],
    }
}

/// A bar and a true hole for each place.
fn holes(all: &Found, symptom: usize) -> Scene {
    const WIDTH: f64 = 640.0;
    let names = all.rows.iter().map(|(worst, _)| name(worst));
    let longest = names.map(|name| width(&name, 12.0, false));
    let left = longest.fold(0.0, f64::max) + 14.0;
    // Room for a bar's words, and for a hole at the end.
    let longest_bar = WIDTH - 170.0 - left;
    let row = |found: &Thresholds| match &found.outcomes[symptom] {
        Outcome::From { size, .. } => (size * 1e3 * MM + 8.0).max(22.0),
        _ => 22.0,
    };
    let height: f64 = all.rows.iter().map(|(_, found)| row(found)).sum();
    let mut scene = Scene::new(WIDTH, height + 34.0);
    scene.true_scale = true;
    let mut top = 6.0;
    for (i, (worst, found)) in all.rows.iter().enumerate() {
        let tall = row(found);
        let y = top + tall / 2.0;
        let name = name(worst);
        scene.words(Words::new(name, [left - 10.0, y], 12.0, Ink::Text).side(Side::Left));
        let quiet = |words: &str| Words::new(words, [left, y], 12.0, Ink::Quiet);
        match &found.outcomes[symptom] {
            Outcome::From { size, point } => {
                let size = size * 1e3;
                let json = format!("/rows/{i}/thresholds/{symptom}/size_mm");
                let long = size / DRAWN * longest_bar;
                scene.number(&json, size, |scene| {
                    scene.rectangle([left, y - 5.0, left + long.max(1.0), y + 5.0], Ink::Faulty);
                    let said = format!("{} mm, {point}", mm(size));
                    scene.words(Words::new(said, [left + long + 8.0, y], 12.0, Ink::Text));
                    scene.dot([WIDTH - 50.0, y], size * MM / 2.0, Ink::Leak);
                });
            }
            Outcome::Sound(_) => scene.words(quiet(say::SOUND_SHOWS)),
            Outcome::Never => scene.words(quiet(say::NOT_UP_TO_20)),
        }
        top += tall;
    }
    ruler(&mut scene, [WIDTH - 50.0 + 5.0 * MM, top + 12.0]);
    scene
}

/// The letter of a point in the table.
fn letter(all: &Found, point: &str) -> char {
    let index = all.points.iter().position(|name| name == point);
    char::from(b'a' + index.unwrap_or(0).min(25) as u8)
}

/// The table; on a terminal the symptoms stand under it, for they are long.
fn table(all: &Found) -> [Block; 3] {
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
    let under = |heads: Vec<Column>| {
        let head = [Column::words("place")].into_iter().chain(heads);
        Block::table(say::holes(HOLES.1 * 1e3), head, rows.clone())
    };
    let symptoms = || all.symptoms.iter().map(|symptom| symptom.text.as_str());
    let keys = (1..=all.symptoms.len()).map(|i| format!("({i})"));
    let legend = keys.clone().zip(symptoms());
    let legend = legend.map(|(key, symptom)| format!("{key} {symptom}"));
    let legend = legend.collect::<Vec<_>>().join(", ");
    [
        under(symptoms().map(|text| Column::numbers(text, "mm")).collect()).on_page(),
        under(keys.map(|key| Column::numbers(key, "")).collect()).on_terminal(),
        Block::Words(legend).on_terminal(),
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
            name: all.symptoms[i].text.clone(),
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
            row(&symptom.text, Some(*size), &json, point)
        }
        Outcome::Sound(point) => row(&symptom.text, None, "", &say::sound_shows_at(point)),
        Outcome::Never => row(
            &symptom.text,
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
