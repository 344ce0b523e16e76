//! Results for reading: at most 80 columns.

use crate::simulate::{Case, Drives, point_failures};
use sim::network::readings::{ALL, FORMS, Reading as R};
use sim::study::explain::explain;
use sim::study::simulate::{PointResult, Side};
use std::fmt::Write;

const WIDTH: usize = 79;

/// Shown beside a leak only where they change.
const SECONDARY: [R; 7] = [
    R::LambdaSensor,
    R::ExhaustPressure,
    R::InletDepression,
    R::CrankcasePressure,
    R::SparkRetard,
    R::RecirculationValve,
    R::SurgeMargin,
];

/// Printed at the end of every table.
const CAUTION: &str = "Before you test a car for this: boosted hoses and pipes can let go, fans, belts \
and turbo spin, exhaust is hot and poisonous, fuel vapour burns, and a lean \
engine under full load can destroy itself. Follow the maker's procedure and \
local codes; leave licensed work to those who hold the licence.";

/// Operating points, healthy beside faulty.
pub fn points(case: &Case, points: &[PointResult]) -> String {
    let mut text = head(case);
    for (result, wanted) in points.iter().zip(&case.scenario.point) {
        let _ = writeln!(
            text,
            "\n-- {} {}",
            result.name,
            "-".repeat(WIDTH.saturating_sub(4 + result.name.chars().count()))
        );
        let healthy = result.healthy.as_ref().ok();
        let faulty = result.faulty.as_ref().and_then(|side| side.as_ref().ok());
        block(&mut text, healthy, result.faulty.is_some(), faulty);
        if let Some((h, f)) = healthy.zip(faulty) {
            leaks(&mut text, f);
            if let Ok(command) = wanted.command() {
                let why = explain(h, f, case.network.vehicle.metering, &command);
                paragraph(&mut text, "", &why);
            }
        }
        for failure in point_failures(result) {
            paragraph(&mut text, "NO ANSWER  ", &failure);
        }
        for (which, side) in [("healthy", healthy), ("faulty", faulty)] {
            for warning in side.map_or(&[][..], |s| &s.warnings) {
                paragraph(&mut text, "CAUTION  ", &format!("{which}: {warning}"));
            }
        }
    }
    text.push('\n');
    paragraph(&mut text, "", CAUTION);
    text
}

fn head(case: &Case) -> String {
    let mut text = String::new();
    let air = &case.network.ambient;
    paragraph(&mut text, "", &case.scenario.title);
    paragraph(
        &mut text,
        "car  ",
        &format!(
            "{}: {}",
            case.network.vehicle.name, case.network.vehicle.about
        ),
    );
    let around = format!(
        "{:.1} kPa abs, {:.0} °C",
        air.pressure / 1e3,
        air.temperature - 273.15
    );
    paragraph(&mut text, "air  ", &around);
    text
}

/// Readings and ledger as lines of `label unit healthy faulty difference`.
fn block(text: &mut String, healthy: Option<&Side>, leaky: bool, faulty: Option<&Side>) {
    let _ = if leaky {
        writeln!(
            text,
            "{:24}{:6}{:>14}{:>14}{:>14}",
            "", "", "healthy", "faulty", "difference"
        )
    } else {
        writeln!(text, "{:24}{:6}{:>14}", "", "", "healthy")
    };
    for (reading, form) in ALL.iter().zip(FORMS) {
        let of = |side: Option<&Side>| side.and_then(|side| side.readings.get(*reading));
        let (h, f) = (of(healthy), of(faulty));
        let change = h.zip(f).map_or(1.0, |(h, f)| (f - h).abs());
        let shows = change >= 0.5 * 10f64.powi(-(form.decimals as i32));
        if !leaky || shows || !SECONDARY.contains(reading) {
            row(text, form.label, form.unit, form.decimals, h, leaky, f);
        }
    }
    let _ = writeln!(text, "  air ledger");
    type Entry = fn(&Side) -> f64;
    let entries: [(&str, Entry); 8] = [
        ("  in through filter", |s| s.ledger.metered_in),
        ("  in past the filter", |s| s.ledger.unmetered_in),
        ("  lost to outside", |s| s.ledger.lost),
        ("  recirculated", |s| s.ledger.recirculated),
        ("  past the rings, back", |s| s.ledger.blow_by),
        ("  into cylinders", |s| s.ledger.engine),
        ("  into exhaust by leak", |s| s.ledger.exhaust_in),
        ("  out of exhaust by leak", |s| s.ledger.exhaust_lost),
    ];
    for (label, entry) in entries {
        let (h, f) = (healthy.map(entry), faulty.map(entry));
        let empty = |v: Option<f64>| v.is_none_or(|v| v.abs() < 5e-4);
        if !(empty(h) && empty(f)) {
            row(text, label, "g/s", 3, h, leaky, f);
        }
    }
}

