//! Conditions from a drive log: its steady windows, and points of its full-load pulls.
//!
//! A pull is no steady point: boost and charge temperature lag, sensors too. Its readings
//! therefore get more doubt (`PULL_DOUBT`), and those that lag most are left out.

use super::file::Taken;
use super::readouts::{Doubts, Readouts};
use crate::network::Reading as R;
use crate::say::driving as say;
use crate::study::knowing::doubt::instrument;
use crate::study::knowing::log::{Average, Channel, Kind, Pull, Window};
use crate::study::running::dangers::{Commanded, Driven};
use std::f64::consts::PI;

/// Most part-load windows taken, the longest first; most full-load windows.
const PART_LOAD: usize = 3;
const FULL_LOAD: usize = 2;
/// Most conditions taken from what was moving, the longest first.
const MOVING: usize = 16;
/// A window tells what was moving within this share of its speed and load.
const TOLD: f64 = 0.08;
/// Share of lambda 1 within which the mixture is regulated; manifold pressure, kPa, from which it
/// may be enriched where lambda is not logged (own choice).
const REGULATED: f64 = 0.03;
const BOOSTED: f64 = 90.0;
/// How far a reading over what was moving is from that of a steady point: share (own choice).
const MOVING_DOUBT: f64 = 0.01;
/// The same of a trim, %: fuel on the walls, and cells of a computer's memory that are no plane. On a
/// measured drive of a healthy car trims over one speed differ by so much between loads 15 kPa apart.
const MOVING_TRIM: f64 = 3.0;
/// Pressure of the standard's air, kPa.
const STANDARD: f64 = 101.325;
/// Steps of engine speed, rpm, at which pulls are read.
const PULLED: f64 = 500.0;
/// Most points of pulls, spread over the speeds they pass.
const PULL_POINTS: usize = 4;
/// Steps of engine speed, rpm, at which a pull is searched for dangers.
const WATCHED: f64 = 250.0;
/// How far a pull's reading is from that of a steady point: share of the value (own choice,
/// from pulls of the demo cars in third gear).
const PULL_DOUBT: f64 = 0.02;
/// Readings of a pull that lag too far behind to be compared with a steady point.
const LAGGING: [R; 4] = [
    R::IntakeTemperature,
    R::ExhaustTemperature,
    R::WastegateDuty,
    R::ShortTrim,
];
/// Readings that say how the car was driven rather than how it answers, unless it idles.
const DRIVEN: [R; 2] = [R::Throttle, R::EngineSpeed];
/// What instruments measure; torque, power or fuel flow in a log are the computer's reckoning.
const MEASURED: [R; 17] = [
    R::EngineSpeed,
    R::MeteredAir,
    R::AbsoluteLoad,
    R::FuelTrim,
    R::ShortTrim,
    R::LongTrim,
    R::LambdaSensor,
    R::Boost,
    R::BoostSensor,
    R::Manifold,
    R::IntakeTemperature,
    R::ShaftSpeed,
    R::WastegateDuty,
    R::Throttle,
    R::ExhaustTemperature,
    R::ExhaustPressure,
    R::InletDepression,
];

/// What of a log is judged by.
#[derive(Clone, Debug)]
pub struct Judged {
    /// As conditions.
    pub conditions: Vec<Taken>,
    /// Which of them were moving, and from which to which engine speed, rpm.
    pub moving: std::ops::Range<usize>,
    /// See there.
    pub speeds: [f64; 2],
    /// Seconds of the log that stand behind them.
    pub seconds: f64,
    /// Highest boost among them, kPa.
    pub boost: f64,
}

/// What a log holds.
#[derive(Clone, Copy, Debug)]
pub struct Drive<'a> {
    /// What was held.
    pub windows: &'a [Window],
    /// Part load at which speed and load moved.
    pub moving: &'a [Window],
    /// Full-load pulls.
    pub pulls: &'a [Pull],
}

