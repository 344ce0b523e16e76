//! What endangers engine, car or people, and what must then not be done to it: one list.
//!
//! A point at which an engine was driven ([`Driven`]: a real one that was read, or the model's own)
//! is held against what its computer aims at and its parts bear ([`Aims`]); what lies beyond is a
//! [`Danger`], which carries its words. No limit is taken from a standard's text; where each comes
//! from stands beside it.

mod driven;
mod judge;
mod words;

pub use driven::{Commanded, Driven};
pub use judge::Aims;

use crate::control::Code;
use crate::network::Reading;
use crate::say::cautions as say;
use crate::words;

words! {
    /// A danger, with what it can do.
    pub enum Hazard {
        /// Knock can hole a piston, and heat burn a valve, within seconds
        LeanUnderBoost = "lean_under_boost",
        /// Hoses, pipes, turbocharger and engine are not made for it and can let go
        Overboost = "overboost",
        /// A wheel can burst, and its pieces leave the housing
        TurboOverspeed = "turbo_over_speed",
        /// Valves, rods and pistons are not made for it and can let go
        EngineOverspeed = "engine_over_speed",
        /// Turbine, manifold and valves can crack or burn
        ExhaustHeat = "exhaust_too_hot",
        /// The catalyst can melt, and set fire to what is under the car
        CatalystHeat = "catalyst_too_hot",
        /// Knock can hole a piston within seconds
        Knock = "knock",
        /// It burns in the catalyst, which can melt and set fire to what is under the car
        RawFuel = "raw_fuel_in_exhaust",
        /// Seals and the dipstick can be pushed out, and oil can reach hot parts
        CrankcasePressure = "crankcase_pressure",
        /// The brake pedal can be hard, and the car stop late
        BrakeServo = "brake_servo_without_vacuum",
    }
}

words! {
    /// Where an aim comes from.
    pub enum Source {
        /// what the engine computer commands, as read from the car
        Car = "read_from_the_car",
        /// the vehicle file, which describes this car
        Vehicle = "vehicle_file",
        /// a vehicle file that is an estimate: nobody has stated it
        Estimate = "estimate",
        /// off full load any engine computer holds lambda at 1
        ClosedLoop = "closed_loop",
    }
}

/// Boost, Pa above ambient, from which an engine is under boost (own choice).
pub const UNDER_BOOST: f64 = 10e3;
/// Lambda above its aim from which it is lean under boost (own choice: far beyond what
/// instruments and healthy cars differ by).
pub const LEAN: f64 = 0.05;
/// Largest lambda allowed under boost where no aim is stated (own choice).
pub const LEANEST: f64 = 1.0;
/// How far lambda swings about 1 where it is held there at full load, too, with what a sensor is off by (own
/// choice: many engines since about 2018 do not enrich; common practice, no source).
pub const SWING: f64 = 0.02;
/// Boost, Pa above its aim, from which it is too much; twice that above an estimated aim (own
/// choice, short of what hoses are known to forgive).
pub const OVERBOOST: f64 = 15e3;
/// Speed over the limit from which an engine is driven beyond it, not kept at it (own choice:
/// the limiter keeps it within 2 %).
pub const OVER_REVVED: f64 = 1.03;
/// Gas before or behind the catalyst, °C (typical value, not checked against any maker's data: a wash coat
/// ages fast above it).
pub const CATALYST: f64 = 950.0;
/// Spark taken back, degrees from best torque timing, off idle (common practice, no source: what
/// the card of a car allows a healthy one at full load).
pub const KNOCK: f64 = 20.0;
/// Richest lambda that still burns whole (as the cylinders have it).
pub const RICHEST: f64 = 0.6;
/// Leanest lambda that still burns well where no vehicle file says it (as a vehicle file has it
/// unless it says otherwise).
pub const LEAN_LIMIT: f64 = 1.35;
/// Working cycles that do not burn, %, from which their fuel endangers the catalyst (makers' own
/// figures are said to be 5 to 20 %; from memory, not checked against any maker's data).
pub const MISFIRES: f64 = 5.0;
/// Lambda by a sensor, above which it reads plain air: no fuel is injected (own choice).
pub const PLAIN_AIR: f64 = 2.0;
/// Crankcase, Pa over ambient: what its seals bear, as in the plan of a leak test (common
/// practice, no source).
pub const CRANKCASE: f64 = 3.4e3;
/// Manifold below ambient, Pa, at idle or with the pedal released, that a brake servo needs at
/// least (own choice: about half of what a healthy idle gives it).
pub const SERVO: f64 = 25e3;