fn row(
    text: &mut String,
    label: &str,
    unit: &str,
    decimals: usize,
    h: Option<f64>,
    leaky: bool,
    f: Option<f64>,
) {
    let one = |v: Option<f64>, sign: bool| match v {
        None => "-".to_string(),
        Some(v) => {
            // A difference smaller than the last digit is no difference; no "-0.0".
            let v = if v.abs() < 0.5 * 10f64.powi(-(decimals as i32)) {
                0.0
            } else {
                v
            };
            if sign && v != 0.0 {
                format!("{v:+.decimals$}")
            } else {
                format!("{v:.decimals$}")
            }
        }
    };
    // Points stand under each other: three decimals' room to the right of each.
    let room = 3usize.saturating_sub(decimals) + usize::from(decimals == 0);
    let cell = |t: String| {
        let w = 14 - room;
        if t == "-" {
            format!("{t:>10}    ")
        } else {
            format!("{t:>w$}{:room$}", "")
        }
    };
    let mut line = format!("{label:24}{unit:6}{}", cell(one(h, false)));
    if leaky {
        line += &cell(one(f, false));
        line += &cell(one(f.zip(h).map(|(f, h)| f - h), true));
    }
    let _ = writeln!(text, "{}", line.trim_end());
}

fn leaks(text: &mut String, side: &Side) {
    for leak in &side.leaks {
        let (place, shape) = (
            leak.place.word().replace('_', " "),
            leak.shape.replace('_', " "),
        );
        let what = if leak.flow.abs() < 5e-4 {
            format!("{place} ({shape}): passes next to nothing here")
        } else {
            let hole = leak.equivalent_hole;
            let hole = hole.map_or(String::new(), |mm| format!(", as a sharp {mm:.2} mm hole"));
            let way = if leak.flow >= 0.0 { "in" } else { "out" };
            let regime = leak.regime.word();
            format!(
                "{place} ({shape}): {:+.3} g/s {way}{hole}, {regime}",
                leak.flow
            )
        };
        paragraph(text, "  leak  ", &what);
    }
}

/// `label` and text, wrapped.
fn paragraph(text: &mut String, label: &str, words: &str) {
    let indent = " ".repeat(label.chars().count());
    let mut line = label.to_string();
    let mut started = false;
    for word in words.split_whitespace() {
        if started && line.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(text, "{line}");
            line = indent.clone() + word;
        } else {
            if started {
                line.push(' ');
            }
            line += word;
        }
        started = true;
    }
    let _ = writeln!(text, "{line}");
}

/// A drive: some twenty moments of the main readings.
pub fn trace(case: &Case, drives: &Drives) -> String {
    const SHOWN: [(R, &str, &str); 6] = [
        (R::EngineSpeed, "speed", "rpm"),
        (R::Boost, "boost", "kPa"),
        (R::EngineAir, "air", "g/s"),
        (R::Lambda, "lambda", ""),
        (R::ShaftSpeed, "turbo", "krpm"),
        (R::Torque, "torque", "N m"),
    ];
    let mut text = head(case);
    let count = drives.healthy.samples.len();
    let every = count.div_ceil(24).max(1);
    for (which, trace) in [
        ("healthy", Some(&drives.healthy)),
        ("faulty", drives.faulty.as_ref()),
    ] {
        let Some(trace) = trace else { continue };
        let _ = write!(text, "\n{which:9}{:>6}", "time");
        for (_, label, _) in SHOWN {
            let _ = write!(text, "{label:>9}");
        }
        let _ = write!(text, "\n{:9}{:>6}", "", "s");
        for (_, _, unit) in SHOWN {
            let _ = write!(text, "{unit:>9}");
        }
        text.push('\n');
        let mut pieces = trace.pieces.iter().peekable();
        for sample in trace.samples.iter().step_by(every) {
            let mut name = "";
            while let Some((_, next)) = pieces.next_if(|(from, _)| *from <= sample.time + 1e-9) {
                name = next;
            }
            let _ = write!(text, "{:9.9}{:>6.2}", name, sample.time);
            for (reading, _, _) in SHOWN {
                let decimals = FORMS[reading as usize].decimals.min(2);
                match sample.readings.get(reading) {
                    Some(v) => {
                        let _ = write!(text, "{v:>9.decimals$}");
                    }
                    None => {
                        let _ = write!(text, "{:>9}", "-");
                    }
                }
            }
            text.push('\n');
        }
        if let Some(failure) = &trace.failure {
            paragraph(
                &mut text,
                "NO ANSWER  ",
                &format!("the drive ends early: {failure}"),
            );
        }
    }
    text.push('\n');
    paragraph(&mut text, "", CAUTION);
    text
}
