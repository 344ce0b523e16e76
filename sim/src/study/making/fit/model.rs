//! What the car shows at the conditions watched, with its slopes over the unknowns: the
//! numbers in doubt, then the load of each part-load condition.

use super::bounds;
use super::points::Watched;
use super::{CarDoubt, Unfit};
use crate::control::{Command, ThrottleMode};
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::network::{Network, Reading};
use crate::root::border;
use crate::solve::{Failure, State};
use crate::study::asking::sensitivity::{Columns, Linear, Seeded, Told, is_meant, memory_slopes};
use crate::study::knowing::unlike::Driven;
use crate::study::running::simulate::{Comparison, running};
use nalgebra::{DMatrix, DVector};

/// Directions carried in one evaluation.
const WIDTH: usize = 8;
/// Standard deviation of a load before anything is read, share of the first guess and N m.
const LOAD_DOUBT: (f64, f64) = (0.3, 5.0);
/// Largest mean effective pressure looked for, Pa.
const MOST_PRESSURE: f64 = 25e5;

pub(super) struct Model<'a> {
    car: &'a Network<f64>,
    pub watched: &'a [Watched],
    pub keys: &'a [String],
    /// Standard deviations of the numbers before, SI.
    pub spreads: Vec<f64>,
    /// How far each may go, standard deviations.
    pub bounds: Vec<(f64, f64)>,
    /// Of each condition's readings, what a car of a plate differs by in ways that are no number of
    /// the file, their own units: so no number is bent to hide it.
    unlike: Vec<Vec<f64>>,
}

/// Share of what cars of other makes differ by in ways that are no number of the file that is left once
/// a fit may move what a plate does not tell (own choice, with the types of `benches/off_model` in view).
const UNLIKE: f64 = 0.5;

/// Readings that show an aim itself, at idle and at full load.
const AIMED: [&[Reading]; 2] = [
    &[Reading::EngineSpeed],
    &[
        Reading::LambdaSensor,
        Reading::Lambda,
        Reading::Boost,
        Reading::BoostSensor,
    ],
];

/// What the readings of a condition are off by in a car that the file does not describe.
fn unlike(watched: &Watched, doubt: &CarDoubt) -> Vec<f64> {
    let driven = Driven::of(&watched.command);
    let aimed = match driven {
        Driven::Idle => AIMED[0],
        Driven::Full => AIMED[1],
        Driven::Part | Driven::Overrun => &[],
    };
    let reads = watched.reads.iter();
    let off = reads.map(|(reading, value, _)| match aimed.contains(reading) {
        true => 0.0,
        false => {
            let shifts = doubt.unlike.shifts(*reading, *value, driven);
            let squares = shifts.map(|shift| shift.common.powi(2) + shift.alone.powi(2));
            UNLIKE * squares.sum::<f64>().sqrt()
        }
    });
    off.collect()
}

/// The unknowns, in standard deviations of their prior, and where states are sought from.
#[derive(Clone)]
pub(super) struct At {
    pub numbers: DVector<f64>,
    /// First guess and spread of each condition's torque, N m; none where nothing is held.
    loads: Vec<Option<(f64, f64)>>,
    pub guesses: Vec<State>,
}

/// One condition.
#[derive(Clone)]
pub(super) struct Point {
    pub state: State,
    /// What the car shows of each reading.
    pub shown: Vec<f64>,
    /// What was read less that, in standard deviations.
    pub apart: DVector<f64>,
    /// Slopes of what is shown, in standard deviations both.
    pub slopes: DMatrix<f64>,
}

impl<'a> Model<'a> {
    /// None if there is nothing to compare.
    pub fn new(car: &'a Network<f64>, watched: &'a [Watched], doubt: &'a CarDoubt) -> Option<Self> {
        let any = watched.iter().any(|watched| !watched.reads.is_empty());
        let spreads = (0..doubt.count()).map(|i| doubt.factor.row(i).norm());
        let spreads: Vec<f64> = spreads.collect();
        let bounds = doubt.keys.iter().zip(&spreads);
        let bounds = bounds.map(|(key, spread)| bounds::bounds(car, key, *spread));
        any.then(|| Self {
            bounds: bounds.collect(),
            car,
            watched,
            keys: &doubt.keys,
            spreads: spreads.clone(),
            unlike: watched.iter().map(|one| unlike(one, doubt)).collect(),
        })
    }

    /// The car whose numbers are `z` spreads away.
    pub fn car(&self, z: &DVector<f64>) -> Network<f64> {
        self.car.map(&mut |key, value| {
            let meant = (0..self.keys.len()).filter(|i| is_meant(&self.keys[*i], key));
            meant.fold(value, |value, i| value + z[i] * self.spreads[i])
        })
    }

    /// A share of a step further, no number beyond the end of its range.
    pub fn moved(&self, at: &At, step: &DVector<f64>, share: f64) -> At {
        let mut numbers = &at.numbers + step * share;
        for (number, (low, high)) in numbers.iter_mut().zip(&self.bounds) {
            *number = number.clamp(*low, *high);
        }
        At {
            numbers,
            ..at.clone()
        }
    }

