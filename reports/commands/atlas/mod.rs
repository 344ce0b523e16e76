//! `falseair atlas`: what a leak at every place does to one car, in one page.

use crate::answer::dangers::Danger;
use crate::answer::head;
use crate::answer::{Answer, Answers, Asked, SchemaOf, Trouble, schema};
use crate::figure::axis::Axis;
use crate::figure::bars::{Bar, bars};
use crate::figure::chart::{Chart, Rule, Series};
use crate::figure::ink::Ink;
use crate::input::case::car;
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section};
use crate::say::atlas as say;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::Reading;
use sim::network::readings::FORMS;
use sim::study::asking::atlas::{Book, FOLLOWED, Leaf, SHOWS, Start, deviations};
use sim::study::running::dangers::Hazard;
use sim::units::round;
use std::collections::BTreeMap;
use std::path::PathBuf;

pub(crate) const HELP: &str = "\
Example:
  falseair atlas scenarios/vehicles/brindle-16.toml --report atlas.html";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("atlas", schema::<Leaks>);

/// Options of `atlas`.
#[derive(Debug, clap::Args)]
pub struct Atlas {
    /// Vehicle file.
    pub vehicle: PathBuf,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// Answers `falseair atlas`.
///
/// # Errors
/// The vehicle file cannot be used, the healthy car does not run, the answer cannot be written.
pub fn atlas(options: &Atlas) -> Result<Answer, Trouble> {
    let car = car(&options.vehicle)?;
    let start = Start::new(&car);
    let start = start.map_err(|e| Trouble::Other(format!("the healthy car does not run: {e}")))?;
    let pages = start
        .places()
        .into_par_iter()
        .map(|place| start.leaf(place));
    let pages: Vec<Leaf> = pages.collect();
    let book = start.book(pages);
    options.asked.answer(&Leaks {
        vehicle: car.vehicle.name,
        book,
    })
}

/// What leaks do to one car.
struct Leaks {
    vehicle: String,
    book: Book,
}

/// What a hole at each place does.
#[derive(Serialize, JsonSchema)]
struct AtlasFile {
    conditions: Vec<String>,
    places: BTreeMap<&'static str, AtPlace>,
    sizes_mm: Vec<f64>,
    vehicle: String,
}

/// What a hole at one place does.
#[derive(Serialize, JsonSchema)]
struct AtPlace {
    dangers: Vec<DangerFrom>,
    codes: Vec<CodeFrom>,
    /// By condition and reading, one of each size.
    readings: BTreeMap<String, BTreeMap<&'static str, Vec<Option<f64>>>>,
    rule: String,
}

/// A code and the smallest of the sizes that sets it.
#[derive(Serialize, JsonSchema)]
struct CodeFrom {
    code: &'static str,
    condition: String,
    from_mm: f64,
}

/// A danger and the smallest of the sizes that brings it.
#[derive(Serialize, JsonSchema)]
struct DangerFrom {
    kind: &'static str,
    condition: String,
    from_mm: f64,
}

impl AtPlace {
    fn new(book: &Book, leaf: &Leaf) -> Self {
        let readings = book.conditions.iter().zip(&leaf.sides);
        let readings = readings.map(|(condition, sides)| {
            let columns = FOLLOWED.iter().map(|reading| {
                let sides = sides.iter().map(Option::as_ref);
                let values = sides.map(|side| side?.readings.get(*reading));
                (FORMS[*reading as usize].key, values.collect())
            });
            (condition.clone(), columns.collect())
        });
        let codes = leaf.codes.iter().map(|(c, code, size)| CodeFrom {
            code: code.word(),
            condition: book.conditions[*c].clone(),
            from_mm: size * 1e3,
        });
        let dangers = leaf.dangers.iter().map(|(c, danger, size)| DangerFrom {
            kind: danger.hazard.word(),
            condition: book.conditions[*c].clone(),
            from_mm: size * 1e3,
        });
        Self {
            dangers: dangers.collect(),
            codes: codes.collect(),
            readings: readings.collect(),
            rule: leaf.rule.clone(),
        }
    }
}

impl Answers for Leaks {
    type Data<'a> = AtlasFile;

    fn data(&self) -> AtlasFile {
        let book = &self.book;
        let places = book.pages.iter();
        AtlasFile {
            conditions: book.conditions.clone(),
            places: places
                .map(|leaf| (leaf.place.word(), AtPlace::new(book, leaf)))
                .collect(),
            sizes_mm: book.sizes.iter().map(|size| size * 1e3).collect(),
            vehicle: self.vehicle.clone(),
        }
    }

