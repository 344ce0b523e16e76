//! A car with some of its faults mended, beside the same car with them.

use super::{Driven, Job, Measure, Payback};
use crate::control::{Code, Command};
use crate::network::readings::Reading as R;
use crate::network::{Defect, Network, Vehicle};
use crate::scenario::Mistake;
use crate::solve::Failure;
use crate::study::running::dangers::Danger;
use crate::study::running::simulate::{Comparison, Side, cruise};
use crate::study::running::warnings::Warning;
use crate::study::workshop::in_car::{FULL_LOAD, with_boost};
use crate::study::workshop::{Z90, mistake};
use std::f64::consts::PI;

/// A number of gain: at the stated size, and at its 90 % limits; not a number where one
/// of the cars does not run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gain {
    /// At the stated size.
    pub value: f64,
    /// Least within the limits.
    pub low: f64,
    /// Most within the limits.
    pub high: f64,
}

/// What a repair gives.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gains {
    /// Torque, N m, at each of [`FULL_LOAD`], at the stated sizes.
    pub torque_by_speed: [f64; 3],
    /// Power, kW, likewise.
    pub power_by_speed: [f64; 3],
    /// Torque at full load, N m, at the speed where it changes most.
    pub torque: Gain,
    /// That speed, rpm.
    pub torque_at: f64,
    /// Power at full load, kW, at the speed where it changes most.
    pub power: Gain,
    /// That speed, rpm.
    pub power_at: f64,
    /// Fuel, L per 100 km.
    pub fuel_100km: Gain,
    /// Fuel, L a year.
    pub fuel_year: Gain,
    /// Distance of idle and cruise trim from the nearest lean or rich code, % of trim.
    pub trim_margin: Gain,
}

/// A danger or code that is gone after a repair, and where it was.
#[derive(Clone, Debug, PartialEq)]
pub struct Risk {
    /// Operating point.
    pub point: &'static str,
    /// What.
    pub what: Menace,
}

/// What a fault brings.
#[derive(Clone, Debug, PartialEq)]
pub enum Menace {
    /// A danger.
    Danger(Danger),
    /// Something to beware of.
    Caution(Warning),
    /// The engine does not run there.
    Stops(Failure),
    /// A trouble code.
    Code(Code),
}

impl Menace {
    /// Whether it endangers engine or people.
    pub fn is_danger(&self) -> bool {
        match self {
            Menace::Danger(_) | Menace::Stops(_) => true,
            Menace::Caution(_) | Menace::Code(_) => false,
        }
    }
}

/// Names of the points run.
pub const POINTS: [&str; 5] = [
    "idle",
    "light cruise",
    "full load 2000 rpm",
    "full load 3500 rpm",
    "full load 5000 rpm",
];

/// A car at every point.
type Runs = [Result<Side, Failure>; POINTS.len()];

/// The healthy car, ready to be compared with.
pub struct Bench {
    comparison: Comparison,
    commands: [Command; POINTS.len()],
    sound: [Side; POINTS.len()],
    duty: Driven,
}

/// Differences between two cars; not a number where one does not run.
#[derive(Clone, Copy, Debug)]
struct Difference {
    torque: [f64; FULL_LOAD.len()],
    power: [f64; FULL_LOAD.len()],
    fuel_year: f64,
    trim_margin: f64,
}

impl Payback<f64> {
    /// The healthy car at every point.
    ///
    /// # Errors
    /// A boost control the car has no numbers for, or a healthy car that does not run.
    pub fn bench(&self, vehicle: Vehicle<f64>) -> Result<Bench, Mistake> {
        let vehicle = with_boost(vehicle, self.boost_control, self.fixed_duty)?;
        let network = Network::new(vehicle, Vec::new(), self.ambient.ambient(), Command::IDLE);
        let comparison = Comparison::new(&network);
        let full = |i: usize| Command::full_load(FULL_LOAD[i] * PI / 30.0);
        let commands = [Command::IDLE, cruise(&network), full(0), full(1), full(2)];
        let mut sound = Vec::new();
        for (name, command) in POINTS.into_iter().zip(commands) {
            sound.push(comparison.point(name, command).healthy.map_err(|e| {
                let message = format!("the healthy car does not run at {name}: {e}");
                mistake("vehicle", message)
            })?);
        }
        let sound = sound.try_into();
        let sound = sound.map_err(|_| mistake("vehicle", "a point without an answer"))?;
        Ok(Bench {
            comparison,
            commands,
            sound,
            duty: self.duty,
        })
    }
}

