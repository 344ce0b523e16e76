//! Tables filled number by number, each with the rule it comes from.

use super::{Refusal, Unheld};
use crate::params::Table;

/// Dotted keys of a vehicle file, each with the rule its number comes from.
pub type Notes = Vec<(String, String)>;

/// One table of a vehicle file in the making.
pub(super) struct Part<'a> {
    table: &'static str,
    notes: &'a mut Notes,
    values: Vec<(&'static str, f64)>,
}

impl<'a> Part<'a> {
    /// An empty one.
    pub fn new(table: &'static str, notes: &'a mut Notes) -> Self {
        Self {
            table,
            notes,
            values: Vec::new(),
        }
    }

    /// A number, SI, and its rule.
    pub fn set(mut self, key: &'static str, value: f64, rule: impl Into<String>) -> Self {
        self.values.push((key, value));
        self.notes
            .push((format!("{}.{key}", self.table), rule.into()));
        self
    }

    /// The table: what is not set keeps the file's default.
    ///
    /// # Errors
    /// [`Refusal::Part`] for a number out of its range, or one that has neither rule nor default.
    pub fn done<T: Table>(self) -> Result<T, Refusal> {
        let found = |key: &str| self.values.iter().find(|(name, _)| *name == key);
        let refuse =
            |key: &str, why: Unheld| Err(Refusal::Part(format!("{}.{key}", self.table), why));
        if let Some((key, _)) =
            (self.values.iter()).find(|(key, _)| T::FIELDS.iter().all(|field| field.name != *key))
        {
            return refuse(key, Unheld::NoSuchKey);
        }
        let mut values = Vec::new();
        for field in T::FIELDS {
            let value = found(field.name).map(|(_, value)| *value).or(field.default);
            let Some(value) = value else {
                return refuse(field.name, Unheld::NoRule);
            };
            if !(field.low..=field.high).contains(&value) {
                return refuse(field.name, Unheld::OutOfRange(value, *field));
            }
            values.push(value);
        }
        Ok(T::from_values(&values))
    }
}
