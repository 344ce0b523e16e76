//! The page of `threshold`.

use crate::commands::threshold::Answers;
use crate::commands::threshold::form::{tolerated, verdict};
use crate::figure::bars::{Bar, bars};
use crate::figure::hole::{MM, ruler};
use crate::figure::ink::Ink;
use crate::figure::scene::{Scene, Side, Words};
use crate::page::{Block, CAUTION, Cell, Column, Page, Picture, Section, Table};
use crate::text::words::sentence;
use sim::network::{Defect, Leak};
use sim::study::asking::threshold::{Outcome, Thresholds};

/// Largest hole drawn, mm.
const DRAWN: f64 = 20.0;

fn name(worst: &Defect) -> String {
    worst.part().replace('_', " ")
}

/// The page.
pub fn page(answers: &Answers) -> Page {
    if let [(worst @ Defect::Leak(leak), found)] = answers.rows.as_slice() {
        return tolerance(answers, worst, leak, found);
    }
    let sections = answers.symptoms.iter().enumerate().map(|(i, symptom)| {
        let scene = holes(answers, i);
        let picture = Picture {
            name: format!("threshold-{}", i + 1),
            caption: "The smallest hole that shows it, place by place, to true scale: 10 mm on the ruler are \
                      10 mm on paper when printed at 100 %."
                .into(),
            scene,
        };
        Section {
            heading: symptom.text.clone(),
            blocks: vec![Block::Picture(picture)],
        }
    });
    let mut sections: Vec<Section> = sections.collect();
    sections.push(table(answers));
    Page {
        title: format!("From which size on a leak shows: {}", answers.car),
        lead: vec!["The leak grows while the car is driven: its trims have learnt it. `up`, `down` and `off` count from the sound car.".into()],
        sections,
        notes: vec![CAUTION.into()],
    }
}

/// A bar and a true hole for each place.
fn holes(answers: &Answers, symptom: usize) -> Scene {
    const WIDTH: f64 = 640.0;
    const LEFT: f64 = 170.0;
    let row = |found: &Thresholds| match &found.outcomes[symptom] {
        Outcome::From { size, .. } => (size * 1e3 * MM + 8.0).max(22.0),
        _ => 22.0,
    };
    let height: f64 = answers.rows.iter().map(|(_, found)| row(found)).sum();
    let mut scene = Scene::new(WIDTH, height + 34.0);
    scene.true_scale = true;
    let mut top = 6.0;
    for (i, (worst, found)) in answers.rows.iter().enumerate() {
        let tall = row(found);
        let y = top + tall / 2.0;
        scene.words(Words::new(name(worst), [LEFT - 10.0, y], 12.0, Ink::Text).side(Side::Left));
        match &found.outcomes[symptom] {
            Outcome::From { size, point } => {
                let mm = size * 1e3;
                let json = format!("/rows/{i}/thresholds/{symptom}/size_mm");
                let long = mm / DRAWN * 300.0;
                scene.number(&json, mm, |scene| {
                    scene.rectangle([LEFT, y - 5.0, LEFT + long.max(1.0), y + 5.0], Ink::Faulty);
                    let said = format!(
                        "{} mm, {point}",
                        crate::text::number::number(mm, if mm < 10.0 { 2 } else { 1 })
                    );
                    scene.words(Words::new(said, [LEFT + long + 8.0, y], 12.0, Ink::Text));
                    scene.dot([WIDTH - 50.0, y], mm * MM / 2.0, Ink::Leak);
                });
            }
            Outcome::Sound(_) => scene.words(Words::new(
                "the sound car shows it",
                [LEFT, y],
                12.0,
                Ink::Quiet,
            )),
            Outcome::Never => {
                scene.words(Words::new("not up to 20 mm", [LEFT, y], 12.0, Ink::Quiet))
            }
        }
        top += tall;
    }
    ruler(&mut scene, [WIDTH - 50.0 + 5.0 * MM, top + 12.0]);
    scene
}

