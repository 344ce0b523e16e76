//! What endangers an engine, and what must then not be done to it: one list.
//!
//! A point at which an engine was driven ([`Driven`]) is held against what its computer aims at
//! ([`Aims`]); what lies beyond an aim by more than is allowed is a [`Danger`], which carries its
//! words. The limits are own choice: far beyond what instruments and healthy cars differ by, short
//! of what a hose, a piston or a valve is known to forgive.

use crate::control::{BoostControl, Code, full_load_share};
use crate::network::readings::FORMS;
use crate::network::{Reading, Vehicle};
use crate::say::{capitalised, cautions as say};
use crate::words;

words! {
    /// A danger to an engine, with what it can do.
    pub enum Hazard {
        /// Knock can hole a piston, and heat burn a valve, within seconds
        LeanUnderBoost = "lean_under_boost",
        /// Hoses, pipes, turbocharger and engine are not made for it and can let go
        Overboost = "overboost",
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
    }
}

/// Boost, Pa above ambient, from which an engine is under boost.
pub const UNDER_BOOST: f64 = 10e3;
/// Lambda above its aim from which it is lean under boost.
pub const LEAN: f64 = 0.05;
/// Largest lambda allowed under boost where no aim is stated.
pub const LEANEST: f64 = 1.0;
/// Boost, Pa above its aim, from which it is too much; twice that above an estimated aim.
pub const OVERBOOST: f64 = 15e3;
/// Boost, Pa below that of full load, from which an engine whose pedal is not known is taken
/// to be at full load.
const FULL_BOOST: f64 = 10e3;
/// Least part by which a value must pass its limit: what rounding in units makes.
const ROUNDING: f64 = 1e-9;
/// Readings that tell boost.
const BOOSTS: [Reading; 3] = [Reading::Boost, Reading::BoostSensor, Reading::Manifold];

/// What the engine computer commands at a point, as far as it was read from the car.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Commanded {
    /// Lambda.
    pub lambda: Option<f64>,
    /// Boost, Pa above ambient.
    pub boost: Option<f64>,
}

/// A point at which an engine was driven, and what was read there.
#[derive(Clone, Debug, PartialEq)]
pub struct Driven {
    /// What it is called.
    pub name: String,
    /// Engine speed, rad/s; none where it ran free.
    pub speed: Option<f64>,
    /// Pedal, 0 to 1; none where it is not known.
    pub pedal: Option<f64>,
    /// Readings, each in its own unit.
    pub reads: Vec<(Reading, f64)>,
    /// What was commanded there.
    pub commanded: Commanded,
}

/// What a value should be, and who says so.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aim {
    /// In the unit of what was read: a plain number, or Pa above ambient.
    pub value: f64,
    /// Who says so.
    pub source: Source,
}

/// A value beyond its limit, in the unit of its [`Aim`].
#[derive(Clone, Debug, PartialEq)]
pub struct Beyond {
    /// What was read, the farthest off where several readings tell the same.
    pub read: f64,
    /// What it should be.
    pub aim: Aim,
    /// The most that is allowed.
    pub most: f64,
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
    pub code: Option<Code>,
}

/// What is known of a car, to judge what was read by.
///
/// # Examples
/// ```
/// use sim::{Aims, Commanded, Driven, Hazard, Reading};
/// # let vehicle = sim::size(&sim::TenNumbers::example())?.vehicle;
/// let aims = Aims { vehicle: &vehicle, ambient: 101_325.0, estimated: true };
/// // Lean under boost is a danger, not a bad reading.
/// let pull = Driven {
///     name: "pull".into(),
///     speed: Some(366.5),
///     pedal: Some(1.0),
///     reads: vec![(Reading::BoostSensor, 70.0), (Reading::LambdaSensor, 1.12)],
///     commanded: Commanded::default(),
/// };
/// let dangers = aims.dangers(&pull);
/// assert_eq!(dangers[0].hazard, Hazard::LeanUnderBoost);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub struct Aims<'a> {
    /// Its file.
    pub vehicle: &'a Vehicle<f64>,
    /// Pressure of the air around it, Pa.
    pub ambient: f64,
    /// Whether the file is an estimate, so that its aims are stated by nobody.
    pub estimated: bool,
}

