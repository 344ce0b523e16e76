//! What was met in a log, in words.

use super::decide::Reader;
use super::feed::Times;
use super::survey;
use sim::study::knowing::log::{Channel, Found};
use sim::units::round;

/// What was met on the second way through.
#[derive(Clone, Debug)]
pub(super) struct Tally {
    pub passed: survey::Passed,
    pub times: Times,
    /// Cells out of the range of their channel.
    pub wild: u64,
}

impl Tally {
    /// What a person should know of it.
    pub fn notes(&self, found: &Found, readers: &[Reader]) -> Vec<String> {
        let mut notes = Vec::new();
        let times = &self.times;
        let mut counted = |count: u64, what: &str| {
            if count > 0 {
                notes.push(format!("{what}: {count}"));
            }
        };
        counted(self.passed.words, "rows of words passed over");
        counted(
            self.passed.spoilt,
            "lines with bytes that no text holds passed over",
        );
        counted(
            self.passed.short,
            "rows with fewer cells than there are names",
        );
        counted(
            times.moments.odd,
            "rows without a time, or a little before the row above: that one's time is taken",
        );
        counted(times.moments.same, "rows with the time of the row above");
        counted(
            times.moments.restarts,
            "clock runs back by more than 1 s, and the log goes on in another piece",
        );
        let (jumps, farthest) = times.jumps;
        let [gap, farthest] = [times.gap, farthest.min(1e308)].map(|s| round(s, 3));
        counted(
            jumps,
            &format!(
                "clock jumps ahead by more than {gap} s ({farthest} s at most): nothing is held \
                 over a jump, and its time does not count"
            ),
        );
        counted(
            times.astray,
            "rows whose clock jumps away and comes back with the next row left out",
        );
        counted(self.wild, "cells out of all range left out");
        counted(found.pulls_dropped, "pulls beyond those kept left out");
        if found.windows_dropped > 0.0 {
            notes.push(format!(
                "{:.0} s of steady running beyond the windows kept left out",
                found.windows_dropped
            ));
        }
        if found.cold > 0.0 {
            notes.push(format!(
                "{:.0} s with coolant below 70 °C left out: the engine was cold",
                found.cold
            ));
        }
        if !readers
            .iter()
            .any(|reader| reader.channel == Channel::Coolant)
        {
            notes.push("no coolant temperature: the engine is taken to be warm".into());
        }
        if found.windows.is_empty() {
            notes.push(format!(
                "no steady window was found ({})",
                sim::study::knowing::log::RULE
            ));
        }
        notes
    }
}