impl<'a> Drive<'a> {
    /// The windows that are judged by: of each kind those held longest.
    fn held(&self, kind: Kind, most: usize) -> Vec<&'a Window> {
        // An idle is an idle, however long it lasts.
        let idles = self.moving.iter().filter(|w| w.kind == Kind::Idle);
        let windows = self.windows.iter().chain(idles);
        let mut found: Vec<_> = windows.filter(|w| w.kind == kind && is_loaded(w)).collect();
        found.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
        found.truncate(most);
        found
    }

    /// What was moving and is judged by: the longest, but where a window tells the same.
    fn moved(&self, held: &[&Window]) -> Vec<&'a Window> {
        let told = |w: &Window| held.iter().any(|held| apart(held, w) < TOLD);
        let moving = self.moving.iter().filter(|w| w.kind == Kind::PartLoad);
        let mut found: Vec<_> = moving.filter(|w| is_loaded(w) && !told(w)).collect();
        found.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
        found.truncate(MOVING);
        found
    }

    /// What is judged by.
    pub fn judged(&self) -> Judged {
        let part = self.held(Kind::PartLoad, PART_LOAD);
        let moved = self.moved(&part);
        let held = [
            self.held(Kind::Idle, 1),
            part,
            self.held(Kind::FullLoad, FULL_LOAD),
        ]
        .concat();
        let windows = held.iter().chain(&moved);
        let mut seconds = windows.clone().map(|w| w.seconds).sum::<f64>();
        let mut conditions: Vec<Taken> = held.iter().map(|w| from_window(w)).collect();
        let moving = moved.iter().filter_map(|w| from_moving(w));
        let moving: Vec<Taken> = moving.collect();
        let (first, count) = (conditions.len(), moving.len());
        conditions.extend(moving);
        let (pulled, passes) = from_pulls(self.pulls);
        if !pulled.is_empty() {
            seconds += self.pulls.iter().map(Pull::seconds).sum::<f64>();
        }
        let speeds = moved.iter().map(|w| w.speed);
        let boosts = windows.flat_map(|w| &w.averages).chain(&passes);
        conditions.extend(pulled);
        Judged {
            moving: first..first + count,
            speeds: [
                speeds.clone().fold(f64::INFINITY, f64::min),
                speeds.fold(0.0, f64::max),
            ],
            boost: boosts.filter_map(boost).fold(0.0, f64::max),
            conditions,
            seconds,
        }
    }

    /// Every point of a log: all windows, and all pulls from end to end. Too many to be judged by,
    /// but none may hide a danger.
    pub fn passed(&self) -> Vec<Driven> {
        let windows = self.windows.iter().map(|w| {
            let (speed, pedal) = match w.kind {
                Kind::Idle => (None, Some(0.0)),
                Kind::PartLoad => (Some(w.speed), w.pedal),
                Kind::FullLoad => (Some(w.speed), Some(1.0)),
            };
            driven(w.name(), speed, pedal, &w.averages)
        });
        let moving = self.moving.iter().filter(|w| w.kind == Kind::PartLoad);
        let moving = moving.map(|w| {
            let reads = w.averages.iter().copied();
            // A lambda that moves while the pedal does proves nothing of a mixture that is held.
            let reads: Vec<Average> = reads.filter(|a| !lambda(a)).collect();
            driven(moving_name(w), Some(w.speed), w.pedal, &reads)
        });
        let pulls = self.pulls.iter().flat_map(|pull| {
            let [low, high] = pull.speeds();
            let steps = (low / WATCHED).ceil() as usize..=(high / WATCHED).floor() as usize;
            steps.filter_map(move |step| {
                let speed = step as f64 * WATCHED;
                let averages = pull.at(speed)?;
                Some(driven(pull_name(speed), Some(speed), Some(1.0), &averages))
            })
        });
        windows.chain(moving).chain(pulls).collect()
    }
}