impl Hazard {
    /// What it can do, in a sentence.
    pub fn threat(self) -> &'static str {
        Self::WORDS[self as usize].2.trim()
    }

    /// Its name, in words.
    pub fn name(self) -> &'static str {
        match self {
            Hazard::LeanUnderBoost => say::lean_under_boost(),
            Hazard::Overboost => say::too_much_boost(),
        }
    }

    /// What must be done before the engine is loaded again, after "until".
    pub fn until(self) -> &'static str {
        match self {
            Hazard::LeanUnderBoost => say::until_mixture_is_right(),
            Hazard::Overboost => say::until_boost_is_right(),
        }
    }

    /// The code with which the engine computer tells of it.
    pub fn code(self) -> Code {
        match self {
            Hazard::LeanUnderBoost => Code::LeanAtLoad,
            Hazard::Overboost => Code::Overboost,
        }
    }
}

impl Driven {
    /// Highest boost that any reading tells, Pa above ambient; none where none was read.
    fn boost(&self, ambient: f64) -> Option<f64> {
        let told = self.boosts(ambient).map(|(_, boost)| boost);
        told.reduce(f64::max)
    }

    fn boosts(&self, ambient: f64) -> impl Iterator<Item = (Reading, f64)> + '_ {
        let told = self.reads.iter().filter(|(r, _)| BOOSTS.contains(r));
        told.map(move |(reading, kilo)| match reading {
            Reading::Manifold => (*reading, kilo * 1e3 - ambient),
            _ => (*reading, kilo * 1e3),
        })
    }
}

impl Aims<'_> {
    /// Every danger of a point.
    pub fn dangers(&self, driven: &Driven) -> Vec<Danger> {
        let found = [
            (Hazard::LeanUnderBoost, self.lean(driven)),
            (Hazard::Overboost, self.overboost(driven)),
        ];
        let found = found.into_iter().filter_map(|(hazard, beyond)| {
            Some(Danger {
                hazard,
                at: Some(driven.name.clone()),
                beyond: Some(beyond?),
                code: None,
            })
        });
        found.collect()
    }

    /// Whether the engine is under boost there: it was read, or, where it was not, the pedal
    /// is down.
    pub fn under_boost(&self, driven: &Driven) -> bool {
        match driven.boost(self.ambient) {
            Some(boost) => boost > UNDER_BOOST,
            None => full_load_share(self.pedal(driven)) > 0.5,
        }
    }

    fn lean(&self, driven: &Driven) -> Option<Beyond> {
        if !self.under_boost(driven) {
            return None;
        }
        let aim = self.lambda(driven);
        let most = match aim.source {
            Source::Estimate => LEANEST,
            // Nothing is safe under boost for having been asked for.
            _ => aim.value.min(LEANEST) + LEAN,
        };
        let read = driven.reads.iter();
        let read = read.filter(|(reading, _)| *reading == Reading::LambdaSensor);
        beyond(read.copied(), aim, most)
    }

    fn overboost(&self, driven: &Driven) -> Option<Beyond> {
        let aim = self.boost(driven);
        let allowed = match aim.source {
            Source::Estimate => 2.0 * OVERBOOST,
            _ => OVERBOOST,
        };
        beyond(driven.boosts(self.ambient), aim, aim.value + allowed)
    }

    /// Lambda aimed at: as read from the car; else what the vehicle file commands at that pedal,
    /// which off full load is 1 by closed loop in any car.
    fn lambda(&self, driven: &Driven) -> Aim {
        let pedal = self.pedal(driven);
        let closed_loop = full_load_share(pedal) == 0.0;
        let file = self.vehicle.fuelling.commanded_lambda(pedal);
        self.stated(driven.commanded.lambda, file, closed_loop)
    }

    /// Boost aimed at, Pa above ambient: as read from the car; else what the vehicle file wants
    /// at that speed, or at its highest where the speed is not known or boost not controlled.
    fn boost(&self, driven: &Driven) -> Aim {
        let control = self.vehicle.boost.control;
        let controlled = !matches!(control, BoostControl::Spring | BoostControl::FixedDuty);
        let file = match driven.speed.filter(|_| controlled) {
            Some(speed) => self.vehicle.boost.wanted(speed),
            None => {
                let points = self.vehicle.boost.target.points().iter();
                points.map(|point| point[1]).fold(0.0, f64::max)
            }
        };
        self.stated(driven.commanded.boost, file, false)
    }

    fn stated(&self, car: Option<f64>, file: f64, certain: bool) -> Aim {
        let (value, source) = match car {
            Some(value) => (value, Source::Car),
            None if self.estimated && !certain => (file, Source::Estimate),
            None => (file, Source::Vehicle),
        };
        Aim { value, source }
    }

    /// The pedal; where it is not known, down if boost is that of full load.
    fn pedal(&self, driven: &Driven) -> f64 {
        driven.pedal.unwrap_or_else(|| {
            let full = self.boost(driven).value - FULL_BOOST;
            let boost = driven.boost(self.ambient);
            f64::from(u8::from(boost.is_some_and(|boost| boost >= full)))
        })
    }
}

