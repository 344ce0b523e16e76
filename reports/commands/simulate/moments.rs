//! A drive for reading: some twenty moments of the main readings, the cars one
//! under the other.

use crate::answer::head::head;
use crate::commands::simulate::answers::Drives;
use crate::input::case::Case;
use crate::text::words::{cautions, fixed, heading, paragraph};
use sim::network::readings::{FORMS, Reading as R};
use sim::study::running::openings::OverLimit;
use sim::study::running::trace::Sample;
use std::fmt::Write;

/// Column heads.
const SHOWN: [(R, &str); 7] = [
    (R::EngineSpeed, "speed"),
    (R::Boost, "boost"),
    (R::MeteredAir, "metered"),
    (R::EngineAir, "engine"),
    (R::Lambda, "lambda"),
    (R::ShaftSpeed, "turbo"),
    (R::Torque, "torque"),
];

/// About how many moments are shown.
const MOMENTS: f64 = 20.0;

/// The drive as text.
pub fn trace(case: &Case, drives: &Drives) -> String {
    let mut text = head(case);
    let _ = write!(text, "\n{:>7}  {:7}", "time", "");
    for (_, head) in SHOWN {
        let _ = write!(text, "{head:>9}");
    }
    let _ = write!(text, "\n{:>7}  {:7}", "s", "");
    for (reading, _) in SHOWN {
        let _ = write!(text, "{:>9}", FORMS[reading as usize].unit);
    }
    text.push('\n');
    let ends = drives.pieces.iter().skip(1).map(|(from, _)| *from);
    let ends = ends.chain([drives.duration]);
    for ((from, name), end) in drives.pieces.iter().zip(ends) {
        heading(&mut text, &format!("{name}, from {from:.2} s"));
        for index in chosen(*from, end, drives) {
            moment(&mut text, index, drives);
        }
    }
    for (i, (time, which, code)) in drives.codes().into_iter().enumerate() {
        if i == 0 {
            text.push('\n');
        }
        let reduces = if code.reduces_torque() {
            "; the computer reduces torque"
        } else {
            ""
        };
        let said = format!("{which}: at {time:.2} s {code} {}{reduces}", code.name());
        paragraph(&mut text, "CODE  ", &said);
    }
    for (i, (valve, which, from, to)) in drives.openings().into_iter().enumerate() {
        if i == 0 {
            text.push('\n');
        }
        let to = to.map_or("the end".into(), |to| format!("{to:.2} s"));
        let said = format!("{which}: {valve} open from {from:.2} s to {to}");
        paragraph(&mut text, "VALVE  ", &said);
    }
    for (i, said) in over_limit(drives).into_iter().enumerate() {
        if i == 0 {
            text.push('\n');
        }
        paragraph(&mut text, "FUEL CUT  ", &said);
    }
    for (i, failure) in drives.failures().iter().enumerate() {
        if i == 0 {
            text.push('\n');
        }
        paragraph(&mut text, "NO ANSWER  ", failure);
    }
    cautions(&mut text);
    text
}

/// When the speed limiter cut the fuel, in words.
pub fn over_limit(drives: &Drives) -> Vec<String> {
    let limit = drives.speed_limit;
    let words = |(which, over): (&str, OverLimit)| {
        let to = over.to.map_or("the end".into(), |to| format!("{to:.2} s"));
        // More than the limiter lets the engine run by itself.
        let driven = match over.highest > 1.03 * limit {
            true => {
                "; the car drives the engine over its limit: valves, rods and pistons are not made for it"
            }
            false => "",
        };
        format!(
            "{which}: speed limit of {limit:.0} rpm, from {:.2} s to {to}, {:.0} rpm at most{driven}",
            over.from, over.highest
        )
    };
    drives.over_limit().into_iter().map(words).collect()
}

/// Samples of one piece that are shown: at least its first, evenly spaced.
fn chosen(from: f64, end: f64, drives: &Drives) -> impl Iterator<Item = usize> {
    let index = |time: f64| (time / drives.interval - 1e-6).ceil() as usize;
    let (first, past) = (index(from), index(end).max(index(from) + 1));
    let rows = (MOMENTS * (end - from) / drives.duration).ceil().max(1.0);
    (first..past).step_by((past - first).div_ceil(rows as usize))
}

fn moment(text: &mut String, index: usize, drives: &Drives) {
    for (which, trace) in drives.sides() {
        let sample = trace.as_ref().ok().and_then(|t| t.samples.get(index));
        let time = match which {
            "healthy" => format!("{:.2}", index as f64 * drives.interval),
            _ => String::new(),
        };
        let mut line = format!("{time:>7}  {which:7}");
        for (reading, _) in SHOWN {
            line += &format!("{:>9}", cell(sample, reading));
        }
        let _ = writeln!(text, "{line}");
    }
}

fn cell(sample: Option<&Sample>, reading: R) -> String {
    let value = sample.and_then(|sample| sample.readings.get(reading));
    let decimals = FORMS[reading as usize].decimals.min(2);
    value.map_or("-".into(), |value| fixed(value, decimals))
}