/// How far two conditions lie apart in speed or load, as a share.
fn apart(a: &Window, b: &Window) -> f64 {
    let load = match (a.load, b.load) {
        (Some((_, a)), Some((_, b))) => (a / b).ln().abs(),
        _ => f64::INFINITY,
    };
    (a.speed / b.speed).ln().abs().max(load)
}

/// Boost, kPa, that a reading tells of; the air around is taken to be that of the standard.
fn boost(average: &Average) -> Option<f64> {
    match average.channel {
        Channel::Read(R::Manifold) => Some(average.mean - STANDARD),
        Channel::Read(R::Boost | R::BoostSensor) => Some(average.mean),
        _ => None,
    }
}

fn lambda(average: &Average) -> bool {
    matches!(
        average.channel,
        Channel::Read(R::Lambda | R::LambdaSensor) | Channel::CommandedLambda
    )
}

fn moving_name(window: &Window) -> String {
    let load = window.load.map(|(channel, load)| {
        format!("{} {:.4} {}", channel.label(), load, channel.unit())
    });
    say::moving(window.speed, load.unwrap_or_default())
}

fn driven(name: String, rpm: Option<f64>, pedal: Option<f64>, averages: &[Average]) -> Driven {
    let reads = averages.iter().filter_map(|a| match a.channel {
        Channel::Read(reading) => Some((reading, a.mean)),
        _ => None,
    });
    Driven {
        name,
        speed: rpm.map(|rpm| rpm * PI / 30.0),
        pedal,
        reads: reads.collect(),
        commanded: Commanded {
            lambda: commanded(averages),
            boost: None,
        },
    }
}

/// Lambda that the computer commands, where it is logged.
fn commanded(averages: &[Average]) -> Option<f64> {
    let mut all = averages.iter();
    let found = all.find(|a| a.channel == Channel::CommandedLambda)?;
    Some(found.mean)
}

fn pull_name(rpm: f64) -> String {
    say::pull(rpm)
}

/// Whether the load of a part-load window can be told.
fn is_loaded(window: &Window) -> bool {
    let known = [R::MeteredAir, R::AbsoluteLoad, R::Manifold];
    known
        .iter()
        .any(|reading| window.get(Channel::Read(*reading)).is_some())
}

fn from_window(window: &Window) -> Taken {
    let mut taken = nothing(window.name());
    match window.kind {
        Kind::Idle => taken.idle = true,
        Kind::PartLoad => taken.speed = Some(window.speed * PI / 30.0),
        Kind::FullLoad => {
            taken.speed = Some(window.speed * PI / 30.0);
            taken.pedal = Some(1.0);
        }
    }
    let left_out: &[R] = if taken.idle { &[] } else { &DRIVEN };
    read(&mut taken, &window.averages, 0.0, left_out);
    taken
}

/// What was moving: air against pressure, and the trims where the mixture is regulated.
fn from_moving(window: &Window) -> Option<Taken> {
    let mut taken = nothing(moving_name(window));
    taken.speed = Some(window.speed * PI / 30.0);
    taken.moving = true;
    let of = |reading| window.get(Channel::Read(reading)).copied();
    let regulated = match of(R::LambdaSensor) {
        Some(lambda) => (lambda.mean - 1.0).abs() < REGULATED,
        None => of(R::Manifold).is_none_or(|pressure| pressure.mean < BOOSTED),
    };
    let trims = [R::ShortTrim, R::LongTrim].map(of);
    let air = [R::MeteredAir, R::AbsoluteLoad, R::Manifold].map(of);
    let mut averages: Vec<Average> = air.into_iter().flatten().collect();
    if regulated {
        // How a correction is shared between the two trims is the computer's own affair.
        averages.extend(match trims {
            [Some(short), Some(long)] => Some(Average {
                channel: Channel::Read(R::FuelTrim),
                mean: short.mean + long.mean,
                doubt: short.doubt.hypot(long.doubt),
                ..long
            }),
            _ => of(R::FuelTrim),
        });
    }
    for average in &mut averages {
        if average.channel == Channel::Read(R::FuelTrim) {
            average.doubt = average.doubt.hypot(MOVING_TRIM);
        }
    }
    read(&mut taken, &averages, MOVING_DOUBT, &[]);
    (taken.readings.given().len() > 1).then_some(taken)
}

