//! How much pressure each step of the plan allows, which step tests which place, and what
//! is to be said of a test that went above.

use super::{CRANKCASE, MANIFOLD, SMOKE, SUCTION};
use crate::network::Place;
use crate::study::workshop::USUAL_TEST;
use crate::study::workshop::section::Section;
use crate::units::round;

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
    /// Chamber above the recirculation valve's diaphragm.
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
    pub why: String,
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
            Step::Smoke => "smoke through the whole intake",
            Step::Charge => "charge pipes and cooler by pressure",
            Step::Manifold => "manifold by pressure",
            Step::Inlet => "inlet duct by pressure",
            Step::Capsule => "wastegate capsule by hand pump",
            Step::Chamber => "recirculation valve by hand pump",
            Step::Crankcase => "crankcase by smoke",
            Step::Exhaust => "exhaust by smoke",
        }
    }

    /// What the parts themselves bear, Pa gauge; boost and habit aside.
    fn own(self) -> (f64, &'static str) {
        match self {
            Step::Smoke => (
                CRANKCASE,
                "breather and ventilation valve carry it into the crankcase, whose shaft seals are \
                 made to hold oil, not pressure",
            ),
            Step::Charge | Step::Capsule | Step::Chamber => (f64::INFINITY, ""),
            Step::Manifold => (
                MANIFOLD,
                "air passes open valves and rings into the crankcase: 10 psi at most (common \
                 practice, no source)",
            ),
            Step::Inlet => (
                SUCTION,
                "ducts and seals before the compressor never see pressure in the car: 5 psi at \
                 most (common practice, no source)",
            ),
            Step::Crankcase => (
                CRANKCASE,
                "shaft seals are made to hold oil, not pressure, and dipsticks jump: never more \
                 than 0.5 psi, 14 inches of water (common practice, no source)",
            ),
            Step::Exhaust => (
                SMOKE.1,
                "as much as a smoke machine gives, 1.5 psi; flexible joints and sensors are made \
                 for flow, not for standing pressure",
            ),
        }
    }

    /// The most it is tested with in a car of this normal boost, Pa gauge, where that is
    /// known: never above boost, nor above what intakes are tested with.
    pub fn limit(self, boost: Option<f64>) -> Limit {
        let (own, why) = self.own();
        let least = own.min(USUAL_TEST).min(boost.unwrap_or(f64::INFINITY));
        let why = match boost {
            _ if least >= own => why.into(),
            Some(boost) if boost <= USUAL_TEST => format!(
                "normal boost of this car is {:.0} kPa: never test above it",
                boost / 1e3
            ),
            _ => "intakes are tested with 138 kPa (20 psi) at most (common practice, no source)"
                .into(),
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
            Place::RecirculationDiaphragm => &[Step::Charge, Step::Chamber],
            Place::RecirculationCover => &[Step::Manifold, Step::Chamber],
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

/// What is dangerous about a test pressure, Pa gauge, in a car of this normal boost, Pa
/// gauge, where that is known; none where the plan allows it.
///
/// A place that two steps test has two limits: above the lower one it is said which step
/// alone allows the pressure. Boost is named too where it is passed and the limit is another.
pub fn danger(pressure: f64, tested: Tested, boost: Option<f64>) -> Option<String> {
    let said = above_limits(pressure, tested, boost)?;
    let beyond = |boost: &f64| pressure > *boost && !said.contains("normal boost");
    Some(match boost.filter(beyond) {
        Some(boost) => format!(
            "{said}. It is also above this car's normal boost of {:.0} kPa: never test above it",
            boost / 1e3
        ),
        None => said,
    })
}

fn above_limits(pressure: f64, tested: Tested, boost: Option<f64>) -> Option<String> {
    let of_section;
    let plain = |word: &str| word.replace('_', " ");
    let (on, steps) = match tested {
        Tested::Section(section) => {
            of_section = [section.step()];
            let on = format!("the section {}", plain(section.word()));
            (Some(on), &of_section[..])
        }
        Tested::Place(place) => (
            Some(format!("the {}", plain(place.word()))),
            Step::of(place),
        ),
        Tested::OneOf(steps) => (None, steps),
    };
    let mut limits: Vec<(Step, Limit)> = (steps.iter())
        .map(|step| (*step, step.limit(boost)))
        .collect();
    limits.sort_by(|(_, a), (_, b)| a.pressure.total_cmp(&b.pressure));
    let above = |limit: &Limit| pressure > limit.pressure * (1.0 + 1e-9);
    let ((lower, least), (upper, most)) = (limits.first()?, limits.last()?);
    if !above(least) {
        return None;
    }
    let kpa = |pressure: f64| round(pressure / 1e3, 3);
    let two = least.pressure < most.pressure;
    let name = lower.name();
    let firmer = if two { upper.name() } else { name };
    let (found, allowed, up_to) = (kpa(pressure), kpa(least.pressure), kpa(most.pressure));
    let why = &least.why;
    let Some(on) = on else {
        return Some(format!(
            "the test pressure of {found} kPa gauge is above {allowed} kPa, the least that \
             `workshop plan` allows ({name}): {why}. No `place` is given, so this least limit was \
             taken; give the place for its own"
        ));
    };
    if above(most) {
        let other = match two {
            true => format!("; in the step `{name}` no more than {allowed} kPa: {why}"),
            false => String::new(),
        };
        return Some(format!(
            "the test pressure of {found} kPa gauge is above the {up_to} kPa that `workshop plan` \
             allows for {on} ({firmer}): {}{other}",
            most.why
        ));
    }
    Some(format!(
        "the test pressure of {found} kPa gauge at {on} is allowed by `workshop plan` in the step \
         `{firmer}` only; in the step `{name}` no more than {allowed} kPa: {why}"
    ))
}
