//! This very car: the numbers in doubt that its healthy readings determine.
//!
//! Maximum a posteriori by Gauss-Newton (a standard nonlinear least-squares method; see
//! any text on Bayesian regression), with the exact derivatives of the steady points and
//! what the computer learns counted in. The prior is that of [`CarDoubt`]: so a number that
//! the readings do not touch keeps its value and its doubt, and two that they cannot tell
//! apart share what they tell.
//!
//! **One condition may be bad** (a door open, an air conditioner on): a condition as a whole
//! counts with the weight of a multivariate Student law, `(ν + n)/(ν + d²)`, ν = 4
//! (iteratively reweighted; own choice of ν).
//!
//! Limits: the covariance is that of the linearised problem at the end; the load of a
//! part-load condition is one more unknown, found from what was read there.

mod bounds;
mod known;
mod model;
mod points;

pub use known::{Known, KnownError, KnownNumber};
pub use points::{Watched, heard, watched};

use crate::control::ThrottleMode;
use crate::network::readings::FORMS;
use crate::network::{Network, Reading};
use crate::say::judging as say;
use crate::solve::Failure;
use crate::study::asking::sensitivity::{is_meant, quantities};
use crate::study::knowing::doubt::{CarDoubt, Uncertain};
use crate::study::running::simulate::Comparison;
use model::{Model, Point};
use nalgebra::{DMatrix, DVector};

/// Degrees of freedom of a condition's law.
const NU: f64 = 4.0;
/// Iterations with every condition in full, and at most.
const PLAIN: usize = 3;
const MOST: usize = 25;
/// The longest step, standard deviations, and that below which it is done.
const LONGEST: f64 = 2.0;
const DONE: f64 = 2e-3;
/// The smallest share of a step that is tried.
const SHORTEST: f64 = 0.02;
/// Weight below which a condition counts as set aside.
const ASIDE: f64 = 0.3;
/// Standard deviations within which a reading is followed, and conditions up to which none may be
/// set aside unsaid.
const FOLLOWED: f64 = 3.0;
const FEW: usize = 3;
/// First steps, in which nothing but the aims moves: what the car shows of them needs no other number.
const AIMS_FIRST: usize = 2;

/// A number of the car after the fit, SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// Its dotted key.
    pub key: String,
    /// In plain words.
    pub name: &'static str,
    /// Value and standard deviation before.
    pub before: (f64, f64),
    /// And after.
    pub after: (f64, f64),
}

impl Fitted {
    /// Whether the readings tell anything of it: its doubt is less than nine tenths of before.
    pub fn told(&self) -> bool {
        self.after.1 < 0.9 * self.before.1
    }
}

/// One reading beside the car's, before and after.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    /// Name of the condition.
    pub condition: String,
    /// Which.
    pub reading: Reading,
    /// Value read, and its standard deviation.
    pub read: (f64, f64),
    /// What the car as given shows, and what the fitted one does.
    pub shown: (f64, f64),
    /// Weight of its condition, about 1 where it agrees with the others.
    pub weight: f64,
}

/// A car fitted to its readings.
#[derive(Clone, Debug)]
pub struct Fit {
    /// The car.
    pub car: Network<f64>,
    /// Its numbers in doubt.
    pub numbers: Vec<Fitted>,
    /// What is left in doubt.
    pub known: Known,
    /// Readings, before and after.
    pub left: Vec<Left>,
    /// Conditions that do not agree with the rest and count for little.
    pub aside: Vec<String>,
    /// Conditions at which the car does not run, and why: they are left out.
    pub out: Vec<(String, Failure)>,
    /// Gauss-Newton steps.
    pub steps: usize,
}

impl Fit {
    /// Readings that the fitted car does not follow, the farthest off first: off by more than three
    /// standard deviations. Those of one condition that is set aside among many are not asked.
    pub fn unfollowed(&self) -> Vec<&Left> {
        let mut conditions: Vec<&str> = self.left.iter().map(|l| l.condition.as_str()).collect();
        conditions.dedup();
        let few = conditions.len() <= FEW;
        let asked = |left: &&Left| few || !self.aside.contains(&left.condition);
        let off = |left: &&Left| left.off().1.abs() > FOLLOWED;
        let mut all: Vec<&Left> = self.left.iter().filter(asked).filter(off).collect();
        all.sort_by(|a, b| b.off().1.abs().total_cmp(&a.off().1.abs()));
        all
    }
}

impl Left {
    /// What was read less what the car shows, before and after, in standard deviations of what was
    /// read; 0 where it has no meaning in the car.
    pub fn off(&self) -> (f64, f64) {
        let off = |shown: f64| match shown.is_finite() {
            true => (self.read.0 - shown) / self.read.1,
            false => 0.0,
        };
        (off(self.shown.0), off(self.shown.1))
    }
}

