//! The map for people.

use crate::commands::branches::{AtPoint, BranchesFile, Steady};
use crate::figure::axis::Axis;
use crate::figure::chart::{Chart, Rule, Series};
use crate::figure::ink::Ink;
use crate::page::{Block, CAUTION, Page, Picture, Section, Table};
use crate::say::branches as say;
use crate::text::number::{digits, slug};

/// Lambda, or torque in N m, from which two answers are two for people.
const APART: (f64, f64) = (0.002, 0.5);

pub(super) fn page(data: &BranchesFile) -> Page {
    let first = most_telling(data);
    let mut order: Vec<usize> = (0..data.points.len()).collect();
    order.sort_by_key(|i| *i != first);
    let mut sections = Vec::new();
    for i in order.iter().copied() {
        let part = section(data, i);
        sections.push(match i == first {
            true => part,
            false => part.folded(true).off_paper(true),
        });
        if i == first {
            sections.extend(others(data, &order[1..]));
        }
    }
    sections.extend(order.iter().flat_map(|i| curves(data, *i)));
    Page {
        title: say::title(&data.scenario),
        lead: vec![say::ABOUT.into(), say::sizes_in(&data.size_unit).into()],
        sections,
        notes: vec![say::LIMITS.into(), CAUTION.into()],
        ..Page::default()
    }
}

/// The point that is shown first: with more than one state, then where histories differ or the
/// engine swings, else the first.
fn most_telling(data: &BranchesFile) -> usize {
    let rank = |point: &AtPoint| match doubled(point) {
        Some(_) => 0,
        None if differs(point) => 1,
        None if !point.swings.is_empty() => 2,
        None => 3,
    };
    let points = data.points.iter().enumerate();
    points
        .min_by_key(|(_, point)| rank(point))
        .map_or(0, |(i, _)| i)
}

/// A size with its unit.
fn sized(data: &BranchesFile, at: f64) -> String {
    format!("{} {}", digits(at, 3), data.size_unit)
}

/// What holds of a point, in a sentence.
fn says(data: &BranchesFile, point: &AtPoint) -> String {
    let size = |at: f64| sized(data, at);
    let sizes = point.curves.iter().flatten().map(|here| here.size);
    let most = size(sizes.fold(0.0, f64::max));
    match doubled(point) {
        Some((from, to)) => say::several(&point.name, size(from), size(to)),
        None if differs(point) => say::learnt(&point.name, most),
        None => say::one(&point.name, most),
    }
}

fn swings(data: &BranchesFile, point: &AtPoint) -> Vec<Block> {
    let all = point.swings.iter().map(|range| {
        let ends = [range.from_size, range.to_size].map(|at| sized(data, at));
        Block::Caution(say::swings(&point.name, &ends[0], &ends[1]))
    });
    all.collect()
}

/// The other points in a sentence each.
fn others(data: &BranchesFile, order: &[usize]) -> Option<Section> {
    let mut said = Vec::new();
    let mut beware = Vec::new();
    for point in order.iter().map(|i| &data.points[*i]) {
        said.push(says(data, point));
        beware.extend(swings(data, point));
    }
    let said = Block::list(said)?;
    Some(Section::new(
        say::OTHERS,
        [said].into_iter().chain(beware).collect(),
    ))
}

fn section(data: &BranchesFile, index: usize) -> Section {
    let point = &data.points[index];
    let drawn = drawn(point);
    let json = |what: &str| format!("/points/{index}/{what}");
    let mut blocks = vec![Block::Says(says(data, point))];
    blocks.extend(swings(data, point));
    blocks.push(Block::Picture(Picture::new(
        slug(&format!("branches {}", point.name)),
        say::over_size(drawn.label),
        chart(data, point, drawn).scene(640.0, 300.0),
    )));
    if !point.jumps.is_empty() {
        let jumps = Table::of(say::JUMPS, &json("jumps"), &point.jumps, &[]);
        blocks.push(Block::Table(jumps));
    }
    let came = Table::of(say::HISTORIES, &json("histories"), &point.histories, &[]);
    blocks.push(Block::Table(came));
    Section::new(&point.name, blocks)
}

/// Every number of a point's curves: looked up on a screen, never on paper.
fn curves(data: &BranchesFile, index: usize) -> Option<Section> {
    let point = &data.points[index];
    let tables = point.curves.iter().enumerate().map(|(i, curve)| {
        let at = format!("/points/{index}/curves/{i}");
        Block::Table(Table::of(say::CURVES, &at, curve, &[])).on_page()
    });
    let tables: Vec<Block> = tables.collect();
    let part = || Section::new(say::curves_at(&point.name), tables);
    (!point.curves.is_empty()).then(|| part().folded(true).off_paper(true))
}

