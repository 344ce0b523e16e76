//! Every place, hole by hole, at idle, light cruise and full load: what a car with that leak
//! shows, from which size on a gauge shows it or a code is set, and a rule to read it by.

use crate::control::Code;
use crate::network::readings::{FORMS, Reading};
use crate::network::{Leak, Network, Place};
use crate::say::asking as say;
use crate::solve::Failure;
use crate::study::knowing::doubt::instrument;
use crate::study::running::condition::{Condition, standard};
use crate::study::running::dangers::Danger;
use crate::study::running::history::Ray;
use crate::study::running::learnt::remembering;
use crate::study::running::side::{Side, standing};
use crate::study::running::simulate::Comparison;

/// Readings that are followed, in the order shown.
pub const FOLLOWED: [Reading; 10] = [
    Reading::FuelTrim,
    Reading::Lambda,
    Reading::MeteredAir,
    Reading::MeteringError,
    Reading::Manifold,
    Reading::Boost,
    Reading::WastegateDuty,
    Reading::ShaftSpeed,
    Reading::Torque,
    Reading::EngineSpeed,
];
/// Smallest and largest hole, m, and how many between in equal ratios.
const HOLES: (f64, f64, usize) = (0.5e-3, 10e-3, 14);
/// A reading shows where it is off by this many standard deviations of its instrument.
pub const SHOWS: f64 = 2.0;
/// Hole, m, that the rules speak of.
const RULE: f64 = 3e-3;

/// The book of one car.
pub struct Book {
    /// Names of the conditions.
    pub conditions: Vec<String>,
    /// The healthy car at each.
    pub sound: Vec<Side>,
    /// Diameters of the holes, m.
    pub sizes: Vec<f64>,
    /// One page a place.
    pub pages: Vec<Leaf>,
}

/// What a leak at one place does.
pub struct Leaf {
    /// Where.
    pub place: Place,
    /// By condition, then by size; none where the engine does not run.
    pub sides: Vec<Vec<Option<Side>>>,
    /// Codes with the smallest of the sizes that sets each, by condition.
    pub codes: Vec<(usize, Code, f64)>,
    /// Dangers with the smallest of the sizes that brings each, by condition.
    pub dangers: Vec<(usize, Danger, f64)>,
    /// How to read it, in a line.
    pub rule: String,
}

/// A car that is about to be leafed through, place by place.
pub struct Start {
    car: Network<f64>,
    cars: Comparison,
    conditions: Vec<Condition>,
    sound: Vec<Side>,
    sizes: Vec<f64>,
}

impl Start {
    /// The healthy car at every condition.
    ///
    /// # Errors
    /// It does not run at one of them.
    pub fn new(car: &Network<f64>) -> Result<Self, Failure> {
        let cars = Comparison::new(car);
        let conditions = standard(car);
        let sound = conditions
            .iter()
            .map(|c| cars.point(&c.name, c.command).healthy);
        let sound: Result<Vec<Side>, Failure> = sound.collect();
        let (low, high, count) = HOLES;
        let size = |i: usize| low * (high / low).powf(i as f64 / (count - 1) as f64);
        Ok(Self {
            sound: sound?,
            car: car.clone(),
            cars,
            conditions,
            sizes: (0..count).map(size).collect(),
        })
    }

    /// The places there are pages of.
    pub fn places(&self) -> Vec<Place> {
        Place::WORDS.iter().map(|(_, place, _)| *place).collect()
    }

    /// One page. A leak that has grown from nothing, with what the computer has learnt meanwhile.
    pub fn leaf(&self, place: Place) -> Leaf {
        let mut sides: Vec<Vec<Option<Side>>> = vec![Vec::new(); self.conditions.len()];
        let feet = self.conditions.iter().zip(&self.sound);
        let feet = feet.map(|(condition, sound)| (condition.command, Some(sound.state)));
        let mut largest = self.car.clone();
        largest.leaks.push(Leak::hole(place, HOLES.1));
        let mut ray = Ray::new(&largest, self.cars.learnt(false), feet);
        for size in &self.sizes {
            let mut leaking = self.car.clone();
            leaking.leaks.push(Leak::hole(place, *size));
            let memory = ray.taught(&leaking).memory;
            for (c, condition) in self.conditions.iter().enumerate() {
                let learns = leaking.command.learning;
                let at = leaking.with(remembering(condition.command, memory, learns));
                let state = ray.spot(&leaking, memory, c).state();
                sides[c].push(state.and_then(|state| standing(&at, &state)).ok());
            }
        }
        let names: Vec<&str> = self.conditions.iter().map(|c| c.name.as_str()).collect();
        Leaf {
            place,
            codes: codes(&self.sound, &sides, &self.sizes),
            dangers: dangers(&sides, &self.sizes),
            rule: rule(&names, &self.sound, &sides, &self.sizes),
            sides,
        }
    }

