//! From which size on a leak or fault shows: root finding on exact derivatives.
//!
//! A ladder of sizes is climbed from the healthy car to the worst. Between two rungs a
//! symptom's margin (how far a reading is beyond what was asked, how far a
//! watchdog's level is beyond 1) is known at both ends with its exact slope;
//! where it changes sign, or its cubic through both ends says that it may have
//! come up and gone again, the first root is closed in on by Newton's method kept
//! inside its bracket. So symptoms that are not monotone in the size, or never
//! show, need no care; one that comes and goes between two rungs (26 % apart for holes)
//! without a trace in both slopes is missed.
//!
//! The leak has grown while the car was driven ([`history`](crate::study::running::history)): a
//! hole that opens at once may stall an engine that a growing one does not. At every size the computer has learnt its
//! trims with the leak or fault, and symptoms are judged before a code reduces the torque.

mod symptom;

pub use symptom::{NoSymptom, Symptom, SymptomError};

use crate::control::{Command, SpeedMode};
use crate::leak::Shape;
use crate::network::{Defect, Leak, Network};
use crate::root::newton_inside;
use crate::solve::Failure;
use crate::study::asking::sensitivity::{Columns, Linear, Seeded, Slopes, Told, memory_slopes};
use crate::study::running::dangers::{Aims, Hazard};
use crate::study::running::history::Ray;
use crate::study::running::simulate::{Comparison, Side, cruise, running};
use std::cell::RefCell;
use symptom::Signal;

/// Smallest and largest hole of the ladder of sizes, m; below the smallest comes none.
pub const HOLES: (f64, f64) = (0.5e-3, 20e-3);
/// Rungs of the ladder between least and worst.
const RUNGS: usize = 16;
/// Share of the size to which thresholds are found.
const CLOSE: f64 = 1e-10;
/// Share of the size by which a threshold is said beyond the root, so that the car of that very size
/// shows the symptom.
const BEYOND: f64 = 1e-9;
/// Most steps of one search: a bisection to the last bit needs fewer.
const MOST_STEPS: usize = 50;
/// Halvings of a rung in which a car stops running.
const HALVINGS: usize = 6;

/// From where on a symptom shows.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// From this size on, SI, first at this point.
    From {
        /// The size.
        size: f64,
        /// The point.
        point: String,
    },
    /// The healthy car shows it at this point.
    Sound(String),
    /// Not up to the worst size, nor up to where the last point stops running.
    Never,
}

/// What a growing leak or fault does.
#[derive(Clone, Debug)]
pub struct Thresholds {
    /// One outcome a symptom, in their order.
    pub outcomes: Vec<Outcome>,
    /// Points at which the engine does not run steadily from a size on, SI; larger sizes are
    /// not watched there.
    pub stops: Vec<(String, f64)>,
    /// Dangers that it brings and a healthy car is not in, each kind from the smallest size looked at
    /// that has it, SI, at this point. Sizes looked at are 26 % apart for holes.
    pub dangers: Vec<(Hazard, String, f64)>,
}

/// The leak whose size is to be held to a tolerance, as large as is tried.
///
/// # Errors
/// It is of a shape that nobody makes, or has nothing to grow to.
pub fn tolerance(leak: Leak<f64>) -> Result<Defect, String> {
    let made = |shape: &Shape| shape.measure().made;
    if !made(&leak.shape) {
        let all = Shape::examples();
        let names: Vec<&str> = all.iter().filter(|s| made(s)).map(Shape::name).collect();
        let (last, rest) = names.split_last().unwrap_or((&"", &[]));
        return Err(format!(
            "a {} has no gap to hold to a tolerance: take {} or {last}",
            leak.shape.name(),
            rest.join(", ")
        ));
    }
    match leak.shape.size() > leak.shape.measure().least {
        true => Ok(Defect::Leak(leak)),
        false => Err("give the largest gap to try; this one is shut".into()),
    }
}

