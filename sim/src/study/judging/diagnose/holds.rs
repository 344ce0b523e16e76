//! What keeps the engine from being loaded for the next test, though no danger was read.

use super::evidence::Evidence;
use super::ladders::Ladders;
use super::posterior::Posterior;

/// What keeps the engine from being loaded, though no danger was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// The engine does not run at the idle of this index.
    Stalls(usize),
    /// All is that of a healthy car but this reading (by index), which fits nothing: it may be
    /// misread, or the only one that tells.
    ReadAgain(usize),
}

impl Holds {
    /// A stalling idle counts whatever fits; a reading where the likeliest car is healthy but for it.
    pub(super) fn of(
        ladders: &Ladders,
        evidence: &Evidence,
        likeliest: Option<&Posterior>,
    ) -> Option<Self> {
        let idle = |c: &&usize| !ladders.conditions[**c].loads();
        if let Some(c) = evidence.not_running.iter().find(idle) {
            return Some(Holds::Stalls(*c));
        }
        let sound = likeliest.filter(|likeliest| likeliest.faults.is_empty())?;
        // An idle that stands high has a reason more often than it is misread.
        let raised = &sound.shown.raised;
        let bad = sound.fit.bad;
        let bad = bad.filter(|i| raised.iter().all(|(speed, _)| speed != i));
        bad.map(Holds::ReadAgain)
    }
}
