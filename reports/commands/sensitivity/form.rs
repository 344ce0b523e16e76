//! Sensitivities as a table, JSON and CSV.

use crate::answer::head::head;
use crate::commands::sensitivity::{Answers, Effect, Of, Shown};
use crate::text::words::{WIDTH, cautions, heading, paragraph};
use ::csv::Writer;
use sim::study::asking::sensitivity::{PointSlopes, Stop};
use sim::units::{convert, round, show_to, si_unit};
use std::fmt::Write;

const WHAT: &str = "Exact first derivatives of the car as it is. What the computer learns at idle and \
light cruise moves with the quantity and is counted in; air, speed, pedal and held torque stay. \
`%/%` is the change of the reading in per cent per per cent of the quantity. Ranked by the effect \
of 1 % of the quantity (of its range, where it is zero).";

/// For reading, at most 80 columns.
pub fn table(answers: &Answers) -> String {
    let mut text = head(answers.case);
    text.push('\n');
    paragraph(&mut text, "", WHAT);
    for (name, point) in &answers.points {
        heading(&mut text, name);
        match point {
            Err(e) => paragraph(&mut text, "NO ANSWER  ", &e.to_string()),
            Ok(point) => block(&mut text, answers, point),
        }
    }
    cautions(&mut text);
    text
}

fn block(text: &mut String, answers: &Answers, point: &PointSlopes) {
    for of in &answers.of {
        let Some(value) = of.value(point) else {
            continue;
        };
        let now = format!(
            "{} {}",
            round(if value.abs() < 1e-6 { 0.0 } else { value }, 4),
            of.unit()
        );
        let _ = writeln!(text, "{} {}", of.key(), now.trim_end());
        let ranked = answers.ranked(*of, point);
        if ranked.is_empty() {
            let _ = writeln!(text, "  nothing here moves it");
        }
        for effect in ranked {
            let _ = writeln!(text, "{}", line(*of, &effect));
        }
    }
    for stop in &point.stops {
        paragraph(text, "ONE-SIDED  ", &stop.to_string());
    }
    if point.side.unreduced.is_some() {
        let said = "a trouble code has reduced the torque; the derivatives are those of the car so reduced";
        paragraph(text, "REDUCED  ", said);
    }
}

fn line(of: Of, effect: &Effect) -> String {
    let per = format!("{} per {}", of.unit(), per(effect.by));
    let slope = signed(effect.slope * effect.by.one, 4);
    let value = show_to(effect.by.quantity.value, effect.by.dimension, 4);
    let percent = effect.elasticity.map_or("-".into(), |e| signed(e, 3));
    let key = &effect.by.quantity.key;
    let rest = format!("{slope:>10} {:12}{percent:>8}", per.trim_start());
    let line = format!("  {key:34} {value:>10} {rest}");
    // A long key or unit takes a line of its own.
    match line.chars().count() > WIDTH {
        true => format!("  {key}\n{:>WIDTH$}", format!("{value} {rest}")),
        false => line,
    }
}

/// The unit of a quantity without the word that says from where a pressure counts.
fn per(shown: &Shown) -> &str {
    match shown.unit.as_str() {
        "" => "1",
        unit => unit.trim_end_matches(" abs").trim_end_matches(" gauge"),
    }
}

fn signed(value: f64, digits: usize) -> String {
    let text = round(value, digits);
    if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

#[derive(serde::Serialize)]
struct File<'a> {
    scenario: &'a str,
    vehicle: &'a str,
    points: Vec<Point<'a>>,
}

#[derive(serde::Serialize)]
struct Point<'a> {
    name: &'a str,
    failure: Option<String>,
    one_sided: Vec<String>,
    reduced: bool,
    readings: Vec<Explained<'a>>,
}

#[derive(serde::Serialize)]
struct Explained<'a> {
    reading: &'a str,
    unit: &'a str,
    value: Option<f64>,
    by: Vec<Line<'a>>,
}

#[derive(serde::Serialize)]
struct Line<'a> {
    quantity: &'a str,
    value_si: f64,
    si_unit: String,
    value: f64,
    unit: &'a str,
    slope_per_si: f64,
    slope_per_unit: f64,
    percent_per_percent: Option<f64>,
}

impl<'a> Line<'a> {
    fn new(effect: &Effect<'a>) -> Self {
        let Shown {
            quantity,
            dimension,
            unit,
            one,
            ..
        } = effect.by;
        Self {
            quantity: &quantity.key,
            value_si: quantity.value,
            si_unit: si_unit(*dimension),
            value: convert(quantity.value, unit, *dimension).unwrap_or(quantity.value),
            unit,
            slope_per_si: effect.slope,
            slope_per_unit: effect.slope * one,
            percent_per_percent: effect.elasticity,
        }
    }
}

fn explained<'a>(answers: &'a Answers, point: &PointSlopes) -> Vec<Explained<'a>> {
    let all = answers.of.iter().map(|of| Explained {
        reading: of.key(),
        unit: of.unit(),
        value: of.value(point),
        by: answers.ranked(*of, point).iter().map(Line::new).collect(),
    });
    all.collect()
}

/// For programs.
///
/// # Errors
/// A value that JSON cannot hold.
pub fn json(answers: &Answers) -> Result<String, String> {
    let points = answers.points.iter().map(|(name, point)| match point {
        Err(e) => Point {
            name,
            failure: Some(e.to_string()),
            one_sided: Vec::new(),
            reduced: false,
            readings: Vec::new(),
        },
        Ok(point) => Point {
            name,
            failure: None,
            one_sided: point.stops.iter().map(Stop::to_string).collect(),
            reduced: point.side.unreduced.is_some(),
            readings: explained(answers, point),
        },
    });
    let file = File {
        scenario: &answers.case.scenario.title,
        vehicle: &answers.case.network.vehicle.name,
        points: points.collect(),
    };
    let text = serde_json::to_string_pretty(&file).map_err(|e| e.to_string())?;
    Ok(text + "\n")
}

const HEADS: [&str; 13] = [
    "point",
    "reading",
    "reading_unit",
    "reading_value",
    "quantity",
    "quantity_si",
    "si_unit",
    "quantity_value",
    "quantity_unit",
    "slope_per_si",
    "slope_per_unit",
    "percent_per_percent",
    "one_sided",
];

/// For spreadsheets: one row a point, reading and quantity.
///
/// # Errors
/// The rows cannot be written (never for a text in memory, but said all the same).
pub fn csv(answers: &Answers) -> Result<String, String> {
    let mut out = Writer::from_writer(Vec::new());
    out.write_record(HEADS).map_err(|e| e.to_string())?;
    for (name, point) in &answers.points {
        let Ok(point) = point else { continue };
        let stops: Vec<&str> = point.stops.iter().map(|stop| stop.what.as_str()).collect();
        let stops = stops.join("; ");
        for reading in explained(answers, point) {
            for line in &reading.by {
                let number = |value: Option<f64>| value.map_or(String::new(), |v| v.to_string());
                let cells = [
                    name.clone(),
                    reading.reading.into(),
                    reading.unit.into(),
                    number(reading.value),
                    line.quantity.into(),
                    number(Some(line.value_si)),
                    line.si_unit.clone(),
                    number(Some(line.value)),
                    line.unit.into(),
                    number(Some(line.slope_per_si)),
                    number(Some(line.slope_per_unit)),
                    number(line.percent_per_percent),
                    stops.clone(),
                ];
                out.write_record(cells).map_err(|e| e.to_string())?;
            }
        }
    }
    let bytes = out.into_inner().map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}