    fn dangers(&self) -> Vec<Danger> {
        let book = &self.book;
        let all = Hazard::all().filter_map(|hazard| {
            // Of each place the smallest hole, places of one size and condition together.
            let mut by: Vec<(f64, usize, Vec<String>)> = Vec::new();
            for leaf in &book.pages {
                let found = leaf.dangers.iter().filter(|(_, d, _)| d.hazard == hazard);
                let Some((c, _, size)) = found.min_by(|a, b| a.2.total_cmp(&b.2)) else {
                    continue;
                };
                match by.iter_mut().find(|(s, at, _)| (s, at) == (size, c)) {
                    Some((.., places)) => places.push(words(leaf)),
                    None => by.push((*size, *c, vec![words(leaf)])),
                }
            }
            by.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let by: Vec<String> = (by.into_iter())
                .map(|(size, c, places)| {
                    say::danger_from(places.join(", "), size * 1e3, &book.conditions[c])
                })
                .collect();
            (!by.is_empty()).then(|| Danger::brought(hazard, &by))
        });
        all.collect()
    }

    fn page(&self) -> Page {
        let book = &self.book;
        let leaves = book.pages.iter().map(|leaf| section(book, leaf));
        Page {
            title: say::title(&self.vehicle),
            lead: vec![say::ABOUT.into(), head::cruise()],
            sections: [overview(book)].into_iter().chain(leaves).collect(),
            notes: vec![say::shows(SHOWS), CAUTION.into()],
            ..Page::default()
        }
    }
}

fn words(leaf: &Leaf) -> String {
    leaf.place.label()
}

/// Index of the size that the overview is of.
fn glanced(book: &Book) -> usize {
    let sizes = &mut book.sizes.iter();
    sizes.position(|size| *size >= 3e-3).unwrap_or(0)
}

/// Readings of the overview.
const COLUMNS: [Reading; 7] = [
    Reading::FuelTrim,
    Reading::Lambda,
    Reading::MeteredAir,
    Reading::Boost,
    Reading::WastegateDuty,
    Reading::ShaftSpeed,
    Reading::Torque,
];

/// What of the overview's readings a hole of that size moves at a condition, each with arrows; none
/// where the engine stalls.
fn moved(book: &Book, leaf: &Leaf, c: usize) -> Option<Vec<String>> {
    let side = leaf.sides[c][glanced(book)].as_ref()?;
    let moved = COLUMNS.iter().filter_map(|reading| {
        let off = deviations(*reading, &book.sound[c], side)?;
        let strength = match off.abs() {
            size if size < SHOWS => return None,
            size if size < 3.0 * SHOWS => 1,
            size if size < 9.0 * SHOWS => 2,
            _ => 3,
        };
        let arrows = (if off > 0.0 { "\u{25b2}" } else { "\u{25bd}" }).repeat(strength);
        Some(format!("{} {arrows}", FORMS[*reading as usize].label))
    });
    Some(moved.collect())
}

/// Where a hole is seen and where not, and what it moves place by place.
fn overview(book: &Book) -> Section {
    let mm = book.sizes[glanced(book)] * 1e3;
    let conditions = || 0..book.conditions.len();
    let seen = |leaf: &&Leaf| {
        let mut moved = conditions().map(|c| moved(book, leaf, c));
        moved.any(|moved| moved.is_none_or(|moved| !moved.is_empty()))
    };
    let hidden: Vec<String> = (book.pages.iter())
        .filter(|leaf| !seen(leaf))
        .map(words)
        .collect();
    let all = book.pages.len();
    let mut blocks = vec![Block::Says(match hidden.is_empty() {
        true => say::seen_everywhere(mm, all),
        false => say::seen_at(mm, all - hidden.len(), all, hidden.join(", ")),
    })];
    blocks.push(Block::Picture(smallest(book)));
    let rows = book.pages.iter().map(|leaf| {
        let cells = conditions().map(|c| match moved(book, leaf, c) {
            None => say::STALLS.to_string(),
            Some(moved) if moved.is_empty() => "\u{2013}".into(),
            Some(moved) => moved.join(", "),
        });
        let cells = [words(leaf)].into_iter().chain(cells);
        cells.map(Cell::words).collect()
    });
    let mut head = vec![Column::words("place")];
    head.extend(book.conditions.iter().map(Column::words));
    blocks.push(Block::table(say::at_a_glance(mm), head, rows));
    Section::new("", blocks)
}

/// From which size on a gauge shows a hole at each place.
fn smallest(book: &Book) -> Picture {
    let largest = book.sizes.last().map_or(0.0, |size| 1e3 * size);
    let all = book.pages.iter().map(|leaf| {
        let shown = (0..book.conditions.len()).flat_map(|c| {
            let sizes = COLUMNS.iter().filter_map(move |r| book.shows(leaf, c, *r));
            sizes.map(move |size| (size, c))
        });
        let first = shown.min_by(|a, b| a.0.total_cmp(&b.0));
        let mm = first.map_or(0.0, |(size, _)| 1e3 * size);
        Bar {
            name: words(leaf),
            value: mm,
            said: match first {
                Some((_, c)) => say::hole(round(mm, 2), &book.conditions[c]),
                None => say::no_hole(round(largest, 2)),
            },
            json: String::new(),
            interval: None,
            ink: Ink::Faulty,
        }
    });
    let all: Vec<Bar> = all.collect();
    let scene = bars(say::SMALLEST, &all, 440.0);
    Picture::new("smallest-holes", say::SMALLEST_AT, scene)
}

fn section(book: &Book, leaf: &Leaf) -> Section {
    let telling = book.telling(leaf);
    let mut blocks = vec![Block::Says(leaf.rule.clone())];
    let codes = leaf.codes.iter();
    let codes = codes.map(|(c, code, size)| {
        let (condition, mm) = (&book.conditions[*c], size * 1e3);
        format!("{} at {condition} from {mm:.1} mm", code.word())
    });
    blocks.extend(Block::list(codes));
    if !telling.is_empty() {
        let row = telling.iter().map(|reading| {
            let form = &FORMS[*reading as usize];
            Picture::new(
                format!("{}-{}", leaf.place.word(), form.key).replace('_', "-"),
                say::AGAINST_THE_HOLE,
                chart(book, leaf, *reading).scene(340.0, 210.0),
            )
        });
        blocks.push(Block::Row(row.collect()));
    }
    let still = FOLLOWED.iter().filter(|reading| !telling.contains(reading));
    let still = still.map(|reading| FORMS[*reading as usize].label);
    let still: Vec<&str> = still.collect();
    if !still.is_empty() {
        blocks.push(Block::Words(say::not_seen(still.join(", "))).on_page());
    }
    Section::new(words(leaf), blocks)
        .folded(true)
        .off_paper(true)
}

const INKS: [(Ink, f64); 3] = [(Ink::Sound, 3.0), (Ink::Quiet, 1.75), (Ink::Faulty, 1.75)];

fn chart(book: &Book, leaf: &Leaf, reading: Reading) -> Chart {
    let form = &FORMS[reading as usize];
    let low = book.sizes.first().map_or(0.5, |size| size * 1e3);
    let high = book.sizes.last().map_or(10.0, |size| size * 1e3);
    let x = Axis::new("hole", "mm").over(low, high).log();
    let mut chart = Chart::new(x, Axis::new(form.label, form.unit));
    for (c, name) in book.conditions.iter().enumerate() {
        let points = leaf.sides[c].iter().zip(&book.sizes).map(|(side, size)| {
            let value = side.as_ref().and_then(|side| side.readings.get(reading));
            [size * 1e3, value.unwrap_or(f64::NAN)]
        });
        let points: Vec<[f64; 2]> = points.collect();
        if points.iter().all(|p| !p[1].is_finite()) {
            continue;
        }
        let (ink, width) = INKS[c % INKS.len()];
        let (place, key) = (leaf.place.word(), form.key);
        let json = format!("/places/{place}/readings/{name}/{key}/*");
        let series = Series::new(name, ink, width, points);
        chart.series.push(series.from_json("/sizes_mm/*", json));
    }
    let shown = (0..book.conditions.len()).filter_map(|c| book.shows(leaf, c, reading));
    let first = shown.fold(f64::INFINITY, f64::min);
    if first.is_finite() {
        let words = "gauge shows".into();
        chart.rules.push(Rule::From(first * 1e3, words));
    }
    let codes = leaf.codes.iter();
    let codes = codes.filter(|(_, code, _)| concerns(code.word(), reading));
    for (c, code, size) in codes.take(2) {
        let words = format!("{} at {}", code.word(), book.conditions[*c]);
        chart.rules.push(Rule::From(size * 1e3, words));
    }
    chart
}

/// Whether a code watches this reading, so that it is marked in its chart.
fn concerns(code: &str, reading: Reading) -> bool {
    match reading {
        Reading::FuelTrim => matches!(
            code,
            "P0171" | "P0172" | "P2187" | "P2188" | "P2177" | "P2178"
        ),
        Reading::Lambda => matches!(code, "P2191" | "P2192"),
        Reading::Boost => matches!(code, "P0234" | "P0299"),
        Reading::EngineSpeed => matches!(code, "P0506" | "P0507"),
        Reading::MeteredAir => matches!(code, "P0101" | "P2279"),
        Reading::Manifold => code == "P0106",
        _ => false,
    }
}
