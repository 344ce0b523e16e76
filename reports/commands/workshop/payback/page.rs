//! The page of a payback answer.

use crate::commands::workshop::before::Sheet;
use crate::commands::workshop::payback::form::{fault, work};
use crate::commands::workshop::payback::{File, Number, Numbers, Row};
use crate::figure::bars::{Bar, bars};
use crate::figure::ink::Ink;
use crate::page::{Block, Cell, Column, Page, Picture, Section, Table};
use crate::text::number::{difference, slug};

/// A gain: name, unit, key, decimals, its number.
type Kind = (
    &'static str,
    &'static str,
    &'static str,
    usize,
    fn(&Numbers) -> &Number,
);

const KINDS: [Kind; 5] = [
    ("torque", "N m", "torque_nm", 1, |n| &n.torque_nm),
    ("power", "kW", "power_kw", 1, |n| &n.power_kw),
    ("fuel saved", "L/100 km", "fuel_l_100km", 2, |n| {
        &n.fuel_l_100km
    }),
    ("fuel saved a year", "L", "fuel_l_year", 0, |n| {
        &n.fuel_l_year
    }),
    ("trim margin", "%", "trim_margin_pct", 1, |n| {
        &n.trim_margin_pct
    }),
];

/// The page; `about` says for which duty.
pub(super) fn page(about: &str, file: &File) -> Page {
    let drawn = [KINDS[0], KINDS[1], KINDS[3], KINDS[4]];
    let pictures = drawn.iter().map(|kind| picture(file, kind)).collect();
    let mut blocks = vec![Block::Words(format!("{about}.")), Block::Row(pictures)];
    blocks.push(Block::Table(table(file)));
    if !file.sum_differs.is_empty() {
        let said = file.sum_differs.iter();
        blocks.push(Block::Words(
            "The gains are not the sum of their parts:".into(),
        ));
        blocks.push(Block::List(said.map(|words| format!("{words}.")).collect()));
    }
    let sheet = Sheet {
        title: "Which repair pays",
        car: Some(&file.vehicle),
        says: &file.says,
        blocks,
        sections: file.repairs.iter().map(|row| repair(file, row)).collect(),
        warnings: &file.warnings,
        cautions: &file.cautions,
        ..Sheet::default()
    };
    sheet.page()
}

fn picture(file: &File, (name, unit, key, decimals, number): &Kind) -> Picture {
    let bar = |name: &str, json: String, numbers: &Numbers, ink| {
        let number = number(numbers);
        let value = number.value?;
        Some(Bar {
            name: name.into(),
            value,
            said: format!("{} {unit}", difference(value, *decimals)),
            json: format!("{json}/{key}/value"),
            interval: number.low.zip(number.high),
            ink,
        })
    };
    let each = file.repairs.iter().enumerate();
    let each = each.filter_map(|(i, row)| {
        bar(
            &row.name,
            format!("/repairs/{i}/alone"),
            &row.alone,
            Ink::Faulty,
        )
    });
    let several = file.repairs.len() > 1;
    let all = several.then(|| {
        bar(
            "all together",
            "/together".into(),
            &file.together,
            Ink::Text,
        )
    });
    let all: Vec<Bar> = each.chain(all.flatten()).collect();
    Picture {
        name: format!("payback-{}", slug(name)),
        caption: format!(
            "Gain of {name} by mending each fault as if it were alone, and by mending all; thin \
             lines: 90 % limits of the faults' sizes."
        ),
        scene: bars(&format!("{name}, {unit}"), &all, 340.0),
    }
}

fn cells<'a>(json: &str, numbers: &'a Numbers) -> impl Iterator<Item = Cell> + use<'a> {
    let json = json.to_string();
    KINDS.iter().map(move |(_, _, key, decimals, number)| {
        let value = number(numbers).value.unwrap_or(f64::NAN);
        let cell = Cell::number(value, *decimals, format!("{json}/{key}/value"));
        match value.is_finite() {
            true => Cell {
                text: difference(value, *decimals),
                ..cell
            },
            false => cell,
        }
    })
}

fn table(file: &File) -> Table {
    let mut head = vec![Column::words("repair")];
    head.extend(KINDS.map(|(name, unit, ..)| Column::numbers(name, unit)));
    head.push(Column::numbers("work", "h"));
    head.push(Column::numbers("price", &file.currency));
    head.push(Column::numbers("paid by fuel", "years"));
    let rows = file.repairs.iter().enumerate().map(|(i, row)| {
        let mut line = vec![Cell::words(format!("{} {}", row.rank, row.name))];
        line.extend(cells(&format!("/repairs/{i}/alone"), &row.alone));
        let at = |key: &str| format!("/repairs/{i}/{key}");
        line.push(Cell::number(row.time_h, 2, at("time_h")));
        line.push(Cell::number(row.price, 2, at("price")));
        let years = row.years_to_pay.unwrap_or(f64::NAN);
        line.push(Cell::number(years, 1, at("years_to_pay")));
        line
    });
    let mut rows: Vec<Vec<Cell>> = rows.collect();
    if file.repairs.len() > 1 {
        let mut line = vec![Cell::words("all together")];
        line.extend(cells("/together", &file.together).map(Cell::strong));
        line.resize(head.len(), Cell::default());
        rows.push(line);
    }
    Table {
        caption: format!(
            "Gains by mending each fault alone; dangers first, then codes, then {} per hour.",
            file.ranked_by.replace('_', " ")
        ),
        head,
        rows,
    }
}

fn repair(file: &File, row: &Row) -> Section {
    let mut said = vec![
        format!("Fault: {}.", fault(row)),
        format!("Work: {}.", work(file, row)),
    ];
    said.extend(row.risks_removed.iter().map(|risk| {
        let kind = match risk.kind {
            "code" => "Code gone",
            _ => "Risk gone",
        };
        format!("{kind}, {}: {}.", risk.point, risk.what)
    }));
    Section {
        heading: format!("{} {}", row.rank, row.name),
        blocks: vec![Block::List(said)],
    }
}