    /// The car as given, with loads at which it counts the air that was read.
    pub fn start(&self) -> Result<At, Unfit> {
        let cars = Comparison::new(self.car);
        let rest = State::from(self.car.start());
        let mut guesses = Vec::new();
        let mut loads = Vec::new();
        for watched in self.watched {
            let mut guess = rest;
            let load = match watched.command.throttle {
                ThrottleMode::Pedal | ThrottleMode::Opening(_) => None,
                ThrottleMode::Torque(_) => {
                    let torque = self.load(&cars, watched, &mut guess);
                    Some((torque, LOAD_DOUBT.1.hypot(LOAD_DOUBT.0 * torque)))
                }
            };
            guesses.push(guess);
            loads.push(load);
        }
        let unknowns = self.keys.len() + loads.iter().flatten().count();
        Ok(At {
            numbers: DVector::zeros(unknowns),
            loads,
            guesses,
        })
    }

    /// The torque at which the car shows the load read, by halves: not every torque is one.
    fn load(&self, cars: &Comparison, watched: &Watched, guess: &mut State) -> f64 {
        let displacement = self.car.vehicle.cylinders.displacement;
        let most: f64 = torque_of_mean_pressure(MOST_PRESSURE, displacement);
        let signs = [
            Reading::Manifold,
            Reading::MeteredAir,
            Reading::AbsoluteLoad,
        ];
        let read = signs
            .iter()
            .find_map(|sign| watched.reads.iter().find(|read| read.0 == *sign));
        let Some((reading, value, _)) = read else {
            return 0.2 * most;
        };
        let (low, high) = border((0.0, most), 16, |torque| {
            let command = cars.command(with_torque(watched.command, torque), false);
            let side = running(&cars.network.with(command), Some(guess)).ok();
            match side.and_then(|side| Some((side.state, side.readings.get(*reading)?))) {
                Some((state, shown)) if shown < *value => {
                    *guess = state;
                    true
                }
                _ => false,
            }
        });
        0.5 * (low + high)
    }

    /// Everything at `at`.
    pub fn show(&self, at: &At) -> Result<Vec<Point>, Unfit> {
        let cars = Comparison::new(&self.car(&at.numbers));
        let mut along: Vec<(&str, f64)> = (self.keys.iter().map(String::as_str))
            .zip(self.spreads.iter().copied())
            .collect();
        // The last direction is that of the load.
        along.push(("", 0.0));
        let mut seeded = Seeded::<WIDTH>::along(&cars.network, &along);
        let fresh = Columns::zeros(along.len());
        let memory = memory_slopes(&cars.network, &mut seeded, cars.learnt(false), &fresh);
        let mut load = self.keys.len();
        let all = self.watched.iter().enumerate().map(|(k, watched)| {
            let mut told = Told {
                memory: memory.clone(),
                torque: None,
            };
            let mut command = watched.command;
            if let Some((guess, spread)) = at.loads[k] {
                command = with_torque(command, guess + spread * at.numbers[load]);
                let mut torque = vec![0.0; along.len()];
                torque[self.keys.len()] = spread;
                told.torque = Some(torque);
            }
            let point = self.point(
                &cars,
                watched,
                command,
                &at.guesses[k],
                (&mut seeded, &told, load),
                &self.unlike[k],
            );
            load += usize::from(at.loads[k].is_some());
            point.map_err(|why| Unfit::NotRunning(watched.name.clone(), why))
        });
        let points: Result<Vec<Point>, Unfit> = all.collect();
        points.map(|mut points| {
            points
                .iter_mut()
                .for_each(|point| point.widen(at.numbers.len()));
            points
        })
    }

    fn point(
        &self,
        cars: &Comparison,
        watched: &Watched,
        command: Command,
        guess: &State,
        (seeded, told, load): (&mut Seeded<WIDTH>, &Told, usize),
        unlike: &[f64],
    ) -> Result<Point, Failure> {
        let network = cars.network.with(cars.command(command, false));
        let side = running(&network, Some(guess))?;
        let linear = Linear::at(&network, &side.state).ok_or_else(Failure::singular)?;
        let found = linear.slopes(seeded, told);
        let (count, numbers) = (watched.reads.len(), self.keys.len());
        let columns = numbers.max(if told.torque.is_some() { load + 1 } else { 0 });
        let mut slopes = DMatrix::zeros(count, columns);
        let mut shown = Vec::with_capacity(count);
        let mut apart = DVector::zeros(count);
        for (i, (reading, value, deviation)) in watched.reads.iter().enumerate() {
            let row = *reading as usize;
            // What has no meaning in the car as it is tells nothing.
            let Some(now) = side.readings.get(*reading) else {
                shown.push(f64::NAN);
                continue;
            };
            shown.push(now);
            let deviation = &deviation.hypot(unlike[i]);
            apart[i] = (value - now) / deviation;
            for j in 0..numbers {
                slopes[(i, j)] = found.readings[(row, j)] / deviation;
            }
            if told.torque.is_some() {
                slopes[(i, load)] = found.readings[(row, numbers)] / deviation;
            }
        }
        Ok(Point {
            state: side.state,
            shown,
            apart,
            slopes,
        })
    }
}

impl Point {
    /// Slopes over the loads of later conditions, which are none.
    fn widen(&mut self, columns: usize) {
        let slopes = std::mem::replace(&mut self.slopes, DMatrix::zeros(0, 0));
        self.slopes = slopes.resize_horizontally(columns, 0.0);
    }
}

fn with_torque(command: Command, torque: f64) -> Command {
    Command {
        throttle: ThrottleMode::Torque(torque),
        ..command
    }
}