/// The points at which a car is watched, with the healthy car's answer at each.
///
/// # Examples
/// ```
/// use sim::{Command, Defect, Leak, Outcome, Place, Symptom, Watch};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// let watch = Watch::at(&car, vec![("idle".into(), Command::IDLE)]);
/// let worst = Defect::Leak(Leak::hole(Place::VacuumLine, 6e-3));
/// let lean = ["fuel_trim_pct > 5", "fuel_trim_pct > 10"].map(Symptom::read);
/// let lean = [lean[0].clone()?, lean[1].clone()?];
/// let found = watch.thresholds(worst, 0.5e-3, &lean).outcomes;
/// let sizes: Vec<f64> = (found.iter())
///     .map(|outcome| match outcome {
///         Outcome::From { size, .. } => *size,
///         other => panic!("{other:?}"),
///     })
///     .collect();
/// // A stronger symptom takes a larger hole.
/// assert!(0.5e-3 < sizes[0] && sizes[0] < sizes[1] && sizes[1] < 6e-3);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub struct Watch {
    car: Comparison,
    points: Vec<(String, Command, Side)>,
}

/// A car at one size, its computer taught.
struct Sized {
    size: f64,
    /// The size of a healthy car.
    healthy: f64,
    car: Comparison,
    seeded: Seeded<1>,
    told: Told,
}

/// One point of such a car, with its derivatives over the size.
struct Spot {
    at: Linear,
    slopes: Slopes,
}

/// One search: a signal at a point, of a defect that grows.
#[derive(Clone, Copy)]
struct Search {
    worst: Defect,
    point: usize,
    signal: Signal,
}

/// An end of a bracket: size, margin and slope.
type End = (f64, (f64, f64));

impl Watch {
    /// Watches a healthy car at the points of [`usual_points`](Watch::usual_points).
    pub fn new(car: &Network<f64>) -> Self {
        Self::at(car, Self::usual_points(car))
    }

    /// Idle, light cruise, and full load at three speeds.
    pub fn usual_points(car: &Network<f64>) -> Vec<(String, Command)> {
        let mut points = vec![
            ("idle".to_string(), Command::IDLE),
            ("cruise".to_string(), cruise(car)),
        ];
        for rpm in [2500.0, 3500.0, 5000.0] {
            let speed = rpm * std::f64::consts::PI / 30.0;
            points.push((format!("full load {rpm} rpm"), Command::full_load(speed)));
        }
        points
    }

    /// Watches a healthy car at these points; those that it cannot run at are left out.
    pub fn at(car: &Network<f64>, points: Vec<(String, Command)>) -> Self {
        let car = Comparison::new(&car.healthy());
        let runs = points.into_iter().filter_map(|(name, command)| {
            let sound = car.point(&name, command).healthy.ok()?;
            Some((name, command, sound))
        });
        let points = runs.collect();
        Self { car, points }
    }

    /// Names of the points watched.
    pub fn points(&self) -> impl Iterator<Item = &str> {
        self.points.iter().map(|(name, ..)| name.as_str())
    }

    /// The smallest size at which each symptom shows, over all points, of a defect that grows to
    /// `worst`: a leak from `least` on, SI, a fault from healthy.
    pub fn thresholds(&self, worst: Defect, least: f64, symptoms: &[Symptom]) -> Thresholds {
        let healthy = worst.healthy();
        let mut outcomes = vec![Outcome::Never; symptoms.len()];
        let mut stops: Vec<(String, f64)> = Vec::new();
        let mut dangers: Vec<(Hazard, String, f64)> = Vec::new();
        let way = self.way(worst);
        let mut low = self.sized(worst, healthy, &way);
        let mut spots: Vec<Option<Spot>> = (0..self.points.len())
            .map(|p| self.spot(&low, p, &way).ok())
            .collect();
        let sizes = (0..=RUNGS).map(|rung| worst.grown(least, rung as f64 / RUNGS as f64));
        for size in sizes.filter(|size| *size != healthy) {
            let high = self.sized(worst, size, &way);
            for (p, (name, _, sound)) in self.points.iter().enumerate() {
                if stops.iter().any(|(stopped, _)| stopped == name) {
                    continue;
                }
                let (end, spot) = match self.spot(&high, p, &way) {
                    Ok(spot) => (size, Some(spot)),
                    // A torque that cannot be held is no stop: the car still runs.
                    Err(Failure::Unreachable { .. }) => (size, None),
                    Err(_) => {
                        let (last, spot) = self.last_running(worst, p, (low.size, size), &way);
                        stops.push((name.clone(), last));
                        (last, spot)
                    }
                };
                for (outcome, symptom) in outcomes.iter_mut().zip(symptoms) {
                    for signal in symptom.signals(&self.car.network, sound) {
                        let search = Search {
                            worst,
                            point: p,
                            signal,
                        };
                        let ends = [(low.size, spots[p].as_ref()), (end, spot.as_ref())];
                        if let Some(new) = self.first(search, &way, ends) {
                            *outcome = earlier(outcome, new, name, healthy);
                        }
                    }
                }
                for hazard in spot.iter().flat_map(|spot| self.brought(spot, p)) {
                    if !dangers.iter().any(|(known, ..)| *known == hazard) {
                        dangers.push((hazard, name.clone(), end));
                    }
                }
                spots[p] = spot;
            }
            low = high;
        }
        dangers.sort_by_key(|(hazard, ..)| *hazard);
        Thresholds {
            outcomes,
            stops,
            dangers,
        }
    }

