//! A fitted gas-stand table: for reading, for programs, for a vehicle file.

use crate::commands::vehicle::gas_stand::{Fitted, Origin, Value};
use crate::input::gas_stand::Points;
use crate::text::words::{WIDTH, heading, paragraph};
use sim::units::{Dimension, show, show_to};
use std::fmt::Write;
use std::path::Path;

/// Most points listed one by one.
const MOST_LISTED: usize = 20;

/// The report, at most 80 columns; the table for the vehicle file stands at its
/// end unless it was `written` elsewhere.
pub fn report(fitted: &Fitted, written: Option<&Path>) -> String {
    let mut text = String::new();
    let table = &fitted.table;
    paragraph(&mut text, "", &title(fitted));
    let points = fitted.quality.points;
    let file = format!("{}, {points} points", table.path().display());
    paragraph(&mut text, "table  ", &file);
    paragraph(&mut text, "at     ", &conditions(fitted));
    if table.invented {
        paragraph(&mut text, "note   ", "the machine is invented");
    }
    heading(&mut text, "fitted law less table");
    let _ = writeln!(
        text,
        "{:24}{:>10}{:>12}{:>12}",
        "", "rms", "worst", "at line"
    );
    for d in &fitted.quality.deviations {
        let unit = unit(d.what);
        let (rms, worst) = (100.0 * d.rms, 100.0 * d.worst);
        let _ = writeln!(
            text,
            "{:24}{rms:10.2}{worst:>+12.2}{:12}",
            format!("{} ({unit})", d.what),
            table.line(d.worst_point)
        );
    }
    outside(&mut text, fitted);
    heading(&mut text, "numbers of the machine, ± one standard error");
    for value in &fitted.values {
        let start = format!(
            "{:22}{:>12}  {:11}  ",
            value.field.name,
            value.text,
            origin(value)
        );
        paragraph(&mut text, &start, value.field.doc.trim());
    }
    match written {
        Some(path) => {
            text.push('\n');
            let said = format!("[{}] is in {}", fitted.section(), path.display());
            paragraph(&mut text, "", &said);
        }
        None => {
            heading(&mut text, "for the vehicle file");
            text += &toml(fitted);
        }
    }
    text
}

/// Deviations of an efficiency are differences, of all else relative.
fn unit(what: &str) -> &'static str {
    match what {
        "efficiency" => "points",
        _ => "%",
    }
}

fn title(fitted: &Fitted) -> String {
    match fitted.table.name.as_str() {
        "" => format!("a {} without a name", fitted.section()),
        name => format!("{} {name}", fitted.section()),
    }
}

fn conditions(fitted: &Fitted) -> String {
    let (temperature, pressure, wheel) = match &fitted.table.points {
        Points::Compressor(t) => (
            t.reference_temperature,
            t.reference_pressure,
            t.wheel_diameter,
        ),
        Points::Turbine(t) => (
            t.reference_temperature,
            t.reference_pressure,
            t.wheel_diameter,
        ),
    };
    let mut said = format!(
        "flow corrected to {} and {}, wheel {}",
        show(temperature, Dimension::Temperature),
        show(pressure, Dimension::AbsolutePressure),
        show(wheel, Dimension::Length)
    );
    if let Points::Turbine(t) = &fitted.table.points {
        let hot = show(t.stand_temperature, Dimension::Temperature);
        let _ = write!(said, ", stand at {hot}");
    }
    said
}

fn outside(text: &mut String, fitted: &Fitted) {
    let points = &fitted.quality.outside;
    if points.is_empty() {
        return;
    }
    heading(text, "points the fitted machine does not run at");
    let what = format!("It would be {} there.", fitted.outside_means());
    paragraph(text, "", &what);
    let short = |cell: &String| cell.chars().filter(|c| !c.is_control()).take(17).collect();
    let mut row = |first: &str, cells: [String; 4]| {
        let cells: Vec<String> = cells.iter().map(short).collect();
        let _ = write!(text, "{first:>6}");
        for cell in cells {
            let _ = write!(text, "{cell:>18}");
        }
        text.push('\n');
    };
    let names = fitted.table.column_names();
    row("line", names.map(|name| name.replace("corrected ", "")));
    for point in points.iter().take(MOST_LISTED) {
        let line = fitted.table.line(*point).to_string();
        row(&line, fitted.table.cells(*point));
    }
    if points.len() > MOST_LISTED {
        let _ = writeln!(text, "   and {} more", points.len() - MOST_LISTED);
    }
}

/// Where a number comes from, in a few letters.
fn origin(value: &Value) -> String {
    match value.origin {
        Origin::Stated => "stated".into(),
        Origin::Default => "default".into(),
        Origin::Fitted(0.0) => "at a limit".into(),
        Origin::Fitted(doubt) if doubt.is_finite() => {
            let doubt = show_to(doubt, value.field.dimension, 2);
            // The unit stands beside the value already.
            format!("± {}", doubt.split(' ').next().unwrap_or_default())
        }
        Origin::Fitted(_) => "not told".into(),
    }
}

