//! Thresholds as a table, a page, JSON and CSV; tolerances in millimetres and thou.

use crate::commands::threshold::Answers;
use crate::text::words::{cautions, heading, paragraph};
use ::csv::Writer;
use sim::network::{Defect, Leak};
use sim::study::asking::threshold::{HOLES, Outcome, Thresholds};
use std::fmt::Write;

/// A thousandth of an inch, m (exact).
const THOU: f64 = 25.4e-6;
/// Columns of one symptom.
const CELL: usize = 9;

const WHAT: &str = "Smallest leak that shows, as the diameter in mm of a round sharp hole. The leak \
grows while the car is driven: its trims have learnt it. `up`, `down` and `off` count from the sound car.";

/// The letter of a point in a table.
fn letter(answers: &Answers, point: &str) -> char {
    let index = answers.points.iter().position(|name| name == point);
    let index = index.unwrap_or(0).min(25) as u8;
    char::from(b'a' + index)
}

/// Millimetres to three digits.
fn mm(size: f64) -> String {
    let mm = size * 1e3;
    let decimals = if mm < 10.0 { 2 } else { 1 };
    format!("{mm:.decimals$}")
}

fn cell(answers: &Answers, outcome: &Outcome) -> String {
    match outcome {
        Outcome::From { size, point } => format!("{} {}", mm(*size), letter(answers, point)),
        Outcome::Sound(_) => "sound".into(),
        Outcome::Never => "-".into(),
    }
}

/// Where the engine stops running, in words.
fn stops(found: &Thresholds) -> String {
    let said = found.stops.iter();
    let said = said.map(|(point, size)| format!("{point} from {} mm", mm(*size)));
    said.collect::<Vec<_>>().join(", ")
}

/// Place by symptom, at most 80 columns.
pub fn table(answers: &Answers) -> String {
    let mut text = String::new();
    paragraph(&mut text, "", &format!("{}: {WHAT}", answers.car));
    heading(&mut text, "smallest hole, mm");
    let mut heads = format!("{:24}", "");
    for i in 0..answers.symptoms.len() {
        let _ = write!(heads, "{:>CELL$}", format!("({})  ", i + 1));
    }
    let _ = writeln!(text, "{}", heads.trim_end());
    for (worst, found) in &answers.rows {
        let name = worst.part().replace('_', " ");
        let mut line = format!("{name:24}");
        for outcome in &found.outcomes {
            let cell = cell(answers, outcome);
            let pad = if matches!(outcome, Outcome::From { .. }) {
                ""
            } else {
                "  "
            };
            let _ = write!(line, "{:>CELL$}", cell + pad);
        }
        let _ = writeln!(text, "{}", line.trim_end());
    }
    text.push('\n');
    for (i, symptom) in answers.symptoms.iter().enumerate() {
        paragraph(&mut text, &format!("({})  ", i + 1), &symptom.text);
    }
    let points = answers.points.iter();
    let points = points.map(|point| format!("{} {point}", letter(answers, point)));
    let points = points.collect::<Vec<_>>().join(", ");
    paragraph(&mut text, "first seen at  ", &points);
    let never = format!("not up to {} mm", HOLES.1 * 1e3);
    paragraph(&mut text, "-      ", &never);
    let sound = answers.rows.iter().flat_map(|(_, found)| &found.outcomes);
    if sound.into_iter().any(|o| matches!(o, Outcome::Sound(_))) {
        paragraph(&mut text, "sound  ", "the sound car shows it too");
    }
    for (worst, found) in &answers.rows {
        if !found.stops.is_empty() {
            let name = worst.part().replace('_', " ");
            let said = format!("no steady running at {}", stops(found));
            paragraph(&mut text, &format!("{name}: "), &said);
        }
    }
    cautions(&mut text);
    text
}

/// One table in Markdown.
pub fn markdown(answers: &Answers) -> String {
    let plain = |text: &str| text.replace('|', "\\|").replace('<', "&lt;");
    let mut text = format!(
        "# Smallest leak that shows\n\n{}: {WHAT} `-` is not up to {} mm.\n\n| place |",
        plain(&answers.car),
        HOLES.1 * 1e3
    );
    for symptom in &answers.symptoms {
        let _ = write!(text, " {} |", plain(&symptom.text));
    }
    text += " no steady running |\n|---|";
    text += &"---|".repeat(answers.symptoms.len() + 1);
    text.push('\n');
    for (worst, found) in &answers.rows {
        let _ = write!(text, "| {} |", worst.part().replace('_', " "));
        for outcome in &found.outcomes {
            let said = match outcome {
                Outcome::From { size, point } => format!("{} ({point})", mm(*size)),
                Outcome::Sound(point) => format!("sound car too ({point})"),
                Outcome::Never => "-".into(),
            };
            let _ = write!(text, " {} |", plain(&said));
        }
        let _ = writeln!(text, " {} |", plain(&stops(found)));
    }
    text
}

