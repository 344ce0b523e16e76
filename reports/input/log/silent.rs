//! Rows that are no moment of the drive: zero in every column, from a logger that has no answer
//! of the engine computer; a summary under the log.

use super::cells::Cells;
use super::lines::number;
use super::moment::clock;
use super::thought::Thought;
use super::words::Meaning;
use sim::network::Reading as R;
use sim::study::knowing::log::Channel;

/// Numbers that a row must hold to be told (own choice).
const LEAST: usize = 4;
/// What is not zero, or hardly ever just zero together with all others.
const NEVER: [Channel; 7] = [
    Channel::Read(R::Manifold),
    Channel::Read(R::LambdaSensor),
    Channel::Read(R::IntakeTemperature),
    Channel::CommandedLambda,
    Channel::AmbientPressure,
    Channel::Coolant,
    Channel::MeterTemperature,
];

/// How rows begin that sum up those above.
const SUMMARIES: [&str; 12] = [
    "min", "max", "mean", "med", "average", "avg", "ave", "std", "standard", "sd", "sum", "total",
];

/// Tells rows that are no moment of the drive.
#[derive(Clone, Debug)]
pub(super) struct Silent {
    /// Columns of signals, and whether a zero there says something.
    places: Vec<(usize, bool)>,
    time: Option<usize>,
}

impl Silent {
    pub fn new(thoughts: &[Thought], time: Option<usize>) -> Self {
        let signals = thoughts.iter().enumerate().filter_map(|(i, thought)| {
            let Meaning::Signal(channel, ..) = thought.meaning else {
                return None;
            };
            Some((i, NEVER.contains(&channel)))
        });
        Self {
            places: signals.collect(),
            time,
        }
    }

    /// Whether the row sums up those above: its name stands where the time should.
    pub fn is_summary(&self, cells: &Cells) -> bool {
        let time = self.time.map_or(&[][..], |i| cells.get(i));
        let starts = |word: &str| {
            let start = time.get(..word.len());
            start.is_some_and(|start| start.eq_ignore_ascii_case(word.as_bytes()))
        };
        SUMMARIES.iter().any(|word| starts(word)) && clock(time).is_none()
    }

    /// Whether every measured value of this row is zero.
    pub fn is(&self, cells: &Cells) -> bool {
        let (mut zeros, mut telling) = (0, false);
        for (place, never) in &self.places {
            match number(cells.get(*place)) {
                Some(0.0) => {
                    zeros += 1;
                    telling |= never;
                }
                Some(_) => return false,
                None => {}
            }
        }
        telling && zeros >= LEAST
    }
}
