//! Whether one fault is enough, or two are tried.

use super::evidence::Evidence;
use super::ladders::Ladders;
use super::ranking::{Diagnosis, NoDiagnosis, Verdict};

/// Readings up to which pairs of faults are tried without being asked for: their time goes with its
/// square.
const FEW: usize = 30;

impl Diagnosis {
    /// From what was found: two faults at once as well if `always`, or if none alone explains every
    /// reading, and there are not too many readings to try all pairs against.
    ///
    /// # Errors
    /// As [`new`](Self::new).
    pub fn considered(
        ladders: &Ladders,
        evidence: &Evidence,
        always: bool,
    ) -> Result<Self, NoDiagnosis> {
        let alone = Self::new(ladders, evidence, always)?;
        match !always && alone.wants_pairs(evidence) {
            true => Self::new(ladders, evidence, true),
            false => Ok(alone),
        }
    }

    /// Whether this answer of faults one at a time leaves something unexplained that two at once may
    /// explain, and there are not too many readings to try all pairs against.
    pub fn wants_pairs(&self, evidence: &Evidence) -> bool {
        let first = self.hypotheses.first();
        let set_aside = first.is_some_and(|first| first.posterior.fit.bad.is_some());
        let unexplained = set_aside || self.verdict == Verdict::NothingFits;
        unexplained && evidence.reads.len() <= FEW
    }
}
