//! One procedure while it is written.

use super::{Act, Does, Procedure, Protection};

/// A row while it is written.
pub(super) struct Row(pub Procedure);

impl Row {
    /// What protects, and the dangers of the work.
    pub fn safe(mut self, protection: &[Protection], cautions: &[&str]) -> Self {
        self.0.protection.extend(protection);
        self.0
            .cautions
            .extend(cautions.iter().map(|said| said.to_string()));
        self
    }

    /// A step before the reading.
    pub fn first(mut self, says: impl Into<String>, does: &[Does]) -> Self {
        self.0.set_up.push(Act::new(says, does));
        self
    }

    /// A step of the reading.
    pub fn read(mut self, says: impl Into<String>, does: &[Does]) -> Self {
        self.0.read.push(Act::new(says, does));
        self
    }

    /// When to stop.
    pub fn stop(mut self, says: impl Into<String>) -> Self {
        self.0.stop.push(says.into());
        self
    }

    /// A step of its own at the end.
    pub fn back(mut self, says: impl Into<String>, does: &[Does]) -> Self {
        self.0.back.push(Act::new(says, does));
        self
    }

    /// Highest pressure, kPa gauge, in words.
    pub fn kpa(&self) -> String {
        crate::units::round(self.0.pressure() / 1e3, 3)
    }
}
