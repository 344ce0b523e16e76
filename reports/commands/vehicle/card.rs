//! The card of a car, as a table or as JSON.

use crate::text::words::{fixed, paragraph};
use serde::Serialize;
use sim::network::Vehicle;
use sim::study::making::sizing::{Card, Figure, Flag};
use std::fmt::Write;

fn range(figure: &Figure) -> String {
    let [low, high] = match figure.typical {
        Some(range) => range.map(|limit| format!("{limit:.*}", figure.decimals)),
        None => return String::new(),
    };
    format!("{low} to {high}")
}

/// For reading, at most 80 columns.
pub fn table(vehicle: &Vehicle, card: &Card) -> String {
    let mut text = String::new();
    paragraph(
        &mut text,
        "car   ",
        &format!("{}: {}", vehicle.name, vehicle.about),
    );
    paragraph(&mut text, "run   ", "without leaks, at 20 °C and 101.3 kPa");
    let _ = writeln!(text, "\n{:42}{:>9} {:6} typical", "", "found", "");
    for figure in &card.figures {
        let flag = match figure.flag() {
            Flag::Low => "LOW",
            Flag::High => "HIGH",
            _ => "",
        };
        let mark = figure.source.split(',').next().unwrap_or_default();
        let mark = mark.split(' ').next().unwrap_or_default();
        let row = format!(
            "{:42}{:>9} {:6} {:13} {:3} {flag}",
            figure.label,
            fixed(figure.value, figure.decimals),
            figure.unit,
            range(figure),
            mark
        );
        let _ = writeln!(text, "{}", row.trim_end());
    }
    for warning in card.said() {
        paragraph(&mut text, "CAUTION  ", &warning);
    }
    text += "\nRanges: S published text seen, M from memory, P common practice without a\n\
             source, own: the car's own file. Typical does not mean true: a car with\n\
             measured numbers may well stand outside.\n";
    text
}

#[derive(Serialize)]
struct JsonCard<'a> {
    vehicle: &'a str,
    sound: bool,
    figures: Vec<JsonFigure<'a>>,
    warnings: Vec<String>,
}

#[derive(Serialize)]
struct JsonFigure<'a> {
    key: &'a str,
    label: &'a str,
    value: Option<f64>,
    unit: &'a str,
    typical: Option<[f64; 2]>,
    source: &'a str,
    flag: &'a str,
}

/// For programs.
///
/// # Errors
/// The serialiser's, in words.
pub fn json(vehicle: &Vehicle, card: &Card) -> Result<String, String> {
    let figures = card.figures.iter().map(|figure| JsonFigure {
        key: figure.key,
        label: figure.label,
        value: figure.value.is_finite().then_some(figure.value),
        unit: figure.unit,
        typical: figure.typical,
        source: figure.source,
        flag: figure.flag().word(),
    });
    let file = JsonCard {
        vehicle: &vehicle.name,
        sound: card.sound(),
        figures: figures.collect(),
        warnings: card.said(),
    };
    serde_json::to_string_pretty(&file)
        .map(|text| text + "\n")
        .map_err(|e| format!("cannot write the card: {e}"))
}
