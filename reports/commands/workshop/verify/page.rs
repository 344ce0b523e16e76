//! The page of a repair: before and after.

use crate::commands::workshop::before::Sheet;
use crate::commands::workshop::verify::shift::{Shift, shifts};
use crate::commands::workshop::verify::{File, Line, Side};
use crate::page::{Block, Cell, Column, Page, Picture, Section, Table};
use crate::text::number::number;
use crate::text::words::sentence;

/// The page.
pub(super) fn page(file: &File) -> Page {
    let side = |heading: &str, key: &str, side: &Side| Section {
        heading: format!("{heading}: {}", side.size.words),
        blocks: vec![Block::Table(table(key, side))],
    };
    let left = vec![
        Block::Words(file.left.clone()),
        Block::Words(format!("Rest: {}", file.rest)),
    ];
    let sheet = Sheet {
        title: "Before and after a repair",
        car: Some(&file.vehicle),
        says: &file.says,
        blocks: vec![Block::List(head(file)), Block::Picture(picture(file))],
        sections: vec![
            side("Before", "before", &file.before),
            side("After", "after", &file.after),
            Section {
                heading: "What is left".into(),
                blocks: left,
            },
        ],
        in_car: file.in_car.as_ref(),
        dangers: &[],
        warnings: &file.warnings,
        cautions: &file.cautions,
    };
    sheet.page()
}

fn head(file: &File) -> Vec<String> {
    let head = &file.head;
    let lines = [
        ("Car", &head.car),
        ("Date", &head.date),
        ("Work done", &head.work),
        ("Fault", &file.fault),
    ];
    let lines = lines.into_iter().filter(|(_, words)| !words.is_empty());
    lines
        .map(|(label, words)| format!("{label}: {}", sentence(words)))
        .collect()
}

/// Before and after, each reading from the sound car.
pub(in crate::commands::workshop) fn picture(file: &File) -> Picture {
    let both = [
        ("before", &file.before.readings),
        ("after", &file.after.readings),
    ];
    let mut all: Vec<(&str, Shift)> = Vec::new();
    for (key, readings) in both {
        for (i, line) in readings.iter().enumerate() {
            let dot = line.sound.map(|sound| {
                let distance = (line.read - sound) / line.doubt;
                (distance, line.read, format!("/{key}/readings/{i}/read"))
            });
            let read = number(line.read, line.decimals);
            let earlier = all.iter_mut().find(|(what, shift)| {
                key == "after" && *what == line.what && shift.after.is_none()
            });
            match earlier {
                Some((_, shift)) => {
                    shift.after = dot;
                    shift.said = said(&shift.said, &read, line);
                }
                None => all.push((&line.what, alone(key, line, dot))),
            }
        }
    }
    let all: Vec<Shift> = all.into_iter().map(|(_, shift)| shift).collect();
    Picture {
        name: "before-and-after".into(),
        caption: "Each reading before and after the repair, as far from the model's sound car as \
                  its doubt is long; within the band nine of ten readings of a sound car would lie."
            .into(),
        scene: shifts(&all, 460.0),
    }
}

/// `15.6 → 1.6 %`.
fn said(before: &str, after: &str, line: &Line) -> String {
    let before = before.trim_end_matches(line.unit).trim_end();
    format!("{before} \u{2192} {after} {}", line.unit)
}

fn alone(key: &str, line: &Line, dot: Option<(f64, f64, String)>) -> Shift {
    let (before, after) = match key {
        "before" => (dot, None),
        _ => (None, dot),
    };
    Shift {
        name: line.what.clone(),
        said: format!("{} {}", number(line.read, line.decimals), line.unit),
        before,
        after,
    }
}

fn table(key: &str, side: &Side) -> Table {
    let rows = side.readings.iter().enumerate().map(|(i, line)| {
        let cell = |value: f64, decimals: usize, part: &str| {
            Cell::number(value, decimals, format!("/{key}/readings/{i}/{part}"))
        };
        vec![
            Cell::words(&line.what),
            Cell::words(line.unit),
            cell(line.read, line.decimals, "read").strong(),
            cell(line.doubt, line.decimals.max(1), "doubt"),
            cell(line.fitted, line.decimals, "fitted"),
            cell(line.sound.unwrap_or(f64::NAN), line.decimals, "sound"),
            cell(line.off, 1, "off"),
        ]
    });
    Table {
        caption: "What was read, its doubt, and what the model gives with the size that fits and \
                  for a sound car; last, reading less fit in doubts."
            .into(),
        head: vec![
            Column::words("reading"),
            Column::words("unit"),
            Column::numbers("read", ""),
            Column::numbers("doubt", ""),
            Column::numbers("fitted", ""),
            Column::numbers("sound car", ""),
            Column::numbers("off", "doubts"),
        ],
        rows: rows.collect(),
    }
}
