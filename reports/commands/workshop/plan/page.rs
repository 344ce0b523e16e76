//! The page of a test plan: a checklist to print.

use crate::commands::workshop::before::Sheet;
use crate::commands::workshop::plan::{File, Step};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::page::{Block, Cell, Column, Page, Picture, Section, Table};
use crate::text::number::number;
use crate::text::words::sentence;

/// The page.
pub(super) fn page(file: &File) -> Page {
    let pressures = file.steps.iter().enumerate().map(|(i, step)| Bar {
        name: format!("{} {}", step.step, step.name),
        value: step.pressure_kpa,
        said: format!("{} kPa", number(step.pressure_kpa, 1)),
        json: format!("/steps/{i}/pressure_kpa"),
        interval: None,
        ink: Ink::Faulty,
    });
    let heading = "highest pressure of each step, kPa gauge";
    let picture = Picture {
        name: "plan-pressures".into(),
        caption: "The steps in their order; none goes above normal boost.".into(),
        scene: bars(heading, &pressures.collect::<Vec<_>>(), 480.0),
    };
    let steps = file.steps.iter().enumerate();
    let sheet = Sheet {
        title: "Pressure and smoke tests of the air path",
        car: Some(&file.vehicle),
        says: &file.says,
        blocks: vec![Block::Picture(picture)],
        sections: steps.map(|(i, step)| section(i, step)).collect(),
        warnings: &file.warnings,
        cautions: &file.cautions,
        ..Sheet::default()
    };
    sheet.page()
}

fn section(i: usize, step: &Step) -> Section {
    let pressure = format!(
        "At most {} kPa gauge ({} psi): {}",
        number(step.pressure_kpa, 1),
        number(step.pressure_psi, 2),
        step.why
    );
    let boxes = step.prepare.iter().map(|line| format!("\u{2610} {line}"));
    let tight = match step.volume_l {
        Some(litres) => format!("Tight, {} L: {}.", number(litres, 1), step.tight),
        None => format!("Tight: {}.", step.tight),
    };
    let mut blocks = vec![Block::Words(sentence(&pressure))];
    blocks.extend(boxes.map(Block::Words));
    blocks.push(Block::List(step.read.clone()));
    blocks.push(Block::Words(tight));
    blocks.extend(holes(i, step).map(Block::Table));
    let places: Vec<String> = (step.places.iter())
        .map(|spot| spot.place.replace('_', " "))
        .collect();
    if !places.is_empty() {
        blocks.push(Block::Words(format!(
            "This reaches: {}.",
            places.join(", ")
        )));
    }
    Section {
        heading: format!("{} {}", step.step, step.name),
        blocks,
    }
}

/// What holes show; they show it alike at every place that the step reaches.
fn holes(i: usize, step: &Step) -> Option<Table> {
    let spot = step.places.first()?;
    let timed = spot.holes.iter().any(|hole| hole.half_pressure_s.is_some());
    let rows = spot.holes.iter().enumerate().map(|(j, hole)| {
        let at = |key: &str| format!("/steps/{i}/places/0/holes/{j}/{key}");
        let mut row = vec![
            Cell::number(hole.diameter_mm, 1, at("diameter_mm")),
            Cell::number(hole.flow_g_s, 3, at("flow_g_s")),
            Cell::number(hole.flow_l_min, 1, at("flow_l_min")),
        ];
        let half = hole.half_pressure_s.unwrap_or(f64::NAN);
        row.extend(timed.then(|| Cell::number(half, 1, at("half_pressure_s"))));
        row
    });
    let mut head = vec![
        Column::numbers("hole", "mm"),
        Column::numbers("flow", "g/s"),
        Column::numbers("flow", "L/min"),
    ];
    head.extend(timed.then(|| Column::numbers("half the pressure left after", "s")));
    Some(Table {
        caption: "Round, sharp holes at any place that this reaches.".into(),
        head,
        rows: rows.collect(),
    })
}