/// All pulls, read at each of the speeds they pass; what is passed twice is a mean.
fn from_pulls(pulls: &[Pull]) -> (Vec<Taken>, Vec<Average>) {
    let mut passed = Vec::new();
    let speeds = (2..=16).map(|step| f64::from(step) * PULLED);
    let read_at = speeds.filter_map(|speed| {
        let passes: Vec<Vec<Average>> = (pulls.iter())
            .filter(|pull| pull.built(speed))
            .filter_map(|pull| pull.at(speed))
            .collect();
        let averages = pooled(&passes);
        passed.extend(averages.iter().copied());
        let mut taken = nothing(pull_name(speed));
        taken.speed = Some(speed * PI / 30.0);
        taken.pedal = Some(1.0);
        read(
            &mut taken,
            &averages,
            PULL_DOUBT,
            &[&LAGGING[..], &DRIVEN].concat(),
        );
        (!taken.readings.given().is_empty()).then_some(taken)
    });
    let read: Vec<Taken> = read_at.collect();
    let most = read.len().min(PULL_POINTS);
    let spread = (0..most).map(|i| (2 * i + 1) * read.len() / (2 * most));
    (spread.map(|i| read[i].clone()).collect(), passed)
}

/// Several passes as one: the doubt is their own, or what lies between them if that is more.
fn pooled(passes: &[Vec<Average>]) -> Vec<Average> {
    let first = passes.first().into_iter().flatten();
    let pool = |first: &Average| {
        let of = |pass: &Vec<Average>| pass.iter().find(|a| a.channel == first.channel).copied();
        let all: Vec<Average> = passes.iter().filter_map(of).collect();
        let count = all.len() as f64;
        let mean = all.iter().map(|a| a.mean).sum::<f64>() / count;
        let within = all.iter().map(|a| a.doubt.powi(2)).sum::<f64>() / count.powi(2);
        let between = all.iter().map(|a| (a.mean - mean).powi(2)).sum::<f64>();
        let between = between / (count * (count - 1.0).max(1.0));
        Average {
            mean,
            doubt: within.max(between).sqrt(),
            count: all.iter().map(|a| a.count).sum(),
            ..*first
        }
    };
    first.map(pool).filter(|a| !at_its_end(a)).collect()
}

/// Whether a lambda is that of a sensor at the end of what it can show: it does not move at all.
fn at_its_end(average: &Average) -> bool {
    lambda(average) && average.scatter == 0.0 && !(0.8..=1.25).contains(&average.mean)
}

fn read(taken: &mut Taken, averages: &[Average], share: f64, left_out: &[R]) {
    let has = |reading| averages.iter().any(|a| a.channel == Channel::Read(reading));
    taken.commanded_lambda = commanded(averages);
    for average in averages {
        let Channel::Read(reading) = average.channel else {
            continue;
        };
        // One quantity told twice is still one.
        let again = match reading {
            R::FuelTrim => has(R::ShortTrim) || has(R::LongTrim),
            R::AbsoluteLoad => has(R::MeteredAir),
            _ => false,
        };
        if again || left_out.contains(&reading) || !MEASURED.contains(&reading) {
            continue;
        }
        if taken.readings.set(reading, average.mean) {
            // A mean of many values is still no better than the instrument.
            let usual = instrument(reading).deviation(average.mean);
            let deviation = usual.hypot(average.doubt).hypot(share * average.mean);
            taken.doubt.set(reading, deviation);
        }
    }
}

fn nothing(name: String) -> Taken {
    Taken {
        name,
        idle: false,
        speed: None,
        pedal: None,
        torque: None,
        torque_doubt: None,
        commanded_lambda: None,
        commanded_boost: None,
        runs: true,
        moving: false,
        readings: Readouts::NONE,
        doubt: Doubts::NONE,
    }
}