impl Hazard {
    /// Every one, in the order in which they are said.
    pub fn all() -> impl Iterator<Item = Self> {
        Self::WORDS.iter().map(|(_, hazard, _)| *hazard)
    }

    /// What it can do, in a sentence.
    pub fn threat(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }

    /// The code with which the engine computer tells of it, if there is one.
    pub fn code(self) -> Option<Code> {
        match self {
            Hazard::LeanUnderBoost => Some(Code::LeanAtLoad),
            Hazard::Overboost => Some(Code::Overboost),
            Hazard::RawFuel => Some(Code::Misfire),
            _ => None,
        }
    }

    /// The danger that a code tells of.
    pub fn told_by(code: Code) -> Option<Self> {
        Self::all().find(|hazard| hazard.code() == Some(code))
    }

    /// Time, s, for which a drive must show it before it is one: what passes by in a moment, as
    /// the mixture does when the throttle moves, is none (own choice, as long as monitors wait).
    pub fn held(self) -> f64 {
        match self {
            Hazard::EngineOverspeed => 0.0,
            Hazard::LeanUnderBoost | Hazard::Overboost | Hazard::TurboOverspeed => 0.5,
            Hazard::BrakeServo => 5.0,
            _ => 1.0,
        }
    }

    /// Unit and decimals of what is read of it.
    pub fn unit(self) -> (&'static str, usize) {
        match self {
            Hazard::LeanUnderBoost | Hazard::RawFuel => ("", 3),
            Hazard::Overboost | Hazard::BrakeServo => ("kPa", 1),
            Hazard::CrankcasePressure => ("kPa", 2),
            Hazard::TurboOverspeed => ("krpm", 1),
            Hazard::EngineOverspeed => ("rpm", 0),
            Hazard::ExhaustHeat | Hazard::CatalystHeat => ("\u{b0}C", 0),
            Hazard::Knock => ("deg", 1),
        }
    }
}

/// What a value should be, and who says so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// In the hazard's own unit ([`Hazard::unit`]).
    pub value: f64,
    /// Who says so.
    pub source: Source,
}

/// What is allowed, in the hazard's own unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// No more than this.
    Most(f64),
    /// No less than this.
    Least(f64),
}

/// A value beyond its limit, in the hazard's own unit ([`Hazard::unit`]).
#[derive(Clone, Debug, PartialEq)]
pub struct Beyond {
    /// What was read, the farthest off where several readings tell the same.
    pub read: f64,
    /// What it should be, where there is more to it than the limit.
    pub aim: Option<Aim>,
    /// What is allowed.
    pub limit: Limit,
    /// All readings that are beyond it, the farthest off first.
    pub readings: Vec<Reading>,
}

/// A danger that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Danger {
    /// Which.
    pub hazard: Hazard,
    /// Where; none if only a code tells of it.
    pub at: Option<String>,
    /// What was read; none if only a code tells of it.
    pub beyond: Option<Beyond>,
    /// The code that tells of it.
    pub code: Option<&'static str>,
    /// Whether the engine computer keeps it from lasting, by taking back torque.
    pub held_back: bool,
}

/// Least part by which a value must pass its limit: what rounding in units makes.
const ROUNDING: f64 = 1e-9;

impl Limit {
    /// Share by which a value passes it; at most 0 within.
    pub fn excess(self, value: f64) -> f64 {
        match self {
            Limit::Most(most) => (value - most) / most.abs().max(ROUNDING),
            Limit::Least(least) => (least - value) / least.abs().max(ROUNDING),
        }
    }

