//! From which size on each fault sets which trouble code, and where: the answer to
//! "what would this computer notice?".

use super::simulate::{CRUISE, Comparison, Side};
use crate::control::{Code, Command};
use crate::leak::{RoundHole, Shape};
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::network::{Ailment, Fault, Leak, Network, Place};
use crate::solve::State;

/// What is made worse and worse.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Worsening {
    /// A round hole at a place, growing.
    Hole(Place),
    /// A fault that goes from sound towards this end of its range.
    Fault(Ailment, f64),
}

/// Smallest and largest hole, m.
pub const HOLES: (f64, f64) = (0.5e-3, 20e-3);
/// Sizes tried between sound and worst before the threshold is closed in on.
const STEPS: usize = 16;
/// Halvings of a step: sizes are found to `1/(STEPS 2^HALVINGS)` of the range.
const HALVINGS: usize = 6;

impl Worsening {
    /// Every leak place, and every fault in every direction its range allows.
    pub fn all() -> Vec<Worsening> {
        let holes = Place::WORDS
            .iter()
            .map(|(_, place, _)| Worsening::Hole(*place));
        let faults = Ailment::ALL.iter().flat_map(|ailment| {
            let field = ailment.field();
            let ends = [field.low, field.high].into_iter();
            ends.filter(|end| *end != ailment.sound())
                .map(|end| Worsening::Fault(*ailment, end))
        });
        holes.chain(faults).collect()
    }

    /// The size at a share of the way from nothing to worst: diameters grow in equal
    /// ratios, severities in equal steps.
    pub fn size(self, share: f64) -> f64 {
        match self {
            Worsening::Hole(_) => HOLES.0 * (HOLES.1 / HOLES.0).powf(share),
            Worsening::Fault(ailment, end) => ailment.sound() + share * (end - ailment.sound()),
        }
    }

    fn applied(self, car: &Network<f64>, share: f64) -> Network<f64> {
        let size = self.size(share);
        match self {
            Worsening::Hole(place) => {
                let shape = Shape::RoundHole(RoundHole { diameter: size });
                car.leaking(vec![Leak { place, shape }])
            }
            Worsening::Fault(ailment, _) => car.ailing(vec![Fault {
                ailment,
                severity: size,
            }]),
        }
    }
}

/// What the car does at a size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sign {
    /// A code is set.
    Code(Code),
    /// The engine does not run on steadily.
    NoRunning,
}

/// A sign, the first point that shows it, and the size from which on.
#[derive(Clone, Debug, PartialEq)]
pub struct First {
    /// What shows.
    pub sign: Sign,
    /// Where.
    pub point: String,
    /// From this size on, SI.
    pub size: f64,
}

/// The points at which a car is watched, with the sound car's state at each.
pub struct Watch {
    car: Comparison,
    points: Vec<(String, Command, State)>,
}

impl Watch {
    /// Watches a sound car at idle, light cruise and full load; points that it cannot
    /// run at are left out.
    pub fn new(car: &Network<f64>) -> Self {
        let car = Comparison::new(&car.healthy());
        let displacement = car.network.vehicle.cylinders.displacement;
        let cruise = torque_of_mean_pressure(CRUISE.1, displacement);
        let mut points = vec![
            ("idle".to_string(), Command::IDLE),
            ("cruise".to_string(), Command::torque(CRUISE.0, cruise)),
        ];
        for rpm in [2500.0, 3500.0, 5000.0] {
            let speed = rpm * std::f64::consts::PI / 30.0;
            points.push((format!("full load {rpm}"), Command::full_load(speed)));
        }
        let runs = points.into_iter().filter_map(|(name, command)| {
            let sound = car.point(&name, command).healthy.ok()?;
            Some((name, command, sound.state))
        });
        let points = runs.collect();
        Self { car, points }
    }

    /// Every sign of a fault that worsens, in the order in which they come.
    pub fn firsts(&self, worsening: Worsening) -> Vec<First> {
        let mut found: Vec<First> = Vec::new();
        let mut states: Vec<State> = self.points.iter().map(|(_, _, x)| *x).collect();
        for step in 1..=STEPS {
            let (from, to) = ((step - 1) as f64 / STEPS as f64, step as f64 / STEPS as f64);
            let car = self.car.instead(&worsening.applied(&self.car.network, to));
            for (i, (name, command, _)) in self.points.iter().enumerate() {
                let side = car.faulty(*command, &states[i]);
                let new = signs(&side);
                if let Ok(side) = &side {
                    states[i] = side.state;
                }
                for sign in new {
                    if found.iter().any(|first| first.sign == sign) {
                        continue;
                    }
                    let share = self.close_in(worsening, i, &states[i], &sign, (from, to));
                    found.push(First {
                        sign,
                        point: name.clone(),
                        size: worsening.size(share),
                    });
                }
            }
        }
        let sound = worsening.size(0.0);
        let far = |first: &First| (first.size - sound).abs();
        found.sort_by(|a, b| far(a).total_cmp(&far(b)));
        found
    }

    fn close_in(
        &self,
        worsening: Worsening,
        point: usize,
        guess: &State,
        sign: &Sign,
        (mut without, mut with): (f64, f64),
    ) -> f64 {
        for _ in 0..HALVINGS {
            let middle = 0.5 * (without + with);
            let car = worsening.applied(&self.car.network, middle);
            let side = self.car.instead(&car).faulty(self.points[point].1, guess);
            if signs(&side).contains(sign) {
                with = middle;
            } else {
                without = middle;
            }
        }
        with
    }
}

fn signs(side: &Result<Side, crate::solve::Failure>) -> Vec<Sign> {
    match side {
        Ok(side) => side.codes.iter().map(|code| Sign::Code(*code)).collect(),
        // A torque that cannot be held is no sign of its own: the car still runs.
        Err(crate::solve::Failure::Unreachable { .. }) => Vec::new(),
        Err(_) => vec![Sign::NoRunning],
    }
}
