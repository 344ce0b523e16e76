//! Thresholds for programs and spreadsheets, and in words.

use crate::answer::Trouble;
use crate::answer::csv::{number, rows};
use crate::commands::threshold::Found;
use crate::record;
use crate::say::threshold as say;
use sim::network::{Defect, Leak};
use sim::study::asking::threshold::{Outcome, Thresholds};

/// A thousandth of an inch, m (exact).
const THOU: f64 = 25.4e-6;

record! {
    /// From which size on leaks show.
    pub(super) struct ThresholdFile {
        vehicle: String;
        /// Where one watches.
        points: Vec<String>;
        rows: Vec<Row>;
    }

    /// A leak that grows.
    pub(super) struct Row {
        place: &'static str;
        shape: &'static str;
        largest_tried_mm: f64;
        largest_without_symptom_mm: Option<f64>;
        thresholds: Vec<Line>;
        no_steady_running: Vec<Stop>;
    }

    /// A symptom, and whether it shows `from` a size on, `by the healthy car` or `not`.
    pub(super) struct Line {
        symptom: String;
        /// The same in words.
        symptom_in_words: String;
        shown: &'static str;
        size_mm: Option<f64>;
        /// Where it shows first.
        point: Option<String>;
    }

    /// Where the engine runs no more, and from which size on.
    pub(super) struct Stop {
        point: String;
        from_mm: f64;
    }
}

impl Row {
    fn new(found: &Found, (worst, thresholds): &(Defect, Thresholds)) -> Self {
        let stops = thresholds.stops.iter().map(|(point, size)| Stop {
            point: point.clone(),
            from_mm: size * 1e3,
        });
        let lines = found.symptoms.iter().zip(&thresholds.outcomes);
        let lines = lines.map(|(symptom, outcome)| {
            let (shown, size_mm, point) = match outcome {
                Outcome::From { size, point } => ("from", Some(size * 1e3), Some(point)),
                Outcome::Sound(point) => ("by the healthy car", None, Some(point)),
                Outcome::Never => ("not", None, None),
            };
            Line {
                symptom: symptom.text.clone(),
                symptom_in_words: symptom.words(),
                shown,
                size_mm,
                point: point.cloned(),
            }
        });
        Self {
            place: worst.part(),
            shape: match worst {
                Defect::Leak(leak) => leak.shape.name(),
                Defect::Fault(_) => "",
            },
            largest_tried_mm: worst.size() * 1e3,
            largest_without_symptom_mm: tolerated(worst, thresholds).map(|size| size * 1e3),
            thresholds: lines.collect(),
            no_steady_running: stops.collect(),
        }
    }
}

/// All of it.
pub(super) fn file(found: &Found) -> ThresholdFile {
    ThresholdFile {
        vehicle: found.car.clone(),
        points: found.points.clone(),
        rows: found.rows.iter().map(|row| Row::new(found, row)).collect(),
    }
}

/// One row a place and symptom.
pub(super) fn csv(data: &ThresholdFile) -> Result<String, Trouble> {
    let heads = ["place", "shape", "symptom", "shown", "size_mm", "point"];
    let lines = data.rows.iter().flat_map(|row| {
        row.thresholds.iter().map(|line| {
            let point = line.point.clone().unwrap_or_default();
            let words = [row.place, row.shape, &line.symptom, line.shown];
            let [place, shape, symptom, shown] = words.map(String::from);
            [place, shape, symptom, shown, number(line.size_mm), point]
        })
    });
    rows(heads, lines)
}

/// The largest gap, in words.
pub(super) fn verdict(worst: &Defect, leak: &Leak<f64>, found: &Thresholds) -> String {
    match tolerated(worst, found) {
        Some(size) => {
            let [mm, thou] = down(size);
            say::at_most(format!("{mm} mm ({thou} thou)"), leak.shape.measure().words)
        }
        None => say::NO_GAP.into(),
    }
}

/// The largest size that shows none of the symptoms, SI.
pub(super) fn tolerated(worst: &Defect, found: &Thresholds) -> Option<f64> {
    let ends = found.outcomes.iter().map(|outcome| match outcome {
        Outcome::From { size, .. } => Some(*size),
        Outcome::Sound(_) => None,
        Outcome::Never => Some(worst.size()),
    });
    let stops = found.stops.iter().map(|(_, size)| Some(*size));
    ends.chain(stops)
        .try_fold(worst.size(), |least, size| Some(least.min(size?)))
}

/// A length, SI, in mm and thou, rounded down to what a feeler gauge tells.
pub(super) fn down(size: f64) -> [String; 2] {
    let floor = |value: f64, step: f64| (value / step * (1.0 + 1e-12)).floor() * step;
    let thou = size / THOU;
    let (step, decimals) = if thou < 10.0 { (0.1, 1) } else { (1.0, 0) };
    [
        format!("{:.3}", floor(size * 1e3, 1e-3)),
        format!("{:.decimals$}", floor(thou, step)),
    ]
}