/// Why there is no fit.
#[derive(Clone, Debug)]
pub enum Unfit {
    /// No condition holds a reading that can be compared.
    Nothing,
    /// The car does not run at a condition.
    NotRunning(String, Failure),
    /// The steps do not come to an end; which reading stays farthest off, where, and by how many
    /// standard deviations.
    Unsettled(Option<(Reading, String, f64)>),
}

impl Unfit {
    fn unsettled(watched: &[Watched], shown: &[Point]) -> Self {
        let all = watched.iter().zip(shown);
        let all = all.flat_map(|(watched, point)| {
            let reads = watched.reads.iter().zip(point.apart.iter());
            reads.map(|((reading, ..), off)| (*reading, watched.name.clone(), *off))
        });
        Self::Unsettled(all.max_by(|a, b| a.2.abs().total_cmp(&b.2.abs())))
    }
}

impl std::fmt::Display for Unfit {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let said = match self {
            Unfit::Nothing => say::nothing_to_fit().into(),
            Unfit::NotRunning(name, why) => say::fit_not_running(name, why),
            Unfit::Unsettled(Some((reading, name, off))) => {
                say::fit_unsettled(FORMS[*reading as usize].label, name, off.abs())
            }
            Unfit::Unsettled(None) => say::fit_unsettled_anyhow().into(),
        };
        f.write_str(&said)
    }
}

/// Fits `car`, sound, to what was read at `watched`; its numbers are known as
/// `doubt` says, each by itself.
///
/// # Errors
/// See [`Unfit`].
///
/// # Examples
/// ```
/// use sim::{CarDoubt, Command, Comparison, Reading, Watched, fit};
/// # let car = sim::size(&sim::TenNumbers::example())?.network();
/// // A car whose engine breathes 3 % better than its make's, read without error.
/// let mut own = car.clone();
/// own.vehicle.cylinders.filling_share *= 1.03;
/// own.sound = own.vehicle.clone();
/// let full = Command::full_load(366.5);
/// let side = Comparison::new(&own).point("", full).healthy?;
/// let air = side.readings.get(Reading::MeteredAir).unwrap();
/// let reads = vec![(Reading::MeteredAir, air, 0.2)];
/// let watched = Watched { name: "pull".into(), command: full, reads };
/// let fitted = fit(&car, &[watched], &CarDoubt::usual(&car, 1.0)).unwrap();
/// let air = &fitted.left[0];
/// let off = |shown: f64| (shown - air.read.0).abs();
/// assert!(off(air.shown.1) < 0.2 * off(air.shown.0), "{air:?}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fit(car: &Network<f64>, watched: &[Watched], doubt: &CarDoubt) -> Result<Fit, Unfit> {
    let mut watched = watched.to_vec();
    let mut out = Vec::new();
    loop {
        match settled(car, &watched, doubt) {
            // A condition that cannot be run is left out and named; of one alone nothing is left.
            Err(Unfit::NotRunning(name, why)) if watched.len() > 1 => {
                watched.retain(|watched| watched.name != name);
                out.push((name, why));
            }
            Ok(fit) => return Ok(Fit { out, ..fit }),
            Err(why) => return Err(why),
        }
    }
}

fn settled(car: &Network<f64>, watched: &[Watched], doubt: &CarDoubt) -> Result<Fit, Unfit> {
    let model = Model::new(car, watched, doubt).ok_or(Unfit::Nothing)?;
    let start = model.start()?;
    let first = model.show(&start)?;
    let (mut at, mut shown, mut steps) = (start, first.clone(), 0_usize);
    loop {
        let weights = match steps {
            0..PLAIN => vec![1.0; shown.len()],
            _ => shown.iter().map(weight).collect(),
        };
        let held = |j: usize, pull: f64| {
            let Some(key) = model.keys.get(j) else {
                return false;
            };
            // At the end of its range a number that would go on stays.
            let (at, (low, high)) = (at.numbers[j], model.bounds[j]);
            let ended = (at <= low && pull <= 0.0) || (at >= high && pull >= 0.0);
            ended || (steps < AIMS_FIRST && !Uncertain::is_aim(key))
        };
        let (information, pull) = normal(&at.numbers, &shown, &weights, held);
        let unsettled = || Unfit::unsettled(watched, &shown);
        let factor = information.cholesky().ok_or_else(unsettled)?;
        let step = factor.solve(&pull);
        let longest = step.amax();
        let settled = || {
            let (ends, covariance) = ((&first[..], &shown[..]), factor.inverse());
            let fitted = finish(car, &model, &at.numbers, ends, &covariance, &weights, steps);
            runs(fitted, watched)
        };
        if longest < DONE && steps > PLAIN {
            return settled();
        }
        if steps >= MOST || !longest.is_finite() {
            return Err(Unfit::unsettled(watched, &shown));
        }
        // Shorter where the car does not run so far away, or fits no better there: readings have kinks
        // where something reaches its stop.
        let cost = cost(&at.numbers, &shown, &weights);
        let gain = pull.dot(&step);
        let mut share = (LONGEST / longest).min(1.0);
        let better = loop {
            let trial = model.moved(&at, &step, share);
            match model.show(&trial) {
                Ok(shown) if self::cost(&trial.numbers, &shown, &weights) < cost => {
                    break Some((trial, shown));
                }
                Err(why) if share < SHORTEST => return Err(why),
                Ok(_) if share < SHORTEST => break None,
                _ => share *= 0.5,
            }
        };
        let Some(next) = better else {
            // As near as it comes; with more to gain than a standard deviation it is not settled.
            if steps > PLAIN && gain > 1.0 {
                return Err(Unfit::unsettled(watched, &shown));
            }
            if steps > PLAIN {
                return settled();
            }
            steps += 1;
            continue;
        };
        (at, shown) = next;
        for (guess, point) in at.guesses.iter_mut().zip(&shown) {
            *guess = point.state;
        }
        steps += 1;
    }
}