/// The `[compressor]` or `[turbine]` table of a vehicle file, with where it comes from.
pub fn toml(fitted: &Fitted) -> String {
    let mut about = String::new();
    let said = format!(
        "{}, fitted to a gas-stand table by falseair.",
        title(fitted)
    );
    paragraph(&mut about, "", &said);
    let path = fitted.table.path();
    let path = path.file_name().unwrap_or(path.as_os_str()).display();
    let said = format!(
        "Table: {path}, {} points, {}.",
        fitted.quality.points,
        conditions(fitted)
    );
    paragraph(&mut about, "", &said);
    for d in &fitted.quality.deviations {
        let unit = unit(d.what);
        let said = format!(
            "Off in {}: rms {:.2} {unit}, at worst {:+.2} {unit} at line {}.",
            d.what,
            100.0 * d.rms,
            100.0 * d.worst,
            fitted.table.line(d.worst_point)
        );
        paragraph(&mut about, "", &said);
    }
    if !fitted.quality.outside.is_empty() {
        let lines = lines_outside(fitted);
        let lines: Vec<String> = lines
            .iter()
            .take(MOST_LISTED)
            .map(usize::to_string)
            .collect();
        let more = if fitted.quality.outside.len() > MOST_LISTED {
            ", ..."
        } else {
            ""
        };
        let what = fitted.outside_means();
        paragraph(
            &mut about,
            "",
            &format!("Points {what}: line {}{more}.", lines.join(", ")),
        );
    }
    let mut text = String::new();
    for line in about.lines() {
        for part in chunks(line, WIDTH - 2) {
            let _ = writeln!(text, "# {part}");
        }
    }
    let _ = writeln!(text, "[{}]", fitted.section());
    for value in &fitted.values {
        let written = match value.is_bare() {
            true => value.text.clone(),
            false => format!("\"{}\"", value.text),
        };
        let origin = match value.origin {
            Origin::Stated => "stated with the table".into(),
            Origin::Default => "default: steady points do not tell it".into(),
            _ => origin(value),
        };
        let line = format!("{} = {written}", value.field.name);
        let _ = writeln!(text, "{line:38}# {origin}");
    }
    text
}

/// A line in pieces that fit beside the sign of a comment.
fn chunks(line: &str, width: usize) -> Vec<String> {
    let letters: Vec<char> = line.chars().collect();
    letters
        .chunks(width)
        .map(|part| part.iter().collect())
        .collect()
}

fn lines_outside(fitted: &Fitted) -> Vec<usize> {
    let points = fitted.quality.outside.iter();
    points.map(|point| fitted.table.line(*point)).collect()
}

#[derive(serde::Serialize)]
struct File<'a> {
    machine: &'static str,
    name: &'a str,
    table: String,
    points: usize,
    deviations: Vec<Deviation>,
    outside_lines: Vec<usize>,
    values: Vec<Number<'a>>,
    vehicle_table: String,
}

#[derive(serde::Serialize)]
struct Deviation {
    quantity: &'static str,
    rms: f64,
    worst: f64,
    worst_line: usize,
}

#[derive(serde::Serialize)]
struct Number<'a> {
    key: &'static str,
    /// As in a vehicle file.
    text: &'a str,
    si: f64,
    /// None where the table does not tell.
    doubt_si: Option<f64>,
    origin: &'static str,
}

/// The report for programs; shares, not percent.
///
/// # Errors
/// A value that JSON cannot hold.
pub fn json(fitted: &Fitted) -> Result<String, String> {
    let quality = &fitted.quality;
    let deviations = quality.deviations.iter().map(|d| Deviation {
        quantity: d.what,
        rms: d.rms,
        worst: d.worst,
        worst_line: fitted.table.line(d.worst_point),
    });
    let values = fitted.values.iter().map(|value| {
        let (origin, doubt) = match value.origin {
            Origin::Fitted(doubt) => ("fitted", Some(doubt)),
            Origin::Stated => ("stated", None),
            Origin::Default => ("default", None),
        };
        Number {
            key: value.field.name,
            text: &value.text,
            si: value.si,
            doubt_si: doubt.filter(|doubt| doubt.is_finite()),
            origin,
        }
    });
    let file = File {
        machine: fitted.section(),
        name: &fitted.table.name,
        table: fitted.table.path().display().to_string(),
        points: quality.points,
        deviations: deviations.collect(),
        outside_lines: lines_outside(fitted),
        values: values.collect(),
        vehicle_table: toml(fitted),
    };
    let mut text = serde_json::to_string_pretty(&file).map_err(|e| e.to_string())?;
    text.push('\n');
    Ok(text)
}
