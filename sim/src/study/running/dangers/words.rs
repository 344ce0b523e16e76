//! Dangers in sentences.

use super::{Beyond, Danger, Hazard, Limit, Source};
use crate::network::Reading;
use crate::say::{capitalised, cautions as say};

impl Hazard {
    /// Its name, in words.
    pub fn name(self) -> &'static str {
        match self {
            Hazard::LeanUnderBoost => say::lean_under_boost(),
            Hazard::Overboost => say::too_much_boost(),
            Hazard::TurboOverspeed => say::turbo_over_speed(),
            Hazard::EngineOverspeed => say::engine_over_speed(),
            Hazard::ExhaustHeat => say::exhaust_too_hot(),
            Hazard::CatalystHeat => say::catalyst_too_hot(),
            Hazard::Knock => say::knock(),
            Hazard::RawFuel => say::raw_fuel(),
            Hazard::CrankcasePressure => say::crankcase_pressure(),
            Hazard::BrakeServo => say::brake_servo(),
        }
    }

    /// What must not be done, and until what has been done instead: a sentence.
    pub fn until(self) -> &'static str {
        match self {
            Hazard::LeanUnderBoost => say::until_mixture_is_right(),
            Hazard::Overboost => say::until_boost_is_right(),
            Hazard::TurboOverspeed => say::until_turbo_is_slow(),
            Hazard::EngineOverspeed => say::until_engine_is_slow(),
            Hazard::ExhaustHeat => say::until_exhaust_is_cool(),
            Hazard::CatalystHeat => say::until_catalyst_is_cool(),
            Hazard::Knock => say::until_knock_is_gone(),
            Hazard::RawFuel => say::until_fuel_burns(),
            Hazard::CrankcasePressure => say::until_crankcase_breathes(),
            Hazard::BrakeServo => say::until_servo_has_vacuum(),
        }
    }

    /// Whether it forbids to drive at all, not only to load the engine.
    pub fn forbids_driving(self) -> bool {
        matches!(self, Hazard::BrakeServo)
    }

    /// What is read of it, in words.
    fn quantity(self) -> &'static str {
        match self {
            Hazard::LeanUnderBoost | Hazard::RawFuel => say::of_lambda(),
            Hazard::Overboost => say::of_boost(),
            Hazard::TurboOverspeed => say::of_turbo(),
            Hazard::EngineOverspeed => say::of_engine(),
            Hazard::ExhaustHeat => say::of_exhaust(),
            Hazard::CatalystHeat => say::of_catalyst(),
            Hazard::Knock => say::of_spark(),
            Hazard::CrankcasePressure => say::of_crankcase(),
            Hazard::BrakeServo => say::of_manifold(),
        }
    }
}

impl Danger {
    /// What was read and what is allowed, after the name of the danger; a fragment.
    pub fn finding(&self) -> String {
        let mut said: Vec<String> = self.beyond.iter().map(|b| b.words(self.hazard)).collect();
        said.extend(self.code.map(say::code_is_set));
        match said.is_empty() {
            true => self.hazard.name().into(),
            false => format!("{}: {}", self.hazard.name(), said.join("; ")),
        }
    }

    /// What is dangerous, what it can do, what to do, without its numbers: in sentences.
    pub fn in_kind(&self) -> String {
        let bare = Self {
            at: None,
            beyond: None,
            code: None,
            held_back: false,
            ..*self
        };
        bare.words()
    }

    /// What is dangerous, where, and by how much, in a line.
    pub fn in_a_line(&self) -> String {
        let what = capitalised(&self.short());
        match (&self.beyond, self.code) {
            (Some(beyond), _) => format!("{what}: {}", beyond.in_a_line(self.hazard)),
            (None, Some(code)) => format!("{what}: {}", say::code_is_set(code)),
            (None, None) => what,
        }
    }

    /// What was read, what is allowed, what it can do, what to do: in sentences.
    pub fn words(&self) -> String {
        let mut said: Vec<String> = self.beyond.iter().map(|b| b.words(self.hazard)).collect();
        said.extend(self.code.map(say::code_is_set));
        let found = match said.is_empty() {
            true => String::new(),
            false => format!(": {}", said.join("; ")),
        };
        let found = match self.held_back {
            true => found + say::held_back(),
            false => found,
        };
        let (what, threat) = (capitalised(&self.short()), self.hazard.threat());
        match self.hazard.forbids_driving() {
            true => say::danger_to_drive(what, found, threat, self.hazard.until()),
            false => say::danger_in_full(what, found, threat, self.hazard.until()),
        }
    }
}

impl Beyond {
    /// A number in its unit.
    fn shown(&self, hazard: Hazard, value: f64) -> String {
        let (unit, decimals) = self.unit(hazard);
        let text = format!("{value:.decimals$} {unit}");
        text.trim_end().to_string()
    }

    fn what(&self, hazard: Hazard) -> &'static str {
        match self.readings.first() {
            Some(Reading::Misfire) => say::of_misfire(),
            Some(Reading::CatalystOut) => say::of_catalyst_out(),
            _ => hazard.quantity(),
        }
    }

    fn in_a_line(&self, hazard: Hazard) -> String {
        let show = |value| self.shown(hazard, value);
        let (what, read) = (self.what(hazard), show(self.read));
        match self.limit {
            Limit::Most(most) => say::at_most(what, read, show(most)),
            Limit::Least(least) => say::at_least(what, read, show(least)),
        }
    }

    fn words(&self, hazard: Hazard) -> String {
        let show = |value| self.shown(hazard, value);
        let what = self.what(hazard);
        let read = show(self.read);
        let estimate = self.aim.filter(|aim| aim.source == Source::Estimate);
        match (self.limit, self.aim, hazard) {
            (Limit::Most(most), Some(_), Hazard::LeanUnderBoost) if estimate.is_some() => {
                say::beyond_unknown(what, read, show(most))
            }
            (Limit::Most(most), Some(aim), _) if estimate.is_some() => {
                say::beyond_estimate(what, read, show(aim.value), show(most))
            }
            (Limit::Most(most), Some(aim), _) => {
                say::beyond_aim(what, read, show(aim.value), show(most))
            }
            (Limit::Most(most), None, _) => say::above(what, read, show(most)),
            (Limit::Least(least), ..) => say::below(what, read, show(least)),
        }
    }
}
