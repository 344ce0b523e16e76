//! What a test costs: minutes of work and danger, in one table. All own choice.

use super::catalogue::Suspect;
use super::checks::Check;
use crate::control::SpeedMode;
use crate::study::running::condition::Condition;
use crate::words;

words! {
    /// How much danger there is in a test, from none beyond that of any workshop on.
    pub enum Risk {
        /// engine standing
        Standing = "engine_standing",
        /// engine idling, car parked
        Idling = "idling",
        /// engine standing, parts under pressure
        Pressure = "under_pressure",
        /// car driven at part load
        Driven = "driven",
        /// full load
        FullLoad = "full_load",
    }
}

/// Minutes of work and danger.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Minutes, hands washed.
    pub minutes: f64,
    /// Danger.
    pub risk: Risk,
}

/// Minutes for readings at a condition that was not driven yet, and for an instrument
/// that must be fitted.
pub(super) const DRIVE: f64 = 10.0;
pub(super) const FITTED: f64 = 20.0;
/// To isolate a section, pressurise it and time the fall.
pub(super) const SECTION: Effort = Effort::new(25.0, Risk::Pressure);

impl Risk {
    /// How many times its minutes count beside those of a test with the engine standing.
    pub fn weight(self) -> f64 {
        match self {
            Risk::Standing => 1.0,
            Risk::Idling => 1.2,
            Risk::Pressure => 1.5,
            Risk::Driven => 2.0,
            Risk::FullLoad => 4.0,
        }
    }

    /// Its meaning, in words.
    pub fn meaning(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }

    /// That of a condition; `boosted` where the healthy car is under boost there, whatever its load
    /// is stated by.
    pub(super) fn at(condition: &Condition, boosted: bool) -> Self {
        match (
            condition.command.speed,
            boosted || condition.command.pedal > 0.8,
        ) {
            (SpeedMode::Free, false) => Risk::Idling,
            (_, true) => Risk::FullLoad,
            (_, false) => Risk::Driven,
        }
    }
}

impl Effort {
    const fn new(minutes: f64, risk: Risk) -> Self {
        Self { minutes, risk }
    }

    /// Of readings at a condition of this danger; `driven` where it was driven before.
    pub(super) fn of_readings(risk: Risk, driven: bool) -> Self {
        let minutes = if driven { 0.5 * DRIVE } else { DRIVE };
        Self::new(minutes, risk)
    }

    /// The same with an instrument that must be fitted.
    pub(super) fn of_instrument(risk: Risk) -> Self {
        Self::new(FITTED, risk)
    }

    /// Of a check.
    pub fn of(check: Check) -> Self {
        use Risk::{FullLoad, Idling, Standing};
        match check {
            Check::SensorsStanding => Self::new(2.0, Standing),
            Check::LookAtFilter => Self::new(5.0, Standing),
            Check::BreatherFree => Self::new(10.0, Standing),
            Check::PinchVacuum | Check::PinchVentilation => Self::new(5.0, Idling),
            Check::BlankBreather | Check::SwapMeter | Check::KnownHole => Self::new(10.0, Idling),
            Check::WastegatePump | Check::ValvePump => Self::new(15.0, Standing),
            Check::GasAnalyser | Check::SwapSpark => Self::new(15.0, Idling),
            Check::Smoke | Check::SmokeExhaust => Self::new(20.0, Standing),
            Check::FuelPressure => Self::new(20.0, Idling),
            Check::BackPressure => Self::new(20.0, FullLoad),
            Check::CoolerPressure => Self::new(30.0, FullLoad),
            Check::TurboPlay => Self::new(30.0, Standing),
            Check::Compression => Self::new(45.0, Standing),
        }
    }

    /// Minutes as they count: times the weight of the danger.
    pub fn counted(self) -> f64 {
        self.minutes * self.risk.weight()
    }
}

impl Check {
    /// The check of a fault's part, the one that tells it from the fewest others; none where no
    /// check sees it.
    pub fn of(fault: &(Suspect, f64)) -> Option<Self> {
        let all = Self::WORDS.iter().map(|(_, check, _)| *check);
        let sees = all.filter_map(|check| Some((check.sees_among(&fault.0)?, check)));
        let counted = |check: &Self| Effort::of(*check).counted();
        let first = sees.min_by(|(a, first), (b, second)| {
            a.cmp(b).then(counted(first).total_cmp(&counted(second)))
        });
        first.map(|(_, check)| check)
    }

    /// Whether the engine is loaded for it.
    pub fn loads(self) -> bool {
        Effort::of(self).risk == Risk::FullLoad
    }
}
