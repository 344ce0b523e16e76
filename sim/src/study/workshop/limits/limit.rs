//! How much pressure each step of the plan allows, which step tests which place, and what
//! is to be said of a test that went above.

use super::{CRANKCASE, MANIFOLD, SMOKE, SUCTION};
use crate::network::Place;
use crate::say::plan as say;
use crate::study::workshop::USUAL_TEST;
use crate::study::workshop::section::Section;
use crate::units::round;
use std::fmt;

/// A step of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Smoke through the whole intake.
    Smoke,
    /// Charge pipes and cooler, plugged at both ends.
    Charge,
    /// The same with the manifold.
    Manifold,
    /// From the meter on.
    Inlet,
    /// Capsule and hose of the wastegate.
    Capsule,
    /// Chamber above the compressor bypass valve's diaphragm.
    Chamber,
    /// Crankcase.
    Crankcase,
    /// Exhaust up to the oxygen sensor.
    Exhaust,
}

/// The most that a step is tested with.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// Pa gauge.
    pub pressure: f64,
    /// Why no more.
    pub why: Why,
}

/// Why a test is allowed no more.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Why {
    /// The parts themselves bear no more, as these words say.
    Parts(&'static str),
    /// It is the car's normal boost, Pa gauge.
    Boost(f64),
    /// It is as much as intakes are tested with.
    Usual,
}

/// What a test's pressure acts on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tested {
    /// All of a section.
    Section(Section),
    /// What one tests to find a leak at this place.
    Place(Place),
    /// Nobody says which of these.
    OneOf(&'static [Step]),
}

impl Step {
    /// All of them, in the order of the plan.
    pub const ALL: [Step; 8] = [
        Step::Smoke,
        Step::Charge,
        Step::Manifold,
        Step::Inlet,
        Step::Capsule,
        Step::Chamber,
        Step::Crankcase,
        Step::Exhaust,
    ];

    /// Those that a gauge is read in while pressure falls.
    pub const BY_DECAY: [Step; 3] = [Step::Charge, Step::Manifold, Step::Inlet];

    /// What is tested.
    pub fn name(self) -> &'static str {
        match self {
            Step::Smoke => say::smoke_step(),
            Step::Charge => say::charge_step(),
            Step::Manifold => say::manifold_step(),
            Step::Inlet => say::inlet_step(),
            Step::Capsule => say::capsule_step(),
            Step::Chamber => say::chamber_step(),
            Step::Crankcase => say::crankcase_step(),
            Step::Exhaust => say::exhaust_step(),
        }
    }

    /// What the parts themselves bear, Pa gauge; boost and habit aside.
    fn own(self) -> (f64, &'static str) {
        match self {
            Step::Smoke => (CRANKCASE, say::smoke_reaches_crankcase()),
            Step::Charge | Step::Capsule | Step::Chamber => (f64::INFINITY, ""),
            Step::Manifold => (MANIFOLD, say::manifold_limit()),
            Step::Inlet => (SUCTION, say::inlet_limit()),
            Step::Crankcase => (CRANKCASE, say::crankcase_limit()),
            Step::Exhaust => (SMOKE.1, say::exhaust_limit()),
        }
    }

    /// The most it is tested with in a car of this normal boost, Pa gauge, where that is
    /// known: never above boost, nor above what intakes are tested with.
    pub fn limit(self, boost: Option<f64>) -> Limit {
        let (own, why) = self.own();
        let least = own.min(USUAL_TEST).min(boost.unwrap_or(f64::INFINITY));
        let why = match boost {
            _ if least >= own => Why::Parts(why),
            Some(boost) if boost <= USUAL_TEST => Why::Boost(boost),
            _ => Why::Usual,
        };
        let pressure = rounded(least);
        Limit { pressure, why }
    }

    /// The steps that look for a leak at a place; smoke through the whole intake, which
    /// reaches more, only where no other does.
    pub fn of(place: Place) -> &'static [Step] {
        match place {
            Place::BeforeMeter => &[Step::Smoke],
            Place::InletDuct | Place::BreatherUnion => &[Step::Inlet],
            Place::RecirculationSeat | Place::HotPipe | Place::CoolerTank | Place::ColdPipe => {
                &[Step::Charge]
            }
            Place::RecirculationDiaphragm | Place::RecirculationCover => {
                &[Step::Manifold, Step::Chamber]
            }
            Place::ManifoldGasket | Place::VacuumLine => &[Step::Manifold],
            Place::WastegateSignal => &[Step::Charge, Step::Capsule],
            Place::Crankcase => &[Step::Crankcase],
            Place::VentilationValve => &[Step::Manifold, Step::Crankcase],
            Place::ExhaustManifold | Place::BeforeOxygenSensor => &[Step::Exhaust],
        }
    }

    /// The places it looks at.
    pub fn places(self) -> Vec<Place> {
        let all = Place::WORDS.iter().map(|(_, place, _)| *place);
        all.filter(|place| Step::of(*place).contains(&self))
            .collect()
    }
}

