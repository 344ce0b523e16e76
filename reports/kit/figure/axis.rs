//! An axis: which values, where they lie, where the ticks stand.

use plotters::coord::ranged1d::{BoldPoints, KeyPointHint, Ranged};
use plotters::coord::types::RangedCoordf64;

/// An axis of a chart.
#[derive(Clone, Debug)]
pub struct Axis {
    /// What it counts.
    pub label: String,
    /// In which unit; empty where there is none.
    pub unit: String,
    /// Whether equal distances are equal ratios.
    pub log: bool,
    /// Lowest and highest value; from the data if not given.
    pub range: Option<(f64, f64)>,
}

impl Axis {
    /// An even axis over its data.
    pub fn new(label: impl Into<String>, unit: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            unit: unit.into(),
            log: false,
            range: None,
        }
    }

    /// The same over these values.
    pub fn over(self, low: f64, high: f64) -> Self {
        Self {
            range: Some((low, high)),
            ..self
        }
    }

    /// The same with equal ratios at equal distances.
    pub fn log(self) -> Self {
        Self { log: true, ..self }
    }

    /// Label and unit.
    pub fn title(&self) -> String {
        match self.unit.is_empty() {
            true => self.label.clone(),
            false => format!("{}, {}", self.label, self.unit),
        }
    }

    /// The axis over these values, drawn between two places.
    pub fn scale(&self, values: impl Iterator<Item = f64>, from: f64, to: f64) -> Scale {
        let finite = values.filter(|value| value.is_finite() && (!self.log || *value > 0.0));
        let (low, high) = finite.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        let (low, high) = match self.range {
            Some(range) => range,
            None if low > high => (0.0, 1.0),
            None if self.log => (low, high.max(low * 1.01)),
            None => {
                // So much room that a constant is not drawn as noise.
                let least = 1e-3 * low.abs().max(high.abs()).max(1e-3);
                let room = (0.06 * (high - low)).max(least);
                (low - room, high + room)
            }
        };
        Scale {
            low,
            high,
            log: self.log,
            from,
            to,
        }
    }
}

/// An axis with its values and places.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    /// Lowest value.
    pub low: f64,
    /// Highest value.
    pub high: f64,
    log: bool,
    from: f64,
    to: f64,
}

impl Scale {
    /// Where a value lies, px; those beyond an end lie at it.
    pub fn at(&self, value: f64) -> f64 {
        let value = value.clamp(self.low, self.high);
        let share = match self.log {
            true => (value / self.low).ln() / (self.high / self.low).ln(),
            false => (value - self.low) / (self.high - self.low),
        };
        self.from + share * (self.to - self.from)
    }

    /// Whether a value lies on the axis.
    pub fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }

    /// About so many values to mark, with their words.
    pub fn ticks(&self, about: usize) -> Vec<(f64, String)> {
        let values = match self.log {
            true => decades(self.low, self.high, about),
            false => {
                let range = RangedCoordf64::from(self.low..self.high);
                range.key_points(Bold(about))
            }
        };
        let step = (values.windows(2))
            .map(|pair| pair[1] - pair[0])
            .fold(f64::INFINITY, f64::min);
        let decimals = if step.is_finite() && step > 0.0 {
            (-(step * 1.0001).log10().floor()).clamp(0.0, 6.0) as usize
        } else {
            0
        };
        let words = |value: f64| match self.log {
            true => crate::text::number::digits(value, 3),
            false => crate::text::number::number(value, decimals),
        };
        values
            .into_iter()
            .map(|value| (value, words(value)))
            .collect()
    }

    /// The attributes that let a reader's pointer find values here.
    pub fn attribute(&self) -> String {
        let kind = if self.log { "log" } else { "even" };
        format!(
            "{kind} {} {} {} {}",
            self.low, self.high, self.from, self.to
        )
    }
}

/// How many ticks the drawing library should find.
struct Bold(usize);

impl KeyPointHint for Bold {
    fn max_num_points(&self) -> usize {
        self.0
    }
    fn weight(&self) -> plotters::coord::ranged1d::KeyPointWeight {
        BoldPoints(self.0).weight()
    }
    fn bold_points(&self) -> usize {
        self.0
    }
}

/// 1, 2 and 5 of each decade between two values; fewer where they are too many.
fn decades(low: f64, high: f64, most: usize) -> Vec<f64> {
    let steps: [&[f64]; 3] = [&[1.0, 2.0, 5.0], &[1.0, 3.0], &[1.0]];
    let within = |of: &[f64]| -> Vec<f64> {
        let first = low.log10().floor() as i32;
        let last = high.log10().ceil() as i32;
        (first..=last)
            .flat_map(|power| of.iter().map(move |step| step * 10f64.powi(power)))
            .filter(|value| (low * 0.9999..=high * 1.0001).contains(value))
            .collect()
    };
    let all = steps.map(within);
    let fits = all.iter().find(|ticks| ticks.len() <= most);
    fits.unwrap_or(&all[2]).clone()
}