fn table(answers: &Answers) -> Section {
    let mut head = vec![Column::words("place")];
    head.extend(
        answers
            .symptoms
            .iter()
            .map(|symptom| Column::numbers(&symptom.text, "mm")),
    );
    let rows = answers.rows.iter().enumerate().map(|(i, (worst, found))| {
        let mut row = vec![Cell::words(name(worst))];
        row.extend(
            found
                .outcomes
                .iter()
                .enumerate()
                .map(|(j, outcome)| match outcome {
                    Outcome::From { size, .. } => {
                        let mm = size * 1e3;
                        let decimals = if mm < 10.0 { 2 } else { 1 };
                        Cell::number(mm, decimals, format!("/rows/{i}/thresholds/{j}/size_mm"))
                    }
                    Outcome::Sound(_) => Cell::words("sound"),
                    Outcome::Never => Cell::words("\u{2013}"),
                }),
        );
        row
    });
    Section {
        heading: "All of them".into(),
        blocks: vec![Block::Table(Table {
            caption: "Smallest hole, mm; a dash where none up to 20 mm shows it.".into(),
            head,
            rows: rows.collect(),
        })],
    }
}

/// The page of how large a gap may be.
fn tolerance(answers: &Answers, worst: &Defect, leak: &Leak<f64>, found: &Thresholds) -> Page {
    let place = leak.place.word().replace('_', " ");
    let shape = leak.shape.name().replace('_', " ");
    let all = found.outcomes.iter().zip(&answers.symptoms).enumerate();
    let all = all.map(|(i, (outcome, symptom))| {
        let (value, said) = match outcome {
            Outcome::From { size, point } => {
                let mm = size * 1e3;
                (
                    mm,
                    format!("{} mm, {point}", crate::text::number::number(mm, 3)),
                )
            }
            Outcome::Sound(_) => (0.0, "the sound car shows it".into()),
            Outcome::Never => (0.0, "not up to the gap tried".into()),
        };
        let json = match outcome {
            Outcome::From { .. } => format!("/rows/0/thresholds/{i}/size_mm"),
            _ => String::new(),
        };
        Bar {
            name: symptom.text.clone(),
            value,
            said,
            json,
            interval: None,
            ink: Ink::Faulty,
        }
    });
    let all: Vec<Bar> = all.collect();
    let picture = Picture {
        name: "tolerance".into(),
        caption: "The smallest gap that shows each symptom, and where.".into(),
        scene: bars("gap, mm", &all, 460.0),
    };
    let mut blocks = vec![
        Block::Says(sentence(&verdict(worst, leak, found))),
        Block::Picture(picture),
    ];
    let stops = found.stops.iter();
    let stops = stops.map(|(point, size)| {
        format!(
            "No steady running at {point} from {} mm.",
            crate::text::number::number(size * 1e3, 2)
        )
    });
    let stops: Vec<String> = stops.collect();
    blocks.extend((!stops.is_empty()).then_some(Block::List(stops)));
    let sizes = found.outcomes.iter().zip(&answers.symptoms).enumerate();
    let rows = sizes.filter_map(|(i, (outcome, symptom))| {
        let Outcome::From { size, point } = outcome else {
            return None;
        };
        let mm = Cell::number(size * 1e3, 3, format!("/rows/0/thresholds/{i}/size_mm"));
        Some(vec![Cell::words(&symptom.text), mm, Cell::words(point)])
    });
    let mut rows: Vec<Vec<Cell>> = rows.collect();
    if let Some(size) = tolerated(worst, found) {
        let mm = Cell::number(size * 1e3, 3, "/rows/0/largest_without_symptom_mm").strong();
        // A limit is not rounded up.
        let mm = Cell {
            text: crate::text::number::number((size * 1e6).floor() / 1e3, 3),
            ..mm
        };
        rows.push(vec![
            Cell::words("largest that shows none of these"),
            mm,
            Cell::default(),
        ]);
    }
    let tried = Cell::number(worst.size() * 1e3, 3, "/rows/0/largest_tried_mm");
    rows.push(vec![
        Cell::words("largest that was tried"),
        tried,
        Cell::default(),
    ]);
    blocks.push(Block::Table(Table {
        caption: "From which gap on a symptom shows, for a gap as regular as stated.".into(),
        head: vec![
            Column::words("symptom"),
            Column::numbers("gap", "mm"),
            Column::words("first at"),
        ],
        rows,
    }));
    Page {
        title: format!("How large a gap may be: {}", answers.car),
        lead: vec![format!("A {shape} at the {place}.").into()],
        sections: vec![Section {
            heading: "Largest gap".into(),
            blocks,
        }],
        notes: vec![
            "Computed for a gap as regular as stated; the limits of whoever made the part come first."
                .into(),
            CAUTION.into(),
        ],
    }
}