    fn passed_by(self, value: f64) -> bool {
        self.excess(value) > ROUNDING
    }
}

impl Beyond {
    /// Unit and decimals of what was read of `hazard`.
    fn unit(&self, hazard: Hazard) -> (&'static str, usize) {
        match self.readings.first() {
            Some(Reading::Misfire) => ("%", 0),
            _ => hazard.unit(),
        }
    }
}

impl Danger {
    /// One that readings tell of.
    fn read(hazard: Hazard, at: &str, beyond: Beyond) -> Self {
        Self {
            hazard,
            at: (!at.is_empty()).then(|| at.into()),
            beyond: Some(beyond),
            code: None,
            held_back: false,
        }
    }

    /// One that only a code tells of.
    pub fn by_code(hazard: Hazard, code: &'static str, at: Option<String>) -> Self {
        Self {
            hazard,
            at,
            beyond: None,
            code: Some(code),
            held_back: false,
        }
    }

    /// The same at a point of this name.
    #[must_use]
    pub fn at(self, point: &str) -> Self {
        Self {
            at: Some(point.into()),
            ..self
        }
    }

    /// With the codes that are set: each is added to the first danger that it tells of, or is
    /// one itself.
    pub fn with_codes(found: Vec<Danger>, set: impl Fn(Code) -> bool) -> Vec<Danger> {
        let told = Hazard::all().filter_map(|hazard| {
            let code = hazard.code().filter(|code| set(*code))?;
            Some((code.word(), hazard))
        });
        Danger::told(found, told)
    }

    /// The same of any codes with what they tell of; the first of a kind counts.
    pub fn told(
        mut found: Vec<Danger>,
        codes: impl IntoIterator<Item = (&'static str, Hazard)>,
    ) -> Vec<Danger> {
        for (code, hazard) in codes {
            match found.iter_mut().find(|danger| danger.hazard == hazard) {
                Some(danger) => danger.code = danger.code.or(Some(code)),
                None => found.push(Danger::by_code(hazard, code, None)),
            }
        }
        found
    }

    /// Those before the engine computer took back torque, and `then` those that are left.
    pub(in crate::study) fn held_back(before: Vec<Danger>, then: Vec<Danger>) -> Vec<Danger> {
        let gone = |danger: &Danger| then.iter().all(|also| also.hazard != danger.hazard);
        let gone: Vec<Danger> = before.into_iter().filter(gone).collect();
        let gone = gone.into_iter().map(|danger| Danger {
            held_back: true,
            ..danger
        });
        let mut all: Vec<Danger> = gone.chain(then).collect();
        all.sort_by_key(|danger| danger.hazard);
        all
    }

    /// Of several at many points the worst of each hazard, in the order of the list.
    pub fn worst(all: impl IntoIterator<Item = Danger>) -> Vec<Danger> {
        let mut worst: Vec<Danger> = Vec::new();
        for danger in all {
            match worst.iter_mut().find(|known| known.hazard == danger.hazard) {
                Some(known) if known.excess() < danger.excess() => *known = danger,
                Some(_) => {}
                None => worst.push(danger),
            }
        }
        worst.sort_by_key(|danger| danger.hazard);
        worst
    }

    /// Unit and decimals of what was read of it.
    pub fn unit(&self) -> (&'static str, usize) {
        match &self.beyond {
            Some(beyond) => beyond.unit(self.hazard),
            None => self.hazard.unit(),
        }
    }

    /// Share by which the limit is passed; 0 where only a code tells of it.
    pub fn excess(&self) -> f64 {
        let beyond = self.beyond.as_ref();
        beyond.map_or(0.0, |beyond| beyond.limit.excess(beyond.read))
    }

    /// What and where, in a few words.
    pub fn short(&self) -> String {
        match &self.at {
            Some(at) => say::danger_at(self.hazard.name(), at),
            None => self.hazard.name().into(),
        }
    }
}