impl Bench {
    /// A car with these defects alone; a leak that is shut is none.
    fn run(&self, defects: &[Defect]) -> Runs {
        let open = defects.iter().filter(|defect| !defect.is_shut());
        let car = self.comparison.network.only(open.copied());
        let car = self.comparison.instead(&car);
        std::array::from_fn(|i| match car.network.is_healthy() {
            true => Ok(self.sound[i].clone()),
            false => car.faulty(self.commands[i], Some(self.sound[i].state)),
        })
    }

    /// What mending all of `mended` gives in a car with those and `kept`, and what
    /// menaces are gone then, at the stated sizes.
    pub fn mend(&self, mended: &[Job], kept: &[Job]) -> (Gains, Vec<Risk>) {
        let at = |jobs: &[Job], deviations: &dyn Fn(usize) -> f64| -> Vec<Defect> {
            let jobs = jobs.iter().enumerate();
            jobs.map(|(i, job)| job.defect.within(job.known.at(deviations(i))))
                .collect()
        };
        let kept = at(kept, &|_| 0.0);
        let with = |deviations: &dyn Fn(usize) -> f64| {
            self.run(&[at(mended, deviations), kept.clone()].concat())
        };
        let better = self.run(&kept);
        let worse = with(&|_| 0.0);
        let stated = self.difference(&worse, &better);
        let mut ends = Vec::new();
        for (i, job) in mended.iter().enumerate() {
            if job.known.low < job.known.high {
                let end = |deviations: f64| {
                    let runs = with(&|j| if i == j { deviations } else { 0.0 });
                    self.difference(&runs, &better)
                };
                ends.push([end(-Z90), end(Z90)]);
            }
        }
        (self.gains(&stated, &ends), risks(&worse, &better))
    }

    /// Better less worse.
    fn difference(&self, worse: &Runs, better: &Runs) -> Difference {
        let change = |i: usize, reading: R| is(&better[i], reading) - is(&worse[i], reading);
        let duty = &self.duty;
        let saved = |i: usize| -change(i, R::Fuel) / 1e3;
        // At full load the same work is done: less brake specific fuel consumption, at the better car's power.
        let full = (2..POINTS.len()).map(|i| {
            let power = is(&better[i], R::Power);
            -change(i, R::FuelConsumption) * power / 3.6e6
        });
        let full: f64 = full.sum::<f64>() / FULL_LOAD.len() as f64;
        // A share of nothing asks for no answer there.
        let part = |share: f64, rate: f64| if share > 0.0 { share * rate } else { 0.0 };
        let rate =
            part(duty.idle, saved(0)) + part(duty.cruise, saved(1)) + part(duty.full_load, full);
        let hours = duty.distance / duty.average_speed;
        Difference {
            torque: std::array::from_fn(|i| change(i + 2, R::Torque)),
            power: std::array::from_fn(|i| change(i + 2, R::Power)),
            fuel_year: rate * hours / duty.fuel_density,
            trim_margin: self.margin(better) - self.margin(worse),
        }
    }

    /// Least distance of the trims from a lean or rich code, %, idle and cruise.
    fn margin(&self, runs: &Runs) -> f64 {
        let limits = &self.comparison.network.vehicle.watchdogs;
        let nearest = |own: f64| 100.0 * own.min(limits.trim);
        let idle = nearest(limits.idle_trim) - is(&runs[0], R::FuelTrim).abs();
        let cruise = nearest(limits.part_load_trim) - is(&runs[1], R::FuelTrim).abs();
        // `min` would pass over a car that does not run.
        if idle < cruise || idle.is_nan() {
            idle
        } else {
            cruise
        }
    }

