//! A log as it was read, for people and for programs.

use crate::input::log::{Log, Mapped, Taken};
use crate::text::words::{cautions, heading, paragraph};
use serde_json::{Map, Value, json};
use sim::study::knowing::log::{Average, Pull, RULE, Window};
use sim::units::round;
use std::fmt::Write;
use std::path::Path;

/// For reading.
pub(super) fn table(path: &Path, log: &Log) -> String {
    let mut text = String::new();
    let rows = format!(
        "{}: {} rows, {:.1} s",
        path.display(),
        log.rows,
        log.seconds
    );
    paragraph(&mut text, "log   ", &rows);
    for note in &log.notes {
        paragraph(&mut text, "note  ", note);
    }
    heading(&mut text, "columns");
    for mapped in &log.mapping {
        column(&mut text, mapped);
    }
    for window in &log.windows {
        heading(&mut text, &window.name());
        let pieces = if window.pieces == 1 {
            "piece"
        } else {
            "pieces"
        };
        let held = format!(
            "{:.0} s in {} {pieces}, from {:.1} s on",
            window.seconds, window.pieces, window.start
        );
        paragraph(&mut text, "held  ", &held);
        let _ = writeln!(
            text,
            "{:30}{:>6} {:>10} {:>10} {:>10} {:>7}",
            "", "", "mean", "doubt", "scatter", "values"
        );
        for average in &window.averages {
            line(&mut text, average);
        }
    }
    if !log.pulls.is_empty() {
        heading(&mut text, "full-load pulls");
        for pull in &log.pulls {
            let _ = writeln!(text, "{}", pull_words(pull));
        }
    }
    text.push('\n');
    paragraph(&mut text, "", &format!("{RULE}."));
    paragraph(
        &mut text,
        "",
        "The doubt is that of the mean: it says nothing of an instrument that reads wrong.",
    );
    cautions(&mut text);
    text
}

fn column(text: &mut String, mapped: &Mapped) {
    let (what, unit) = match mapped.taken {
        Taken::Time => ("time", mapped.unit.as_str()),
        Taken::Reading(channel) => (channel.key(), mapped.unit.as_str()),
        Taken::LeftOut => ("left out", ""),
    };
    let name: String = mapped
        .column
        .chars()
        .filter(|c| !c.is_control())
        .take(60)
        .collect();
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!(", {unit}")
    };
    paragraph(
        text,
        &format!("{name:28} "),
        &format!("{what}{unit} ({})", mapped.why),
    );
}

fn line(text: &mut String, average: &Average) {
    let channel = average.channel;
    let [mean, doubt, scatter] = [(average.mean, 5), (average.doubt, 2), (average.scatter, 2)]
        .map(|(value, digits)| round(value, digits));
    let _ = writeln!(
        text,
        "{:30}{:>6} {mean:>10} {doubt:>10} {scatter:>10} {:>7}",
        channel.label(),
        channel.unit(),
        average.count
    );
}

fn pull_words(pull: &Pull) -> String {
    let [low, high] = pull.speeds();
    let start = pull.samples.first().map_or(0.0, |sample| sample.time);
    let (seconds, samples) = (pull.seconds(), pull.samples.len());
    format!("from {start:.1} s on: {low:.0} to {high:.0} rpm in {seconds:.1} s, {samples} samples")
}

/// For programs.
pub(super) fn json(path: &Path, log: &Log) -> Result<String, String> {
    let columns: Vec<Value> = log.mapping.iter().map(mapped).collect();
    let windows: Vec<Value> = log.windows.iter().map(window).collect();
    let pulls: Vec<Value> = log.pulls.iter().map(trace).collect();
    let all = json!({
        "log": path.display().to_string(),
        "rows": log.rows,
        "seconds": log.seconds,
        "ambient_kpa": log.ambient / 1e3,
        "notes": log.notes,
        "columns": columns,
        "windows": windows,
        "pulls": pulls,
    });
    serde_json::to_string_pretty(&all)
        .map(|text| text + "\n")
        .map_err(|e| e.to_string())
}

fn mapped(mapped: &Mapped) -> Value {
    let reading = match mapped.taken {
        Taken::Time => Some("time"),
        Taken::Reading(channel) => Some(channel.key()),
        Taken::LeftOut => None,
    };
    json!({ "column": mapped.column, "reading": reading, "unit": mapped.unit, "why": mapped.why })
}

fn window(window: &Window) -> Value {
    let readings: Map<String, Value> = (window.averages.iter())
        .map(|a| {
            let value = json!({ "mean": a.mean, "doubt": a.doubt, "scatter": a.scatter, "values": a.count });
            (a.channel.key().to_string(), value)
        })
        .collect();
    json!({
        "name": window.name(),
        "kind": window.kind.words(),
        "start_s": window.start,
        "seconds": window.seconds,
        "pieces": window.pieces,
        "engine_speed_rpm": window.speed,
        "pedal_share": window.pedal,
        "load": window.load.map(|(channel, value)| json!({ "reading": channel.key(), "mean": value })),
        "readings": readings,
    })
}

fn trace(pull: &Pull) -> Value {
    let column = |i: usize| -> Vec<Option<f64>> {
        let values = pull.samples.iter().map(|sample| sample.values[i]);
        values
            .map(|value| value.is_finite().then_some(value))
            .collect()
    };
    let signals: Map<String, Value> = (pull.channels.iter().enumerate())
        .map(|(i, channel)| (channel.key().to_string(), json!(column(i))))
        .collect();
    let times: Vec<f64> = pull.samples.iter().map(|sample| sample.time).collect();
    json!({ "time_s": times, "signals": signals })
}
