//! `falseair codes`: which trouble code each leak and fault sets, from which size on.

use crate::answer::{Answer, Trouble};
use crate::input::case::car;
use crate::text::words::{heading, paragraph};
use crate::text::write::OutFile;
use clap::ValueEnum;
use clap::ValueHint;
use rayon::prelude::*;
use sim::control::Code;
use sim::network::Defect;
use sim::study::asking::codes::{First, HOLES, Sign, Watch, all};
use sim::units::{Dimension, show_to};
use std::fmt::Write;
use std::path::PathBuf;

/// Options of `codes`.
#[derive(Debug, clap::Args)]
pub struct Codes {
    /// The car.
    pub vehicle: PathBuf,
    /// Form of the answer.
    #[arg(long, value_enum, default_value_t = CodesFormat::Table)]
    pub format: CodesFormat,
    /// File for the answer, instead of the terminal.
    #[arg(long, value_name = "FILE", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
}

/// Form of the table of codes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CodesFormat {
    /// For reading, at most 80 columns.
    Table,
    /// A page with one table.
    Markdown,
    /// For programs.
    Json,
}

/// One row.
#[derive(Clone, Debug, serde::Serialize)]
struct Row {
    fault: String,
    signs: Vec<Shown>,
}

/// A code, or `no steady running`, with the size from which it comes.
#[derive(Clone, Debug, serde::Serialize)]
struct Shown {
    sign: &'static str,
    point: String,
    from: String,
    size_si: f64,
}

/// Answers `falseair codes`.
///
/// # Errors
/// The vehicle file cannot be used, the answer cannot be written.
pub fn codes(options: &Codes) -> Result<Answer, Trouble> {
    let car = car(&options.vehicle)?;
    let name = car.vehicle.name.clone();
    let watch = Watch::new(&car);
    let all = all();
    let rows = all.par_iter();
    let rows: Vec<Row> = rows
        .map(|worst| row(worst, &watch.firsts(*worst)))
        .collect();
    let text = match options.format {
        CodesFormat::Table => table(&name, &rows),
        CodesFormat::Markdown => markdown(&name, &rows),
        CodesFormat::Json => {
            let json = serde_json::to_string_pretty(&rows);
            json.map_err(|e| Trouble::Other(e.to_string()))? + "\n"
        }
    };
    Ok(Answer::given(text, options.out.as_ref(), Vec::new()))
}

fn row(worst: &Defect, firsts: &[First]) -> Row {
    let part = worst.part().replace('_', " ");
    let fault = match worst {
        Defect::Leak(_) => format!("hole: {part}"),
        Defect::Fault(fault) if fault.is_below() => format!("{part}, down"),
        Defect::Fault(_) => format!("{part}, up"),
    };
    let signs = firsts.iter().map(|first| Shown {
        sign: match &first.sign {
            Sign::Code(code) => code.word(),
            Sign::NoRunning => "no steady running",
        },
        point: first.point.clone(),
        from: show_to(first.size, worst.dimension(), 2),
        size_si: first.size,
    });
    Row {
        fault,
        signs: signs.collect(),
    }
}

const NOTHING: &str = "no code over the whole range";

fn said(row: &Row) -> String {
    if row.signs.is_empty() {
        return NOTHING.into();
    }
    let signs = row.signs.iter();
    let signs = signs.map(|s| format!("{} from {} ({})", s.sign, s.from, s.point));
    signs.collect::<Vec<_>>().join(", ")
}

fn intro(name: &str) -> String {
    let (low, high) = HOLES;
    format!(
        "{name}: trouble codes set at steady running (idle, light cruise, full load) with trims \
         learnt, and the size from which each comes. Holes are round and sharp, {} to {}. \
         Severities count as in a scenario's [[fault]].",
        show_to(low, Dimension::Length, 2),
        show_to(high, Dimension::Length, 2)
    )
}

fn table(name: &str, rows: &[Row]) -> String {
    let mut text = String::new();
    paragraph(&mut text, "", &intro(name));
    heading(&mut text, "codes");
    for row in rows {
        paragraph(&mut text, &format!("{:32}", row.fault), &said(row));
    }
    text.push('\n');
    for (word, code, _) in Code::WORDS {
        paragraph(&mut text, &format!("{word}  "), code.name());
    }
    text
}

fn markdown(name: &str, rows: &[Row]) -> String {
    let plain = |text: &str| text.replace('|', "\\|").replace('<', "&lt;");
    let mut text = format!(
        "# Which fault sets which code\n\n{}\n\n",
        plain(&intro(name))
    );
    text += "| fault | codes, from which size on, and where first |\n|---|---|\n";
    for row in rows {
        let _ = writeln!(text, "| {} | {} |", row.fault, plain(&said(row)));
    }
    text += "\n| code | meaning (SAE J2012) |\n|---|---|\n";
    for (word, code, _) in Code::WORDS {
        let _ = writeln!(text, "| {word} | {} |", code.name());
    }
    text
}