    fn gains(&self, stated: &Difference, ends: &[[Difference; 2]]) -> Gains {
        let gain = |of: &dyn Fn(&Difference) -> f64| {
            let value = of(stated);
            let (mut down, mut up) = (0.0, 0.0);
            for pair in ends {
                let [a, b] = pair.each_ref().map(|end| of(end) - value);
                // A limit at which the car does not run makes the sum none, too.
                down += least(a, b).min(0.0).powi(2) + 0.0 * (a + b);
                up += (-least(-a, -b)).max(0.0).powi(2) + 0.0 * (a + b);
            }
            Gain {
                value,
                low: value - down.sqrt(),
                high: value + up.sqrt(),
            }
        };
        let most = |of: &dyn Fn(&Difference) -> [f64; 3]| {
            let values = of(stated);
            let runs = (0..3).filter(|i| values[*i].is_finite());
            runs.max_by(|a, b| values[*a].abs().total_cmp(&values[*b].abs()))
                .unwrap_or(0)
        };
        let (torque, power) = (most(&|d| d.torque), most(&|d| d.power));
        let per_100km = 1e5 / self.duty.distance;
        Gains {
            torque_by_speed: stated.torque,
            power_by_speed: stated.power,
            torque: gain(&|d| d.torque[torque]),
            torque_at: FULL_LOAD[torque],
            power: gain(&|d| d.power[power]),
            power_at: FULL_LOAD[power],
            fuel_100km: gain(&|d| d.fuel_year * per_100km),
            fuel_year: gain(&|d| d.fuel_year),
            trim_margin: gain(&|d| d.trim_margin),
        }
    }
}

/// The smaller; not a number if either is none.
fn least(a: f64, b: f64) -> f64 {
    if a < b || a.is_nan() { a } else { b }
}

fn is(run: &Result<Side, Failure>, reading: R) -> f64 {
    let side = run.as_ref().ok();
    side.and_then(|side| side.readings.get(reading))
        .unwrap_or(f64::NAN)
}

/// Dangers, stops and codes of the worse car that the better one has not.
fn risks(worse: &Runs, better: &Runs) -> Vec<Risk> {
    let mut gone = Vec::new();
    for ((point, worse), better) in POINTS.into_iter().zip(worse).zip(better) {
        let better = better.as_ref().ok();
        let mut add = |what: Menace| gone.push(Risk { point, what });
        match worse {
            Err(why) if better.is_some() => add(Menace::Stops(why.clone())),
            Err(_) => {}
            Ok(worse) => {
                let set = |code| worse.codes.contains(&code);
                for danger in Danger::with_codes(worse.dangers.clone(), set) {
                    let alike = |other: &Danger| other.hazard == danger.hazard;
                    if !better.is_some_and(|side| side.dangers.iter().any(alike)) {
                        add(Menace::Danger(danger));
                    }
                }
                for warning in worse.warnings.iter().filter(|w| w.is_of_engine()) {
                    let alike = |other: &Warning| other.concern() == warning.concern();
                    if !better.is_some_and(|side| side.warnings.iter().any(alike)) {
                        add(Menace::Caution(warning.clone()));
                    }
                }
                for code in &worse.codes {
                    if !better.is_some_and(|side| side.codes.contains(code)) {
                        add(Menace::Code(*code));
                    }
                }
            }
        }
    }
    gone
}

impl Gains {
    /// The number that repairs are ranked by.
    pub fn measure(&self, by: Measure) -> Gain {
        match by {
            Measure::Power => self.power,
            Measure::Torque => self.torque,
            Measure::Fuel => self.fuel_year,
            Measure::TrimMargin => self.trim_margin,
        }
    }
}

impl Gain {
    /// What may be expected where the fault is there with a chance: the limits reach to
    /// nothing where it is not there in more than 5 of 100 cases.
    #[must_use]
    pub fn expected(self, chance: f64) -> Self {
        let none = chance < 0.95;
        Self {
            value: chance * self.value,
            low: if none { self.low.min(0.0) } else { self.low },
            high: if none { self.high.max(0.0) } else { self.high },
        }
    }
}