    /// Dangers there that the healthy car is not in.
    fn brought(&self, spot: &Spot, point: usize) -> Vec<Hazard> {
        let (_, command, sound) = &self.points[point];
        let car = &self.car.network;
        let aims = Aims::of_model(&car.vehicle, car.ambient.pressure);
        let free = command.speed == SpeedMode::Free;
        let found = aims.dangers_of(&spot.at.readings, free).into_iter();
        let found = found.map(|danger| danger.hazard);
        let has = |hazard: &Hazard| sound.dangers.iter().any(|known| known.hazard == *hazard);
        found.filter(|hazard| !has(hazard)).collect()
    }

    /// The way along which a defect grows.
    fn way(&self, worst: Defect) -> RefCell<Ray> {
        let points = self.points.iter();
        let points = points.map(|(_, command, sound)| (*command, Some(sound.state)));
        let network = self.car.network.only([worst]);
        RefCell::new(Ray::new(&network, self.car.learnt(false), points))
    }

    /// The car at a size, its computer taught.
    fn sized(&self, worst: Defect, size: f64, way: &RefCell<Ray>) -> Sized {
        let network = self.car.network.only([worst.sized(size)]);
        let sound = *self.car.learnt(false);
        let learnt = match size == worst.healthy() {
            true => sound,
            false => way.borrow_mut().taught(&network).learnt(),
        };
        let car = Comparison::learnt_before(&network, sound, learnt);
        let mut seeded = Seeded::toward(&network, &worst.moves());
        let mut memory = Columns::zeros(1);
        if network.command.learning {
            memory = memory_slopes(&network, &mut seeded, car.learnt(true), &memory);
        }
        Sized {
            size,
            healthy: worst.healthy(),
            car,
            seeded,
            told: Told {
                memory,
                torque: None,
            },
        }
    }

    fn spot(&self, sized: &Sized, point: usize, way: &RefCell<Ray>) -> Result<Spot, Failure> {
        let (_, command, sound) = &self.points[point];
        let (car, memory) = (&sized.car, sized.car.memory(true));
        let network = car.network.with(car.command(*command, true));
        let guess = match sized.size == sized.healthy {
            true => sound.state,
            false => way.borrow_mut().spot(&car.network, memory, point).state()?,
        };
        let state = running(&network, Some(&guess))?.state;
        let at = Linear::at(&network, &state).ok_or_else(Failure::singular)?;
        let slopes = at.slopes(&mut sized.seeded.clone(), &sized.told);
        Ok(Spot { at, slopes })
    }

    /// Largest size below `size` at which a point still runs, and the car there.
    fn last_running(
        &self,
        worst: Defect,
        point: usize,
        (mut runs, mut fails): (f64, f64),
        way: &RefCell<Ray>,
    ) -> (f64, Option<Spot>) {
        let mut last = None;
        for _ in 0..HALVINGS {
            let middle = 0.5 * (runs + fails);
            match self.spot(&self.sized(worst, middle, way), point, way) {
                Ok(spot) => (runs, last) = (middle, Some(spot)),
                Err(_) => fails = middle,
            }
        }
        (runs, last)
    }