/// A fitted car must run from rest where it was read: a point that is found from a guess nearby may be
/// one that no engine stays at.
fn runs(fit: Fit, watched: &[Watched]) -> Result<Fit, Unfit> {
    let cars = Comparison::new(&fit.car);
    let told = watched.iter();
    let told = told.filter(|watched| watched.command.throttle == ThrottleMode::Pedal);
    for watched in told {
        let side = cars.point(&watched.name, watched.command).healthy;
        side.map_err(|why| Unfit::NotRunning(watched.name.clone(), why))?;
    }
    Ok(fit)
}

/// What is minimised: squares of what is off and of how far the numbers are from where they stood.
fn cost(z: &DVector<f64>, shown: &[Point], weights: &[f64]) -> f64 {
    let off = shown.iter().zip(weights);
    let off = off.map(|(point, weight)| weight * point.apart.norm_squared());
    off.sum::<f64>() + z.norm_squared()
}

fn weight(point: &Point) -> f64 {
    let count = point.apart.len() as f64;
    (NU + count) / (NU + point.apart.norm_squared())
}

/// `Σ w JᵀJ + I` and `Σ w Jᵀr − z`: unknowns count in standard deviations of their prior.
/// Numbers that are `held` do not move.
fn normal(
    z: &DVector<f64>,
    shown: &[Point],
    weights: &[f64],
    held: impl Fn(usize, f64) -> bool,
) -> (DMatrix<f64>, DVector<f64>) {
    let mut information = DMatrix::identity(z.len(), z.len());
    let mut pull = -z.clone();
    for (point, weight) in shown.iter().zip(weights) {
        information += point.slopes.tr_mul(&point.slopes) * *weight;
        pull += point.slopes.tr_mul(&point.apart) * *weight;
    }
    let all = 0..z.len();
    let still: Vec<usize> = all.filter(|j| held(*j, pull[*j])).collect();
    for j in still {
        information.row_mut(j).fill(0.0);
        information.column_mut(j).fill(0.0);
        information[(j, j)] = 1.0;
        pull[j] = 0.0;
    }
    (information, pull)
}

fn finish(
    car: &Network<f64>,
    model: &Model,
    z: &DVector<f64>,
    (first, last): (&[Point], &[Point]),
    covariance: &DMatrix<f64>,
    weights: &[f64],
    steps: usize,
) -> Fit {
    let fitted = model.car(z);
    let before = quantities(car);
    let value = |key: &str| {
        before
            .iter()
            .find(|q| is_meant(key, &q.key))
            .map_or(0.0, |q| q.value)
    };
    let name = |key: &str| Uncertain::named(key).map_or("", |number| number.name);
    let numbers = model
        .keys
        .iter()
        .zip(&model.spreads)
        .enumerate()
        .map(|(i, (key, spread))| {
            let was = value(key);
            Fitted {
                key: key.clone(),
                name: name(key),
                before: (was, *spread),
                after: (was + z[i] * spread, spread * covariance[(i, i)].sqrt()),
            }
        });
    let mut left = Vec::new();
    for (((watched, before), after), weight) in
        model.watched.iter().zip(first).zip(last).zip(weights)
    {
        for (i, (reading, value, deviation)) in watched.reads.iter().enumerate() {
            left.push(Left {
                condition: watched.name.clone(),
                reading: *reading,
                read: (*value, *deviation),
                shown: (before.shown[i], after.shown[i]),
                weight: *weight,
            });
        }
    }
    let aside = model.watched.iter().zip(weights);
    let aside = aside.filter(|(_, weight)| **weight < ASIDE);
    let numbers: Vec<Fitted> = numbers.collect();
    Fit {
        known: Known::new(&fitted, model.keys, &model.spreads, covariance),
        aside: aside.map(|(watched, _)| watched.name.clone()).collect(),
        car: fitted,
        numbers,
        left,
        out: Vec::new(),
        steps,
    }
}
