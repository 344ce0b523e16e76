//! The page of a pressure-decay test.

use super::{File, Measured};
use crate::page::{Block, Cell, Column, Page, Picture, Section, Table};
use sim::network::Vehicle;
use sim::study::workshop::decay::DecayTest;

/// The page.
pub(super) fn page(test: &DecayTest, car: Option<&Vehicle>, file: &File, picture: Picture) -> Page {
    let mut blocks = vec![Block::Says(file.says.clone()), Block::Picture(picture)];
    blocks.extend(
        file.found
            .as_ref()
            .map(|found| Block::Table(sizes(test, found))),
    );
    blocks.extend(file.warnings.iter().cloned().map(Block::Caution));
    Page {
        title: "Pressure-decay test".into(),
        lead: car
            .iter()
            .map(|car| format!("Car: {}.", car.name))
            .collect(),
        sections: vec![Section {
            heading: "What the gauge says".into(),
            blocks,
        }],
        notes: file.cautions.map(String::from).to_vec(),
    }
}

/// What was found, with limits.
fn sizes(test: &DecayTest, found: &Measured) -> Table {
    let start = format!("flow at {:.0} kPa gauge", test.start_pressure / 1e3);
    let boost = found.boost_kpa.unwrap_or(f64::NAN);
    let boost = format!("flow at {boost:.0} kPa boost");
    let mut all = vec![
        (
            "effective area (Cd A)",
            "mm²",
            2,
            &found.effective_area_mm2,
            "effective_area_mm2",
        ),
        (
            "sharp hole that does the same",
            "mm",
            2,
            &found.equivalent_hole_mm,
            "equivalent_hole_mm",
        ),
        (
            &start,
            "g/s",
            2,
            &found.flow_at_start_g_s,
            "flow_at_start_g_s",
        ),
    ];
    if let Some(flow) = &found.flow_at_boost_g_s {
        all.push((&boost, "g/s", 2, flow, "flow_at_boost_g_s"));
    }
    let rows = all.into_iter().map(|(label, unit, decimals, spread, key)| {
        let cell =
            |value, part: &str| Cell::number(value, decimals, format!("/found/{key}/{part}"));
        vec![
            Cell::words(label),
            Cell::words(unit),
            cell(spread.value, "value").strong(),
            cell(spread.low, "low"),
            cell(spread.high, "high"),
        ]
    });
    Table {
        caption: "What leaks, with the limits of 90 % confidence.".into(),
        head: vec![
            Column::words("what"),
            Column::words("unit"),
            Column::numbers("best", ""),
            Column::numbers("at least", ""),
            Column::numbers("at most", ""),
        ],
        rows: rows.collect(),
    }
}