impl Section {
    /// The step of the plan that presses on this section: that of its weakest part.
    pub fn step(self) -> Step {
        match self {
            Section::InletToManifold => Step::Inlet,
            Section::CompressorToManifold | Section::Manifold => Step::Manifold,
            Section::CompressorToThrottle => Step::Charge,
        }
    }
}

/// Down to a whole 5 kPa above that, to a whole 0.1 kPa below.
fn rounded(pressure: f64) -> f64 {
    let step = if pressure >= 10e3 { 5e3 } else { 1e2 };
    (pressure / step + 1e-9).floor() * step
}

/// A test pressure above what the plan allows, Pa gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct Excess {
    /// The pressure of the test.
    pub pressure: f64,
    /// What it is above.
    pub above: Above,
    /// The car's normal boost, where that is passed too and no limit named is that of boost.
    pub boost: Option<f64>,
}

/// A step and the most that it allows.
type Allowed = (Step, Limit);

/// Which limits a test pressure is above.
#[derive(Clone, Debug, PartialEq)]
pub enum Above {
    /// The least of several: nobody says what is tested.
    Least(Allowed),
    /// All that test this, the highest first, and the lowest where it is another.
    All(Tested, Allowed, Option<Allowed>),
    /// All but the first of these steps that test this; the second allows least.
    AllBut(Tested, Step, Allowed),
}

impl Above {
    fn limits(&self) -> impl Iterator<Item = &Limit> {
        let (first, second) = match self {
            Above::Least(least) | Above::AllBut(_, _, least) => (least, None),
            Above::All(_, most, least) => (most, least.as_ref()),
        };
        std::iter::once(first).chain(second).map(|(_, limit)| limit)
    }
}

/// What is dangerous about a test pressure, Pa gauge, in a car of this normal boost, Pa
/// gauge, where that is known; none where the plan allows it.
///
/// A place that two steps test has two limits: above the lower one it is said which step
/// alone allows the pressure. Boost is named too where it is passed and the limit is another.
pub fn danger(pressure: f64, tested: Tested, boost: Option<f64>) -> Option<Excess> {
    let above = above_limits(pressure, tested, boost)?;
    let named = above
        .limits()
        .any(|limit| matches!(limit.why, Why::Boost(_)));
    Some(Excess {
        pressure,
        boost: boost.filter(|boost| pressure > *boost && !named),
        above,
    })
}

fn above_limits(pressure: f64, tested: Tested, boost: Option<f64>) -> Option<Above> {
    let of_section;
    let steps = match tested {
        Tested::Section(section) => {
            of_section = [section.step()];
            &of_section[..]
        }
        Tested::Place(place) => Step::of(place),
        Tested::OneOf(steps) => steps,
    };
    let mut limits: Vec<Allowed> = (steps.iter())
        .map(|step| (*step, step.limit(boost)))
        .collect();
    limits.sort_by(|(_, a), (_, b)| a.pressure.total_cmp(&b.pressure));
    let above = |limit: &Limit| pressure > limit.pressure * (1.0 + 1e-9);
    let (least, most) = (limits.first()?.clone(), limits.last()?.clone());
    if !above(&least.1) {
        return None;
    }
    let two = least.1.pressure < most.1.pressure;
    Some(match tested {
        Tested::OneOf(_) => Above::Least(least),
        _ if !above(&most.1) => Above::AllBut(tested, most.0, least),
        _ if two => Above::All(tested, most, Some(least)),
        // Steps that allow the same: the first is named.
        _ => Above::All(tested, (least.0, most.1), None),
    })
}

impl fmt::Display for Why {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Why::Parts(why) => f.write_str(why),
            Why::Boost(boost) => f.write_str(&say::boost_limit(boost / 1e3)),
            Why::Usual => f.write_str(say::usual_limit()),
        }
    }
}

impl fmt::Display for Tested {
    /// What is tested, in words; nothing where nobody says it.
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Tested::Section(section) => {
                f.write_str(&say::section(section.word().replace('_', " ")))
            }
            Tested::Place(place) => f.write_str(&say::place(place.label())),
            Tested::OneOf(_) => Ok(()),
        }
    }
}

impl fmt::Display for Excess {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let kpa = |pressure: f64| round(pressure / 1e3, 3);
        let found = kpa(self.pressure);
        let said = match &self.above {
            Above::Least((step, limit)) => {
                say::above_least_limit(found, kpa(limit.pressure), step.name(), limit.why)
            }
            Above::All(on, (step, most), lowest) => {
                let said = say::above_limit(found, kpa(most.pressure), on, step.name(), most.why);
                match lowest {
                    None => said,
                    Some((lower, least)) => {
                        say::and_in_step(said, lower.name(), kpa(least.pressure), least.why)
                    }
                }
            }
            Above::AllBut(on, step, (lower, least)) => say::allowed_in_one_step(
                found,
                on,
                step.name(),
                lower.name(),
                kpa(least.pressure),
                least.why,
            ),
        };
        match self.boost {
            Some(boost) => f.write_str(&say::also_above_boost(said, boost / 1e3)),
            None => f.write_str(&said),
        }
    }
}
