//! Which readings of the evidence are dangers: they stand, whatever else fits.

use super::evidence::Evidence;
use super::ladders::Ladders;
use crate::control::{SpeedMode, ThrottleMode};
use crate::network::Reading;
use crate::study::running::condition::Condition;
use crate::study::running::dangers::{Aims, Danger, Driven, UNDER_BOOST};
use crate::study::workshop::procedures::Test;

/// What the evidence says of dangers.
#[derive(Clone, Debug, Default)]
pub(super) struct Dangerous {
    /// Those found: at the conditions, in the rest of a log, by codes.
    pub dangers: Vec<Danger>,
    /// Indices of readings that are dangers and so may not be set aside.
    pub standing: Vec<usize>,
    /// Whether something was read under boost while nobody has stated what is aimed at there.
    pub aimless: bool,
}

impl Ladders {
    /// Whether the healthy car is under boost at a condition, however its load was stated.
    pub(super) fn boosted(&self, condition: usize) -> bool {
        let spot = self.sound.spots[condition].as_ref();
        let ambient = self.car.network.ambient.pressure;
        let driven = Driven::default().expecting(spot.map(|spot| &spot.readings), ambient);
        driven.expected.is_some_and(|boost| boost > UNDER_BOOST)
    }
}

impl Condition {
    /// How readings are taken at it: a pull where it is `boosted`.
    pub(super) fn read(&self, boosted: bool) -> Test {
        match (self.command.speed, self.command.throttle) {
            (SpeedMode::Free, _) => Test::ReadIdle,
            (_, ThrottleMode::Torque(_) | ThrottleMode::Opening(_)) if !boosted => Test::ReadCruise,
            _ => Test::ReadLoad,
        }
    }

    /// Whether the engine is loaded there: anything but running free.
    pub fn loads(&self) -> bool {
        self.command.speed != SpeedMode::Free
    }

    /// What was read there, as the condition of this index.
    pub(super) fn driven(&self, index: usize, evidence: &Evidence) -> Driven {
        let reads = evidence.reads.iter().filter(|read| read.condition == index);
        let reads = reads.map(|read| (read.reading, read.value)).collect();
        let commanded = evidence.commanded.iter().find(|(c, _)| *c == index);
        Driven {
            commanded: commanded.map(|(_, said)| *said).unwrap_or_default(),
            ..Driven::by(&self.name, &self.command, reads)
        }
    }
}

impl Dangerous {
    pub fn new(ladders: &Ladders, evidence: &Evidence) -> Self {
        let car = &ladders.car.network;
        let aims = Aims {
            vehicle: Some(&car.vehicle),
            ambient: car.ambient.pressure,
            estimated: evidence.estimated,
        };
        let driven = ladders.conditions.iter().enumerate();
        let driven = driven.map(|(c, at)| {
            let sound = ladders.sound.spots[c].as_ref().map(|spot| &spot.readings);
            at.driven(c, evidence).expecting(sound, aims.ambient)
        });
        let driven: Vec<Driven> = driven.collect();
        let mut found = Self::default();
        for (c, driven) in driven.iter().enumerate() {
            for danger in aims.dangers(driven) {
                let beyond = danger.beyond.iter().flat_map(|beyond| &beyond.readings);
                let beyond: Vec<Reading> = beyond.copied().collect();
                let reads = evidence.reads.iter().enumerate();
                let stand = reads.filter(|(_, r)| r.condition == c && beyond.contains(&r.reading));
                found.standing.extend(stand.map(|(i, _)| i));
                found.dangers.push(danger);
            }
        }
        found.add_passed(&aims, &evidence.passed);
        let set = |code| evidence.codes.contains(&(code, true));
        let told = evidence.told.iter().copied();
        found.dangers = Danger::with_codes(Danger::told(found.dangers, told), set);
        let stated = |d: &Driven| d.commanded.lambda.is_some() || d.commanded.boost.is_some();
        let all = || driven.iter().chain(&evidence.passed);
        let seen = |d: &Driven| !d.reads.is_empty() && aims.under_boost(d);
        found.aimless = evidence.estimated && !all().any(stated) && all().any(seen);
        found
    }

    /// Where a log is judged, the worst of each hazard over all its points: one danger runs through
    /// a whole pull.
    fn add_passed(&mut self, aims: &Aims, passed: &[Driven]) {
        if !passed.is_empty() {
            let passed = passed.iter().flat_map(|driven| aims.dangers(driven));
            let own = std::mem::take(&mut self.dangers);
            self.dangers = Danger::worst(own.into_iter().chain(passed));
        }
    }
}