/// The largest gap that keeps every symptom away, rounded down.
pub fn tolerance(answers: &Answers) -> String {
    let mut text = String::new();
    for (worst, found) in &answers.rows {
        let Defect::Leak(leak) = worst else {
            continue;
        };
        let name = format!("{} at {}", leak.shape.name(), leak.place.word()).replace('_', " ");
        heading(&mut text, &format!("{}: {name}", answers.car));
        for (symptom, outcome) in answers.symptoms.iter().zip(&found.outcomes) {
            let said = match outcome {
                Outcome::From { size, point } => {
                    format!("stays away up to {} ({point})", down(*size))
                }
                Outcome::Sound(point) => format!("the sound car shows it too ({point})"),
                Outcome::Never => format!(
                    "stays away up to {}, all that was tried",
                    down(worst.size())
                ),
            };
            paragraph(&mut text, &format!("{:24}", symptom.text), &said);
        }
        if !found.stops.is_empty() {
            paragraph(&mut text, "no steady running at  ", &stops(found));
        }
        let verdict = verdict(worst, leak, found);
        let _ = writeln!(text);
        paragraph(&mut text, "TOLERANCE  ", &verdict);
    }
    let note =
        "computed for a gap as regular as stated; the limits of whoever made the part come first";
    paragraph(&mut text, "note  ", note);
    cautions(&mut text);
    text
}

/// The largest gap, in words.
pub(crate) fn verdict(worst: &Defect, leak: &Leak<f64>, found: &Thresholds) -> String {
    match tolerated(worst, found) {
        Some(size) => format!("at most {} of {}", down(size), leak.shape.measure().words),
        None => "none: the sound car already shows a symptom".into(),
    }
}

/// The largest size that shows none of the symptoms, SI.
pub(crate) fn tolerated(worst: &Defect, found: &Thresholds) -> Option<f64> {
    let ends = found.outcomes.iter().map(|outcome| match outcome {
        Outcome::From { size, .. } => Some(*size),
        Outcome::Sound(_) => None,
        Outcome::Never => Some(worst.size()),
    });
    let stops = found.stops.iter().map(|(_, size)| Some(*size));
    ends.chain(stops)
        .try_fold(worst.size(), |least, size| Some(least.min(size?)))
}

/// A length in mm and thou, rounded down to what a feeler gauge tells.
fn down(size: f64) -> String {
    let floor = |value: f64, step: f64| (value / step * (1.0 + 1e-12)).floor() * step;
    let thou = size / THOU;
    let step = if thou < 10.0 { 0.1 } else { 1.0 };
    format!(
        "{:.3} mm ({:.*} thou)",
        floor(size * 1e3, 1e-3),
        if step < 1.0 { 1 } else { 0 },
        floor(thou, step)
    )
}

#[derive(serde::Serialize)]
struct File<'a> {
    vehicle: &'a str,
    points: &'a [String],
    rows: Vec<Row<'a>>,
}

#[derive(serde::Serialize)]
struct Row<'a> {
    place: String,
    shape: &'static str,
    largest_tried_mm: f64,
    largest_without_symptom_mm: Option<f64>,
    thresholds: Vec<Line<'a>>,
    no_steady_running: Vec<Stop<'a>>,
}

#[derive(serde::Serialize)]
struct Line<'a> {
    symptom: &'a str,
    shown: &'static str,
    size_mm: Option<f64>,
    point: Option<&'a str>,
}

#[derive(serde::Serialize)]
struct Stop<'a> {
    point: &'a str,
    from_mm: f64,
}

fn shape(worst: &Defect) -> &'static str {
    match worst {
        Defect::Leak(leak) => leak.shape.name(),
        Defect::Fault(_) => "",
    }
}

fn lines<'a>(answers: &'a Answers, found: &'a Thresholds) -> Vec<Line<'a>> {
    let each = answers.symptoms.iter().zip(&found.outcomes);
    let each = each.map(|(symptom, outcome)| {
        let (shown, size_mm, point) = match outcome {
            Outcome::From { size, point } => ("from", Some(size * 1e3), Some(point.as_str())),
            Outcome::Sound(point) => ("by the sound car", None, Some(point.as_str())),
            Outcome::Never => ("not", None, None),
        };
        Line {
            symptom: &symptom.text,
            shown,
            size_mm,
            point,
        }
    });
    each.collect()
}

/// For programs.
///
/// # Errors
/// A value that JSON cannot hold.
pub fn json(answers: &Answers) -> Result<String, String> {
    let rows = answers.rows.iter().map(|(worst, found)| Row {
        place: worst.part().into(),
        shape: shape(worst),
        largest_tried_mm: worst.size() * 1e3,
        largest_without_symptom_mm: tolerated(worst, found).map(|size| size * 1e3),
        thresholds: lines(answers, found),
        no_steady_running: (found.stops.iter())
            .map(|(point, size)| Stop {
                point,
                from_mm: size * 1e3,
            })
            .collect(),
    });
    let file = File {
        vehicle: &answers.car,
        points: &answers.points,
        rows: rows.collect(),
    };
    let text = serde_json::to_string_pretty(&file).map_err(|e| e.to_string())?;
    Ok(text + "\n")
}

/// For spreadsheets: one row a place and symptom.
///
/// # Errors
/// The rows cannot be written (never for a text in memory, but said all the same).
pub fn csv(answers: &Answers) -> Result<String, String> {
    let mut out = Writer::from_writer(Vec::new());
    let heads = ["place", "shape", "symptom", "shown", "size_mm", "point"];
    out.write_record(heads).map_err(|e| e.to_string())?;
    for (worst, found) in &answers.rows {
        for line in lines(answers, found) {
            let size = line.size_mm.map_or(String::new(), |mm| mm.to_string());
            let cells = [
                worst.part(),
                shape(worst),
                line.symptom,
                line.shown,
                &size,
                line.point.unwrap_or(""),
            ];
            out.write_record(cells).map_err(|e| e.to_string())?;
        }
    }
    let bytes = out.into_inner().map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}
