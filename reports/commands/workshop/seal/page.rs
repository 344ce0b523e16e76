//! The page of o-rings and gaskets.

use crate::commands::workshop::before::{Fact, Sheet, facts};
use crate::commands::workshop::seal::{File, LIMITS, Ring};
use crate::figure::gland::{Squeezed, glands};
use crate::page::{Block, Cell, Column, Page, Picture, Table};

/// The page.
pub(super) fn page(file: &File) -> Page {
    let named = [
        ("at hand", "at_hand", &file.at_hand),
        ("metric", "metric", &file.metric),
        ("inch", "inch", &file.inch),
    ];
    let rings: Vec<(&str, &str, &Ring)> = (named.into_iter())
        .filter_map(|(name, key, ring)| Some((name, key, ring.as_ref()?)))
        .collect();
    let mut blocks = Vec::new();
    if let (Some(depth), false) = (file.gland_depth_mm, rings.is_empty()) {
        let drawn = rings.iter().map(|(name, key, ring)| Squeezed {
            name: format!("{name}: {}", ring.size()),
            said: vec![
                format!("squeeze {}", ring.squeeze()),
                match ring.faults.is_empty() {
                    true => "within limits".into(),
                    false => "NOT within limits".into(),
                },
            ],
            section: ring.section_in_place_mm,
            width: file.gland_width_mm.unwrap_or(ring.least_gland_width_mm),
            json: format!("/{key}/section_in_place_mm"),
            fits: ring.faults.is_empty(),
        });
        blocks.push(Block::Picture(Picture {
            name: "gland".into(),
            caption: "Sections in the gland before the joint is closed, all to one scale: what \
                      stands out of the gland is squeezed."
                .into(),
            scene: glands(depth, &drawn.collect::<Vec<_>>()),
        }));
        blocks.push(Block::Table(table(&rings)));
        let faults = rings.iter().flat_map(|(name, _, ring)| {
            let faults = ring.faults.iter();
            faults.map(move |fault| format!("{name}: {fault}."))
        });
        blocks.push(Block::List(
            faults.chain([format!("Limits: {LIMITS}.")]).collect(),
        ));
    }
    blocks.extend(others(file));
    let sheet = Sheet {
        title: "O-rings and gaskets",
        says: &file.says,
        blocks,
        warnings: &file.warnings,
        cautions: &file.cautions,
        ..Sheet::default()
    };
    sheet.page()
}

fn table(rings: &[(&str, &str, &Ring)]) -> Table {
    let rows = rings.iter().map(|(name, key, ring)| {
        let cell = |value: Option<f64>, decimals, part: &str| {
            Cell::number(
                value.unwrap_or(f64::NAN),
                decimals,
                format!("/{key}/{part}"),
            )
        };
        vec![
            Cell::words(*name),
            Cell::words(ring.size()),
            cell(Some(ring.squeeze_limits_pct[0]), 1, "squeeze_limits_pct/0"),
            cell(Some(ring.squeeze_limits_pct[1]), 1, "squeeze_limits_pct/1"),
            cell(Some(ring.stretch_pct), 1, "stretch_pct"),
            cell(ring.fill_pct, 1, "fill_pct"),
            cell(Some(ring.least_gland_width_mm), 2, "least_gland_width_mm"),
        ]
    });
    Table {
        caption:
            "Rings in this gland; least and most squeeze differ where the pipe stands off the \
                  middle."
                .into(),
        head: vec![
            Column::words("ring"),
            Column::words("size"),
            Column::numbers("least squeeze", "%"),
            Column::numbers("most squeeze", "%"),
            Column::numbers("stretch", "%"),
            Column::numbers("fill", "%"),
            Column::numbers("gland at least", "mm wide"),
        ],
        rows: rows.collect(),
    }
}

/// Cut rings, used rings and gaskets.
fn others(file: &File) -> Option<Block> {
    let mut all = Vec::new();
    if let Some(cord) = &file.cord {
        let needed = "emergency: length to cut from the larger ring";
        all.push(Fact::new(needed, "mm", cord.needed_mm, "/cord/needed_mm"));
        let there = "length in the larger ring";
        all.push(Fact::new(
            there,
            "mm",
            cord.in_larger_ring_mm,
            "/cord/in_larger_ring_mm",
        ));
    }
    if let Some(used) = &file.used {
        let (set, left) = (used.compression_set_pct, used.squeeze_left_pct);
        let label = "used ring: compression set (ISO 815)";
        all.push(Fact::new(label, "%", set, "/used/compression_set_pct"));
        all.push(Fact::new(
            "used ring: squeeze left",
            "%",
            left,
            "/used/squeeze_left_pct",
        ));
    }
    if let Some(gasket) = &file.gasket {
        let least = gasket.least_thickness_mm;
        let label = "gasket on the bowed face: at least";
        all.push(Fact::new(label, "mm", least, "/gasket/least_thickness_mm"));
        all.extend(
            gasket
                .sheet_mm
                .map(|mm| Fact::new("sheet as sold", "mm", mm, "/gasket/sheet_mm")),
        );
        all.extend(gasket.crush_half_way_at_hand_pct.map(|crush| {
            let json = "/gasket/crush_half_way_at_hand_pct";
            Fact::new("gasket at hand: crushed half-way by", "%", crush, json)
        }));
    }
    (!all.is_empty()).then(|| facts("Rings cut or used, and gaskets.", all))
}
