//! An axis, read and checked.

use super::file::{self, Spacing};
use super::key::{Target, Value, quantity};
use crate::params::{Amount, Field};
use crate::scenario::Mistake;

/// An axis of a study.
#[derive(Clone, Debug)]
pub struct Axis {
    /// Its dotted key.
    pub key: String,
    /// What it varies.
    pub target: Target,
    /// The unit its numbers were given in, of a table's column that names one.
    pub unit: Option<String>,
    levels: Levels,
}

#[derive(Clone, Debug)]
enum Levels {
    List(Vec<Value>),
    /// SI; what a table of many cases has.
    Numbers(Vec<f64>),
    /// From, to (SI), how many, in equal ratios or else steps.
    Range(f64, f64, Option<u64>, Spacing),
}

impl Axis {
    /// Reads the axis at `place` in the list. A `grid` needs a `count` where it has a range.
    ///
    /// # Errors
    /// An unknown key, a value out of its quantity's range, keys that contradict.
    pub fn read(axis: &file::Axis, place: usize, grid: bool) -> Result<Self, Mistake> {
        let at = |key: String, message: String| Mistake {
            key: format!("axis.{place}.{key}"),
            message,
        };
        let target = Target::of(&axis.key).map_err(|e| at("key".into(), e.to_string()))?;
        let levels = match (
            axis.from.as_ref().map(Amount::text),
            axis.to.as_ref().map(Amount::text),
            axis.values.len(),
            axis.shapes.len(),
        ) {
            (None, None, 1.., 0) if axis.count.is_none() => {
                let each = axis.values.iter().enumerate();
                let read = each.map(|(i, text)| {
                    let value = target.read(text.text());
                    value.map_err(|e| at(format!("values.{i}"), e.to_string()))
                });
                Levels::List(read.collect::<Result<_, _>>()?)
            }
            (None, None, 0, 1..) if matches!(target, Target::Shape(_)) => Levels::List(
                axis.shapes
                    .iter()
                    .map(|shape| Value::Shape(*shape))
                    .collect(),
            ),
            (None, None, 0, 1..) => {
                let message = "`shapes` go with the key `leak.0.shape`";
                return Err(at("shapes".into(), message.into()));
            }
            (Some(from), Some(to), 0, 0) => {
                let Target::Quantity(field) = &target else {
                    let message = "a choice of words or shapes has no `from` and `to`: list them";
                    return Err(at("from".into(), message.into()));
                };
                range(field, (from, to), axis, grid).map_err(|(key, m)| at(key.into(), m))?
            }
            _ => {
                let message = "an axis has `values`, or `from` and `to`, or `shapes`\n\
                     values = [\"1 mm\", \"2 mm\"]\n\
                     from = \"1 mm\", to = \"8 mm\", count = 4, spacing = \"logarithmic\"";
                return Err(at("key".into(), message.into()));
            }
        };
        Ok(Self {
            key: axis.key.clone(),
            target,
            unit: None,
            levels,
        })
    }

    /// A column of a table of cases: `numbers` (SI) where its target is a quantity, else `words`.
    pub(super) fn of_column(
        key: String,
        target: Target,
        unit: Option<String>,
        numbers: Vec<f64>,
        words: Vec<Value>,
    ) -> Self {
        let levels = match target {
            Target::Quantity(_) => Levels::Numbers(numbers),
            _ => Levels::List(words),
        };
        Self {
            key,
            target,
            unit,
            levels,
        }
    }

    /// Number of values in a grid.
    pub fn len(&self) -> u64 {
        match &self.levels {
            Levels::List(list) => list.len() as u64,
            Levels::Numbers(list) => list.len() as u64,
            Levels::Range(.., count, _) => count.unwrap_or(1),
        }
    }

    /// Never: an axis has at least one value.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Whether it varies leaks and faults, and leaves the healthy car as it is.
    pub fn is_of_fault(&self) -> bool {
        let starts = ["leak.", "fault.", "trims", "history"];
        starts.iter().any(|start| self.key.starts_with(start))
    }

    /// Whether it varies nothing but what is wrong, and how that came about.
    pub fn is_of_ray(&self) -> bool {
        self.is_of_fault() && self.target != Target::Trims
    }

    /// Whether neighbouring values are near each other.
    pub fn is_numeric(&self) -> bool {
        matches!(self.target, Target::Quantity(_))
    }

    /// The value at a place in the grid.
    pub fn value(&self, place: u64) -> Value {
        match &self.levels {
            Levels::List(list) => list[place as usize],
            Levels::Numbers(list) => Value::Number(list[place as usize]),
            // The ends exactly, whatever rounding does between.
            Levels::Range(_, to, Some(count), _) if place + 1 == *count => Value::Number(*to),
            Levels::Range(_, _, count, _) => {
                let steps = count.map_or(1, |count| count.saturating_sub(1).max(1));
                self.between(place as f64 / steps as f64)
            }
        }
    }

    /// The value at a coordinate from 0 to below 1.
    pub fn between(&self, share: f64) -> Value {
        let nearest = |count: usize| ((share * count as f64) as usize).min(count - 1);
        match &self.levels {
            Levels::List(list) => list[nearest(list.len())],
            Levels::Numbers(list) => Value::Number(list[nearest(list.len())]),
            Levels::Range(from, ..) if share == 0.0 => Value::Number(*from),
            Levels::Range(from, to, _, Spacing::Linear) => {
                Value::Number(from + share * (to - from))
            }
            Levels::Range(from, to, _, Spacing::Logarithmic) => {
                // Rounding must not carry a value out of its range.
                let value = from * (to / from).powf(share);
                Value::Number(value.clamp(from.min(*to), from.max(*to)))
            }
        }
    }
}

fn range(
    field: &Field,
    (from, to): (&str, &str),
    axis: &file::Axis,
    grid: bool,
) -> Result<Levels, (&'static str, String)> {
    let start = quantity(field, from).map_err(|e| ("from", e.to_string()))?;
    let end = quantity(field, to).map_err(|e| ("to", e.to_string()))?;
    if start == end {
        return Err(("to", "`from` and `to` are the same".into()));
    }
    if axis.spacing == Spacing::Logarithmic && (start <= 0.0 || end <= 0.0) {
        let (key, which) = if start <= 0.0 {
            ("from", from)
        } else {
            ("to", to)
        };
        let message = format!("logarithmic spacing needs ends above 0, not `{which}`");
        return Err((key, message));
    }
    match (grid, axis.count) {
        (true, None) => Err((
            "from",
            "in a grid, `from` and `to` need a `count` of values".into(),
        )),
        (true, Some(count)) if count.fract() != 0.0 => {
            Err(("count", "a count is a whole number".into()))
        }
        (true, Some(count)) => Ok(Levels::Range(start, end, Some(count as u64), axis.spacing)),
        (false, None) => Ok(Levels::Range(start, end, None, axis.spacing)),
        (false, Some(_)) => Err((
            "count",
            "a sample has one `count` for all axes, before all tables".into(),
        )),
    }
}
