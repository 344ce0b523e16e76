//! What comes out of a case.

use super::Value;
use crate::control::Code;
use crate::network::readings::READINGS;
use crate::solve::Failure;
use crate::study::asking::sensitivity::Columns;
use crate::study::running::dangers::Danger;
use crate::study::running::history::Branch;
use crate::study::running::simulate::Side;

/// One line of a study's answer.
#[derive(Clone, Debug)]
pub struct Row {
    /// Number of the case, from 0.
    pub case: u64,
    /// Its values, one an axis.
    pub values: Vec<Value>,
    /// Number of the operating point, from 0; 0 for a drive.
    pub point: usize,
    /// What came out.
    pub outcome: Outcome,
}

/// What came out of a case at a point, or of its drive.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// The car as it is, at the point, with the derivatives of its readings: one column a
    /// quantity of the plan, reading unit per SI unit, not-a-number where there is none; and
    /// which of its steady states this is.
    Point(Box<Side>, Columns<READINGS>, Branch),
    /// The drive.
    Drive(Box<Reduced>),
    /// There is no answer.
    None(Failed),
}

/// Why there is no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failed {
    /// Kind, a plain word.
    pub kind: &'static str,
    /// In words.
    pub why: String,
}

/// A drive, reduced to a few numbers a reading (not-a-number where one has no meaning).
#[derive(Clone, Debug)]
pub struct Reduced {
    /// Least, most, mean over the even samples, and last of each reading.
    pub readings: [[f64; 4]; READINGS],
    /// Trouble codes set on the way, each once, in order.
    pub codes: Vec<Code>,
    /// The worst danger of each kind on the way, each with its time.
    pub dangers: Vec<Danger>,
}

/// What the numbers of [`Reduced`] are called.
pub const REDUCED: [&str; 4] = ["min", "max", "mean", "end"];

/// Why a solver gave none.
pub(super) fn failed(failure: &Failure) -> Failed {
    Failed {
        kind: match failure {
            Failure::Stalled { .. } => "stalled",
            Failure::Unreachable { .. } => "unreachable",
            Failure::Surging => "surging",
            Failure::Hunting { .. } => "hunting",
            Failure::Misfiring { .. } => "misfiring",
            Failure::Unsettled { .. } => "unsettled",
            Failure::StepTooSmall { .. } => "step_too_small",
            Failure::OverLimit { .. } => "over_speed_limit",
        },
        why: failure.to_string(),
    }
}