    /// The book of these pages.
    pub fn book(self, pages: Vec<Leaf>) -> Book {
        Book {
            conditions: self.conditions.into_iter().map(|c| c.name).collect(),
            sound: self.sound,
            sizes: self.sizes,
            pages,
        }
    }
}

/// A change of a reading in standard deviations of its instrument.
pub fn deviations(reading: Reading, sound: &Side, side: &Side) -> Option<f64> {
    let (from, to) = (sound.readings.get(reading)?, side.readings.get(reading)?);
    Some((to - from) / instrument(reading).deviation(from))
}

impl Book {
    /// Smallest of the sizes, m, from which the reading shows at a condition.
    pub fn shows(&self, leaf: &Leaf, condition: usize, reading: Reading) -> Option<f64> {
        let sides = leaf.sides[condition].iter().zip(&self.sizes);
        let mut shown = sides.filter_map(|(side, size)| {
            let off = deviations(reading, &self.sound[condition], side.as_ref()?)?;
            (off.abs() > SHOWS).then_some(*size)
        });
        shown.next()
    }

    /// Followed readings that show anywhere on this page.
    pub fn telling(&self, leaf: &Leaf) -> Vec<Reading> {
        let shows = |reading: &Reading| {
            (0..self.conditions.len()).any(|c| self.shows(leaf, c, *reading).is_some())
        };
        FOLLOWED.into_iter().filter(shows).collect()
    }
}

fn codes(sound: &[Side], sides: &[Vec<Option<Side>>], sizes: &[f64]) -> Vec<(usize, Code, f64)> {
    let mut found: Vec<(usize, Code, f64)> = Vec::new();
    for (c, column) in sides.iter().enumerate() {
        for (side, size) in column.iter().zip(sizes) {
            for code in side.iter().flat_map(|side| &side.codes) {
                let known = found.iter().any(|(at, known, _)| *at == c && known == code);
                if !known && !sound[c].codes.contains(code) {
                    found.push((c, *code, *size));
                }
            }
        }
    }
    found
}

fn dangers(sides: &[Vec<Option<Side>>], sizes: &[f64]) -> Vec<(usize, Danger, f64)> {
    let mut found: Vec<(usize, Danger, f64)> = Vec::new();
    for (c, column) in sides.iter().enumerate() {
        for (side, size) in column.iter().zip(sizes) {
            for danger in side.iter().flat_map(|side| &side.dangers) {
                let same =
                    |known: &(usize, Danger, f64)| known.0 == c && known.1.hazard == danger.hazard;
                if !found.iter().any(same) {
                    found.push((c, danger.clone(), *size));
                }
            }
        }
    }
    found
}

/// What a 3 mm hole moves beyond doubt, condition by condition.
fn rule(names: &[&str], sound: &[Side], sides: &[Vec<Option<Side>>], sizes: &[f64]) -> String {
    let nearest = (0..sizes.len()).min_by(|a, b| {
        (sizes[*a] / RULE)
            .ln()
            .abs()
            .total_cmp(&(sizes[*b] / RULE).ln().abs())
    });
    let Some(at) = nearest else {
        return String::new();
    };
    let told: Vec<Told> = (0..names.len())
        .map(|c| told(&sound[c], sides[c][at].as_ref()))
        .collect();
    let size = sizes[at] * 1e3;
    if told.iter().all(|told| *told == Told::Nothing) {
        return say::hole_shows_nothing(size);
    }
    let said = names.iter().zip(&told).map(|(name, told)| match told {
        Told::NotRunning => say::not_running_at(name),
        Told::Nothing => say::nothing_at(name),
        Told::Moved(readings) => say::moved_at(name, readings.join(say::BETWEEN_READINGS)),
    });
    say::hole_moves(size, said.collect::<Vec<_>>().join(say::BETWEEN_POINTS))
}

/// What a leak shows at a condition.
#[derive(PartialEq)]
enum Told {
    /// The engine does not run steadily.
    NotRunning,
    /// No reading moves beyond doubt.
    Nothing,
    /// These do, each in words.
    Moved(Vec<String>),
}

fn told(sound: &Side, side: Option<&Side>) -> Told {
    let Some(side) = side else {
        return Told::NotRunning;
    };
    let moved = FOLLOWED.iter().filter_map(|reading| {
        let off = deviations(*reading, sound, side)?;
        if off.abs() <= SHOWS {
            return None;
        }
        let form = &FORMS[*reading as usize];
        let (a, b) = (sound.readings.get(*reading)?, side.readings.get(*reading)?);
        let by = format!("{:.*} {}", form.decimals, (b - a).abs(), form.unit);
        Some(match b > a {
            true => say::reading_up(form.label, by.trim_end()),
            false => say::reading_down(form.label, by.trim_end()),
        })
    });
    let moved: Vec<String> = moved.collect();
    match moved.is_empty() {
        true => Told::Nothing,
        false => Told::Moved(moved),
    }
}
