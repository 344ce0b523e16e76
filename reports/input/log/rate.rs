//! A sampling rate that the lines above the names state: `Sample rate: 10 Hz`.

use crate::log::lines::{number, text};

/// Words without which a number is no rate of the log.
const ABOUT: [&str; 6] = [
    "sample",
    "sampling",
    "logging",
    "logged",
    "recorded",
    "recording",
];
const PER_SECOND: [&str; 3] = ["hz", "sps", "samples/s"];
const SECONDS: [(&str, f64); 9] = [
    ("s", 1.0),
    ("sec", 1.0),
    ("second", 1.0),
    ("seconds", 1.0),
    ("ms", 1e-3),
    ("msec", 1e-3),
    ("millisecond", 1e-3),
    ("milliseconds", 1e-3),
    ("us", 1e-6),
];
/// Times between rows that a log has, s.
const INTERVALS: [f64; 2] = [1e-4, 60.0];

/// A rate and where it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stated {
    /// Time between rows, s.
    pub interval: f64,
    /// Line of the file.
    pub line: u64,
}

/// The first rate in these lines, each with its number.
pub(super) fn stated<'a>(lines: impl Iterator<Item = (&'a [u8], u64)>) -> Option<Stated> {
    let mut all = lines.filter(|(line, _)| line.len() < 400);
    all.find_map(|(line, at)| {
        let interval = of(&text(line).to_lowercase())?;
        let known = (INTERVALS[0]..=INTERVALS[1]).contains(&interval);
        known.then_some(Stated { interval, line: at })
    })
}

fn of(line: &str) -> Option<f64> {
    if !ABOUT.iter().any(|word| line.contains(word)) {
        return None;
    }
    let (value, units) = pieces(line)?;
    if line.contains("per second") || units.iter().any(|unit| PER_SECOND.contains(&&**unit)) {
        return Some(1.0 / value);
    }
    let timed = ["interval", "period", "step", "rate", "every", "time"];
    if !timed.iter().any(|word| line.contains(word)) {
        return None;
    }
    let second = |unit: String| SECONDS.iter().find(|(name, _)| *name == unit);
    units.into_iter().find_map(second).map(|(_, s)| value * s)
}

/// The only number of a line, and its words; none where it holds several.
fn pieces(line: &str) -> Option<(f64, Vec<String>)> {
    let (mut value, mut words) = (None, Vec::new());
    let apart = |c: char| c.is_whitespace() || ":;=()[]\"#|".contains(c);
    // A comma parts, unless it stands in a number.
    let line = line.replace(", ", " ");
    for piece in line.split(apart).flat_map(|piece| {
        match number(piece.trim_end_matches(char::is_alphabetic).as_bytes()) {
            Some(_) => vec![piece],
            None => piece.split(',').collect(),
        }
    }) {
        let digits = piece.trim_end_matches(|c: char| c.is_alphabetic() || c == '/');
        match number(digits.as_bytes()) {
            Some(_) if value.is_some() => return None,
            Some(found) => {
                value = Some(found);
                words.push(piece[digits.len()..].to_string());
            }
            None => words.push(piece.to_string()),
        }
    }
    Some((value.filter(|x| *x > 0.0)?, words))
}
