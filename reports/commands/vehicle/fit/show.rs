//! A fit, for people and for programs.

use crate::commands::vehicle::fit::{FitArgs, Fitted};
use crate::input::beside::beside;
use crate::text::words::{cautions, heading, paragraph};
use serde_json::{Value, json};
use sim::network::readings::FORMS;
use sim::study::making::fit::{Fitted as Number, Left};
use sim::units::round;
use std::fmt::Write;

/// The rules that stand in the fitted vehicle file.
pub(super) fn notes(options: &FitArgs, fitted: &Fitted) -> Vec<(String, String)> {
    let log = options
        .log
        .file_name()
        .unwrap_or_default()
        .to_string_lossy();
    let head =
        format!("Fitted to the healthy log {log}; what is left in doubt stands beside this file.");
    let mut notes = vec![(String::new(), head)];
    for number in fitted.fit.numbers.iter().filter(|number| number.told()) {
        let rule = format!(
            "fitted: {} before, {}",
            share(number, number.before),
            words(number)
        );
        notes.push((number.key.clone(), rule));
    }
    notes
}

/// `1 ± 0.025`, as a share of what stood in the file, or as it is where that was 0.
fn share(number: &Number, (value, doubt): (f64, f64)) -> String {
    match number.before.0 {
        0.0 => format!("{} ± {}", round(value, 3), round(doubt, 2)),
        was => format!("{:.4} ± {:.4}", value / was, doubt / was),
    }
}

fn words(number: &Number) -> String {
    match number.before.0 {
        0.0 => format!("{} after, SI", share(number, number.after)),
        _ => format!("{} times that after", share(number, number.after)),
    }
}

/// For reading.
pub(super) fn table(options: &FitArgs, fitted: &Fitted) -> String {
    let mut text = String::new();
    let fit = &fitted.fit;
    paragraph(&mut text, "car   ", &fit.car.vehicle.name);
    let log = format!(
        "{}: {} rows, {:.0} s",
        options.log.display(),
        fitted.log.rows,
        fitted.log.seconds
    );
    paragraph(&mut text, "log   ", &log);
    for note in &fitted.notes {
        paragraph(&mut text, "note  ", note);
    }
    for name in &fit.aside {
        let words = format!("`{name}` does not agree with the rest and counts for little");
        paragraph(&mut text, "note  ", &words);
    }
    heading(&mut text, "numbers that the log tells of");
    let _ = writeln!(text, "{:28} {:>21} {:>21}", "", "before", "after");
    for number in fit.numbers.iter().filter(|number| number.told()) {
        let [before, after] = [number.before, number.after].map(|pair| share(number, pair));
        let _ = writeln!(text, "{:28} {before:>21} {after:>21}", number.name);
    }
    let untold: Vec<&str> = fit
        .numbers
        .iter()
        .filter(|n| !n.told())
        .map(|n| n.name)
        .collect();
    if !untold.is_empty() {
        paragraph(&mut text, "as before: ", &untold.join("; "));
    }
    paragraph(
        &mut text,
        "",
        "Value and standard deviation as a share of the file's own; SI where that is 0.",
    );
    let mut condition = "";
    for left in &fit.left {
        if left.condition != condition {
            condition = &left.condition;
            heading(&mut text, condition);
            let _ = writeln!(
                text,
                "{:26} {:>5} {:>18} {:>12} {:>12}",
                "", "", "read", "before", "after"
            );
        }
        line(&mut text, left);
    }
    if let Some(path) = &options.out {
        text.push('\n');
        let both = format!("{} and {}", path.display(), beside(path).display());
        paragraph(&mut text, "written ", &both);
    }
    cautions(&mut text);
    text
}

fn line(text: &mut String, left: &Left) {
    let form = &FORMS[left.reading as usize];
    let decimals = form.decimals;
    let read = format!("{:.decimals$} ± {:.decimals$}", left.read.0, left.read.1);
    let _ = writeln!(
        text,
        "{:26} {:>5} {read:>18} {:>12.decimals$} {:>12.decimals$}",
        form.label, form.unit, left.shown.0, left.shown.1
    );
}

/// For programs.
pub(super) fn json(options: &FitArgs, fitted: &Fitted) -> Result<String, String> {
    let fit = &fitted.fit;
    let pair = |(value, deviation): (f64, f64)| json!({ "value": value, "deviation": deviation });
    let numbers: Vec<Value> = (fit.numbers.iter().zip(&fit.known.numbers))
        .map(|(number, known)| {
            json!({
                "key": number.key, "name": number.name, "told": number.told(),
                "before": pair(number.before), "after": pair(number.after),
                "doubt": known.doubt, "with": known.with,
            })
        })
        .collect();
    let readings: Vec<Value> = (fit.left.iter())
        .map(|left| {
            json!({
                "condition": left.condition, "reading": FORMS[left.reading as usize].key,
                "read": pair(left.read), "before": left.shown.0, "after": left.shown.1,
                "weight": left.weight,
            })
        })
        .collect();
    let all = json!({
        "car": fit.car.vehicle.name,
        "log": options.log.display().to_string(),
        "notes": fitted.notes,
        "set_aside": fit.aside,
        "numbers": numbers,
        "readings": readings,
        "vehicle": options.out.as_ref().map(|path| path.display().to_string()),
    });
    serde_json::to_string_pretty(&all)
        .map(|text| text + "\n")
        .map_err(|e| e.to_string())
}
