//! An operating point with its answer, and what is asked of it for every form.

use crate::answer::dangers::Danger;
use crate::commands::simulate::drives::sides;
use crate::page::record::{WORDS, fixed};
use crate::record;
use sim::network::readings::{READINGS, Reading as R};
use sim::solve::Failure;
use sim::study::running::simulate::{PointResult, Side};

/// An operating point with its answer.
pub struct Answered {
    /// Healthy and faulty.
    pub result: PointResult,
    /// Why they differ, in a few sentences; none where a side has no answer.
    pub why: Option<String>,
    /// What other histories come to, in words, where that is another answer.
    pub others: Vec<String>,
    /// Half the width of the band in which 95 % of healthy cars of the make read.
    pub spread: Option<[f64; READINGS]>,
}

record! {
    /// A leak at an operating point.
    pub(super) struct Leak {
        /// Where.
        place: &'static str = "place" "" WORDS;
        /// Its shape.
        shape: &'static str = "shape" "" WORDS;
        /// Positive into the air path.
        flow_g_s: f64 = "flow" "g/s" fixed(3);
        /// Diameter of a sharp-edged hole that passes the same.
        equivalent_hole_mm: Option<f64> = "as a sharp-edged hole of" "mm" fixed(2);
        /// How the gas moves in it.
        regime: &'static str = "flow is" "" WORDS;
    }
}

pub(super) fn leaks(side: &Side) -> Vec<Leak> {
    let leaks = side.leaks.iter().map(|leak| Leak {
        place: leak.place.word(),
        shape: leak.shape,
        flow_g_s: leak.flow,
        equivalent_hole_mm: leak.equivalent_hole,
        regime: leak.regime.word(),
    });
    leaks.collect()
}

impl Answered {
    pub(super) fn sides(&self) -> Vec<(&'static str, &Result<Side, Failure>)> {
        sides(&self.result.healthy, self.result.faulty.as_ref())
    }

    /// Healthy and faulty, where they have an answer.
    pub(super) fn cars(&self) -> [Option<&Side>; 2] {
        let faulty = self.result.faulty.as_ref();
        let faulty = faulty.and_then(|side| side.as_ref().ok());
        [self.result.healthy.as_ref().ok(), faulty]
    }

    pub(super) fn failures(&self) -> Vec<String> {
        let failed = self.sides().into_iter();
        failed
            .filter_map(|(which, side)| Some((which, side.as_ref().err()?)))
            .map(|(which, e)| format!("{}, {which}: {e}", self.result.name))
            .collect()
    }

    /// Dangers of both cars.
    pub(super) fn dangers(&self) -> Vec<Danger> {
        let mut all = Vec::new();
        for (which, side) in self.sides() {
            let found = side.as_ref().map_or(&[][..], |side| &side.dangers);
            all.extend(Danger::all(which, &self.result.name, found));
        }
        all
    }

    /// Cautions of both cars.
    pub(super) fn warnings(&self) -> Vec<String> {
        let mut all = Vec::new();
        for (which, side) in self.sides() {
            let said = side.as_ref().map_or(&[][..], |side| &side.warnings);
            all.extend(said.iter().map(|w| format!("{which}: {w}")));
        }
        all.extend(self.others.iter().map(|other| format!("faulty: {other}")));
        all
    }

    /// Lowest and highest that 95 % of healthy cars of the make read.
    pub(super) fn band(&self, reading: R) -> Option<[f64; 2]> {
        let (sound, spread) = (self.result.healthy.as_ref().ok()?, self.spread.as_ref()?);
        let (middle, half) = (sound.readings.get(reading)?, spread[reading as usize]);
        let band = [middle - half, middle + half].map(|end| reading.within(end));
        band.iter().all(|end| end.is_finite()).then_some(band)
    }
}