    /// The first size between two ends at which a signal shows.
    fn first(
        &self,
        search: Search,
        way: &RefCell<Ray>,
        ends: [(f64, Option<&Spot>); 2],
    ) -> Option<f64> {
        let margin = |spot: Option<&Spot>| spot.and_then(|spot| spot.margin(search.signal));
        let [a, b] = ends.map(|(size, spot)| (size, margin(spot)));
        match (a.1, b.1) {
            (Some(m), _) if m.0 >= 0.0 => Some(a.0),
            (Some(m), Some(n)) if n.0 >= 0.0 => {
                Some(self.close_in(search, way, (a.0, m), (b.0, n)))
            }
            (Some(m), Some(n)) => {
                let peak = peak((a.0, m), (b.0, n))?;
                let sized = self.sized(search.worst, peak, way);
                let spot = self.spot(&sized, search.point, way).ok()?;
                let top = spot.margin(search.signal).filter(|top| top.0 >= 0.0)?;
                Some(self.close_in(search, way, (a.0, m), (peak, top)))
            }
            // Comes up with the reading or watchdog itself.
            (None, Some(n)) if n.0 >= 0.0 => Some(b.0),
            _ => None,
        }
    }

    /// Where the margin is negative no more, between `a`, where it is, and `b`, where it is not.
    fn close_in(&self, search: Search, way: &RefCell<Ray>, a: End, b: End) -> f64 {
        let secant = a.0 - a.1.0 * (b.0 - a.0) / (b.1.0 - a.1.0);
        let root = newton_inside((a.0, b.0), secant, CLOSE, MOST_STEPS, |x| {
            let sized = self.sized(search.worst, x, way);
            let spot = self.spot(&sized, search.point, way).ok();
            let margin = spot.and_then(|spot| spot.margin(search.signal));
            margin.unwrap_or((f64::INFINITY, f64::INFINITY))
        });
        root + BEYOND * root.abs() * (b.0 - a.0).signum()
    }
}

impl Spot {
    fn margin(&self, signal: Signal) -> Option<(f64, f64)> {
        signal.margin(
            |reading| {
                let value = self.at.readings.get(reading)?;
                Some((value, self.slopes.readings[(reading as usize, 0)]))
            },
            |code| {
                let level = self.at.levels[code as usize]?;
                Some((level, self.slopes.levels[(code as usize, 0)]))
            },
        )
    }
}

/// Where the cubic through two negative margins with their slopes comes up to zero, or
/// nearly; none where it does not.
fn peak(a: End, b: End) -> Option<f64> {
    let width = b.0 - a.0;
    let (rise, fall) = (a.1.1 * width, b.1.1 * width);
    if rise <= 0.0 || fall >= 0.0 {
        return None;
    }
    let cubic = |t: f64| {
        let (u, v) = (1.0 - t, t);
        let ends = u * u * (1.0 + 2.0 * v) * a.1.0 + v * v * (1.0 + 2.0 * u) * b.1.0;
        ends + u * u * v * rise - u * v * v * fall
    };
    let shares = (1..32).map(|i| f64::from(i) / 32.0);
    let top = shares.max_by(|s, t| cubic(*s).total_cmp(&cubic(*t)))?;
    let nearly = 0.1 * a.1.0.abs().max(b.1.0.abs());
    (cubic(top) > -nearly).then_some(a.0 + top * width)
}

fn earlier(known: &Outcome, size: f64, point: &str, sound: f64) -> Outcome {
    match known {
        Outcome::Sound(_) => known.clone(),
        // Two points that show it alike: the first counts.
        Outcome::From { size: before, .. }
            if (before - sound).abs() <= (size - sound).abs() * (1.0 + 1e-6) =>
        {
            known.clone()
        }
        _ if size == sound => Outcome::Sound(point.into()),
        _ => Outcome::From {
            size,
            point: point.into(),
        },
    }
}
