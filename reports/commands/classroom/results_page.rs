//! The class's page: who answered what, what was seen, what went wrong, who reasoned where.

use super::marks::{Class, Row, Step};
use crate::page::{Block, Cell, Column, Page, Section, Table};
use crate::say::classroom as say;
use crate::text::number::number;
use sim::units::round;

/// What is not as it should be with an answer, a sentence; none where all is well.
pub(super) fn seen(row: &Row) -> Option<String> {
    let who = match row.name.is_empty() {
        true => row.number.to_string(),
        false => format!("{} ({})", row.number, row.name),
    };
    let file = row.file.clone().unwrap_or_default();
    match row.receipt {
        "holds" => None,
        "not noted" => Some(say::not_noted(who)),
        "edited" => Some(say::edited(who, file)),
        "second answer" => Some(say::second_answer(who, file)),
        "neighbour's" => Some(say::neighbours(who, file)),
        "other lesson" => Some(say::other_lesson(who, file)),
        _ => Some(say::nothing_handed_in(who)),
    }
}

pub(super) fn page(class: &Class) -> Page {
    let mut sections = vec![
        Section::new(
            say::CLASS_ANSWERS,
            vec![came_of(class), Block::Table(overview(class))],
        )
        .pinned(),
        Section::new(
            say::CLASS_SEEN,
            vec![match Block::list(class.seen.iter().cloned()) {
                Some(list) => list,
                None => Block::Words(say::ALL_HOLD.into()),
            }],
        )
        .pinned(),
    ];
    let errors = class.errors.iter();
    let errors = errors.map(|one| say::so_often(one.count, &one.what));
    let errors = Block::list(errors).unwrap_or(Block::Words(say::NO_ERRORS.into()));
    sections.push(Section::new(say::CLASS_ERRORS, vec![errors]));
    let each = class.trainees.iter().enumerate();
    let each = each.filter(|(_, row)| !row.steps.is_empty());
    sections.extend(each.map(|(i, row)| {
        let mut blocks = vec![Block::Table(path(row, i))];
        if !row.notes.trim().is_empty() {
            blocks.push(Block::Words(say::noted(row.notes.trim())));
        }
        Section::new(say::path_of(row.number, &row.name), blocks)
    }));
    Page {
        title: say::CLASS.into(),
        sections,
        notes: vec![say::CLASS_LIMITS.into(), say::POINTS.into()],
        ..Page::default()
    }
}

fn came_of(class: &Class) -> Block {
    let points: Vec<f64> = class.trainees.iter().filter_map(|row| row.points).collect();
    let mean = points.iter().sum::<f64>() / points.len().max(1) as f64;
    let all = class.trainees.len();
    Block::Says(say::came_of(
        &class.lesson,
        points.len(),
        all,
        number(mean, 1),
    ))
}

fn overview(class: &Class) -> Table {
    let rows = class.trainees.iter().enumerate().map(|(i, row)| {
        let at = |key: &str| format!("/trainees/{i}/{key}");
        let of_answer = |value: f64, decimals, key: &str| match row.file {
            Some(_) => Cell::number(value, decimals, at(key)),
            None => Cell::words(say::DASH),
        };
        let points = row
            .points
            .map(|points| Cell::number(points, 1, at("points")));
        vec![
            Cell::words(row.number.to_string()).strong(),
            Cell::words(&row.name),
            Cell::words(&row.said),
            Cell::words(&row.truth),
            Cell::words(&row.verdict),
            points.unwrap_or(Cell::words(say::DASH)),
            of_answer(row.minutes, 0, "minutes"),
            of_answer(row.attempts.into(), 0, "attempts"),
            Cell::words(row.receipt),
        ]
    });
    Table {
        caption: say::CLASS_CAPTION.into(),
        rows: rows.collect(),
        head: head(say::CLASS_HEAD),
    }
}

fn path(row: &Row, of: usize) -> Table {
    let rows = row
        .steps
        .iter()
        .enumerate()
        .map(|(i, step): (usize, &Step)| {
            let at = |key: &str| format!("/trainees/{of}/steps/{i}/{key}");
            let settles = step
                .settles_pct
                .map(|share| Cell::number(share, 0, at("settles_pct")));
            vec![
                Cell::words((i + 1).to_string()),
                Cell::words(&step.test),
                Cell::number(step.minutes, 0, at("minutes")),
                Cell::number(step.truth_before_pct, 0, at("truth_before_pct")),
                settles.unwrap_or(Cell::words(say::NEXT_TO_NOTHING)),
                Cell::words(&step.best),
            ]
        });
    Table {
        caption: say::path_caption(&row.verdict, round(row.seconds / 60.0, 2)),
        rows: rows.collect(),
        head: head(say::PATH_HEAD),
    }
}

/// Columns: `label`, or `label#unit` of numbers.
fn head(labels: &str) -> Vec<Column> {
    let columns = labels.split('|').map(|label| match label.split_once('#') {
        Some((label, unit)) => Column::numbers(label, unit),
        None => Column::words(label),
    });
    columns.collect()
}
