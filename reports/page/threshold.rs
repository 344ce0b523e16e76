//! The page of `threshold`.

use super::simulate::CAUTION;
use super::{Block, Cell, Column, Page, Picture, Section, Table};
use crate::figure::hole::{MM, ruler};
use crate::figure::ink::Ink;
use crate::figure::scene::{Scene, Side, Words};
use crate::threshold::Answers;
use sim::network::Leak;
use sim::study::threshold::{Outcome, Thresholds, Worsening};

/// Largest hole drawn, mm.
const DRAWN: f64 = 20.0;

fn name(worsening: &Worsening) -> String {
    match worsening {
        Worsening::Hole(place) | Worsening::Gap(Leak { place, .. }) => {
            place.word().replace('_', " ")
        }
        Worsening::Fault(ailment, _) => ailment.key().replace('_', " "),
    }
}

/// The page.
pub fn page(answers: &Answers) -> Page {
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
    for (i, (worsening, found)) in answers.rows.iter().enumerate() {
        let tall = row(found);
        let y = top + tall / 2.0;
        scene
            .words(Words::new(name(worsening), [LEFT - 10.0, y], 12.0, Ink::Text).side(Side::Left));
        match &found.outcomes[symptom] {
            Outcome::From { size, point } => {
                let mm = size * 1e3;
                let json = format!("/rows/{i}/thresholds/{symptom}/size_mm");
                let long = mm / DRAWN * 300.0;
                scene.number(&json, mm, |scene| {
                    scene.rectangle([LEFT, y - 5.0, LEFT + long.max(1.0), y + 5.0], Ink::Faulty);
                    let said = format!(
                        "{} mm, {point}",
                        super::number(mm, if mm < 10.0 { 2 } else { 1 })
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
    let rows = answers
        .rows
        .iter()
        .enumerate()
        .map(|(i, (worsening, found))| {
            let mut row = vec![Cell::words(name(worsening))];
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