/// The readings above `most`.
fn beyond(read: impl Iterator<Item = (Reading, f64)>, aim: Aim, most: f64) -> Option<Beyond> {
    let mut over: Vec<(Reading, f64)> = read
        .filter(|(_, value)| *value > most + ROUNDING * most.abs())
        .collect();
    over.sort_by(|a, b| b.1.total_cmp(&a.1));
    Some(Beyond {
        read: over.first()?.1,
        aim,
        most,
        readings: over.into_iter().map(|(reading, _)| reading).collect(),
    })
}

impl Danger {
    /// With the codes that are set: each is added to the first danger that it tells of, or is
    /// one itself.
    pub fn with_codes(mut found: Vec<Danger>, set: impl Fn(Code) -> bool) -> Vec<Danger> {
        for (_, hazard, _) in Hazard::WORDS {
            let code = hazard.code();
            if !set(code) {
                continue;
            }
            match found.iter_mut().find(|danger| danger.hazard == *hazard) {
                Some(danger) => danger.code = Some(code),
                None => found.push(Danger {
                    hazard: *hazard,
                    at: None,
                    beyond: None,
                    code: Some(code),
                }),
            }
        }
        found
    }

    /// Share by which the limit is passed; 0 where only a code tells of it.
    pub fn excess(&self) -> f64 {
        let beyond = self.beyond.as_ref();
        beyond.map_or(0.0, |beyond| beyond.read / beyond.most - 1.0)
    }

    /// What and where, in a few words.
    pub fn short(&self) -> String {
        match &self.at {
            Some(at) => say::danger_at(self.hazard.name(), at),
            None => self.hazard.name().into(),
        }
    }

    /// What was read, what is allowed, what it can do, what to do: in sentences.
    pub fn words(&self) -> String {
        let mut said: Vec<String> = self.beyond.iter().map(|b| b.words(self.hazard)).collect();
        said.extend(self.code.map(say::code_is_set));
        say::danger_in_full(
            capitalised(&self.short()),
            said.join("; "),
            self.hazard.threat(),
            self.hazard.until(),
        )
    }
}

impl Beyond {
    fn words(&self, hazard: Hazard) -> String {
        let (reading, factor) = match hazard {
            Hazard::LeanUnderBoost => (Reading::LambdaSensor, 1.0),
            Hazard::Overboost => (Reading::Boost, 1e-3),
        };
        let form = &FORMS[reading as usize];
        let show = |value: f64| {
            let text = format!("{:.*} {}", form.decimals, value * factor, form.unit);
            text.trim_end().to_string()
        };
        let (read, aim, most) = (show(self.read), show(self.aim.value), show(self.most));
        let estimate = self.aim.source == Source::Estimate;
        match (hazard, estimate) {
            (Hazard::LeanUnderBoost, true) => say::lambda_beyond_unknown(read, most),
            (Hazard::LeanUnderBoost, false) => say::lambda_beyond(read, aim, most),
            (Hazard::Overboost, true) => say::boost_beyond_estimate(read, aim, most),
            (Hazard::Overboost, false) => say::boost_beyond(read, aim, most),
        }
    }
}