/// What the picture shows: name, unit, the value, and how much of it is much.
#[derive(Clone, Copy)]
struct Drawn {
    label: &'static str,
    unit: &'static str,
    value: fn(&Steady) -> Option<f64>,
    much: f64,
}

const DRAWN: [Drawn; 3] = [
    Drawn {
        label: "lambda",
        unit: "",
        value: |here| here.lambda,
        much: 0.01,
    },
    Drawn {
        label: "engine speed",
        unit: "rpm",
        value: |here| here.engine_speed_rpm,
        much: 10.0,
    },
    Drawn {
        label: "torque",
        unit: "N m",
        value: |here| here.torque_nm,
        much: 1.0,
    },
];

/// What moves most over the curves of a point.
fn drawn(point: &AtPoint) -> Drawn {
    let moves = |drawn: &Drawn| {
        let values = point.curves.iter().flatten().filter_map(drawn.value);
        let ends = values.fold((f64::INFINITY, f64::NEG_INFINITY), |ends, value| {
            (ends.0.min(value), ends.1.max(value))
        });
        (ends.1 - ends.0).max(0.0) / drawn.much
    };
    let most = |a: Drawn, b: Drawn| if moves(&b) > moves(&a) { b } else { a };
    DRAWN.into_iter().fold(DRAWN[0], most)
}

fn chart(data: &BranchesFile, point: &AtPoint, drawn: Drawn) -> Chart {
    let axis = Axis::new(drawn.label, drawn.unit);
    let mut chart = Chart::new(Axis::new("size", &data.size_unit), axis);
    for curve in &point.curves {
        let mut from = 0;
        while from < curve.len() {
            let stays = curve[from].stays == "yes";
            let run = curve[from..]
                .iter()
                .take_while(|h| (h.stays == "yes") == stays);
            let to = from + run.count();
            // One more, so that the line goes on.
            let line = curve[from..(to + 1).min(curve.len())].iter();
            let line = line
                .map(|here| [here.size, (drawn.value)(here).unwrap_or(f64::NAN)])
                .collect();
            let (ink, width) = if stays {
                (Ink::Faulty, 3.0)
            } else {
                (Ink::Quiet, 1.0)
            };
            chart.series.push(Series::new("", ink, width, line));
            from = to;
        }
    }
    let jumps = point.jumps.iter();
    chart.rules.extend(jumps.map(|jump| match jump.way {
        "growing" => Rule::From(jump.size, say::JUMPS_GROWING.into()),
        _ => Rule::From(jump.size, say::JUMPS_MENDED.into()),
    }));
    chart
}

/// The sizes between which an engine can stay in more than one state.
fn doubled(point: &AtPoint) -> Option<(f64, f64)> {
    let stays = |here: &&Steady| here.stays == "yes";
    let runs = point.curves.iter().flat_map(|curve| {
        let pairs = curve
            .windows(2)
            .filter(|pair| stays(&&pair[0]) && stays(&&pair[1]));
        pairs.map(|pair| (&pair[0], &pair[1]))
    });
    let runs: Vec<_> = runs.collect();
    let mut found: Option<(f64, f64)> = None;
    for here in point.curves.iter().flatten().filter(stays) {
        let other = runs.iter().any(|(a, b)| {
            let (low, high) = (a.size.min(b.size), a.size.max(b.size));
            let within = low < here.size && here.size < high;
            let apart = |of: fn(&Steady) -> Option<f64>, least: f64| {
                let [a, b, here] = [a, b, &here].map(|at| of(at).unwrap_or(f64::NAN));
                here < a.min(b) - least || here > a.max(b) + least
            };
            within && (apart(|h| h.lambda, APART.0) || apart(|h| h.torque_nm, APART.1))
        });
        if other {
            let (low, high) = found.unwrap_or((here.size, here.size));
            found = Some((low.min(here.size), high.max(here.size)));
        }
    }
    found
}

/// Whether histories differ at one of the sizes.
fn differs(point: &AtPoint) -> bool {
    point.histories.chunks(3).any(|of_size| {
        let first = &of_size[0];
        of_size.iter().any(|other| {
            let apart = |a: Option<f64>, b: Option<f64>, least: f64| match (a, b) {
                (Some(a), Some(b)) => (a - b).abs() > least,
                (a, b) => a.is_some() != b.is_some(),
            };
            apart(first.lambda, other.lambda, APART.0)
                || apart(first.torque_nm, other.torque_nm, APART.1)
        })
    })
}
