//! What was held, moved or pulled in a log, as conditions of a readings file.
//!
//! A pull is no steady point: boost and charge temperature lag, sensors too. Its readings
//! therefore get more doubt (`PULL_DOUBT`), and those that lag most are left out.

use super::file::Taken;
use super::readouts::{Doubts, Readouts};
use crate::network::Reading as R;
use crate::say::driving as say;
use crate::study::knowing::doubt::instrument;
use crate::study::knowing::log::{Average, Channel, Kind, Pull, Window};
use crate::units::round;
use std::f64::consts::PI;

/// Share of lambda 1 within which the mixture is regulated; manifold pressure, kPa, from which it
/// may be enriched where lambda is not logged (own choice).
const REGULATED: f64 = 0.03;
const BOOSTED: f64 = 90.0;
/// How far a reading over what was moving is from that of a steady point: share (own choice).
const MOVING_DOUBT: f64 = 0.01;
/// The same of a trim, %: fuel on the walls, and cells of a computer's memory that are no plane. On a
/// measured drive of a healthy car trims over one speed differ by so much between loads 15 kPa apart.
const MOVING_TRIM: f64 = 3.0;
/// The same of boost before the throttle, kPa and share: the turbo is seldom where its gas would
/// bring it (own choice; what a healthy car showed has no other room for it).
const TURBO_LAGS: (f64, f64) = (2.0, 0.25);
/// Steps of engine speed, rpm, at which pulls are read.
const PULLED: f64 = 500.0;
/// Most points of pulls, spread over the speeds they pass.
const PULL_POINTS: usize = 4;
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

pub(super) fn lambda(average: &Average) -> bool {
    matches!(
        average.channel,
        Channel::Read(R::Lambda | R::LambdaSensor) | Channel::CommandedLambda
    )
}

pub(super) fn moving_name(window: &Window) -> String {
    let load = window.load.map(|(channel, load)| {
        let load = round(load, 3);
        format!("{} {load} {}", channel.label(), channel.unit())
    });
    let kind = window.kind.words();
    say::moving(kind, window.speed, load.unwrap_or_default())
}

/// Lambda that the computer commands, where it is logged.
pub(super) fn commanded(averages: &[Average]) -> Option<f64> {
    let mut all = averages.iter();
    let found = all.find(|a| a.channel == Channel::CommandedLambda)?;
    Some(found.mean)
}

/// Boost that the computer commands, kPa, where it is logged.
pub(super) fn aimed(averages: &[Average]) -> Option<f64> {
    let mut all = averages.iter();
    let found = all.find(|a| a.channel == Channel::CommandedBoost)?;
    (found.mean > 0.0).then_some(found.mean)
}

pub(super) fn pull_name(rpm: f64) -> String {
    say::pull(rpm)
}

pub(super) fn from_window(window: &Window) -> Taken {
    let mut taken = nothing(window.name());
    match window.kind {
        Kind::Idle => taken.idle = true,
        Kind::PartLoad | Kind::Overrun => taken.speed = Some(window.speed * PI / 30.0),
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
pub(super) fn from_moving(window: &Window) -> Option<Taken> {
    let mut taken = nothing(moving_name(window));
    taken.speed = Some(window.speed * PI / 30.0);
    taken.moving = true;
    taken.overrun = window.kind == Kind::Overrun;
    let of = |reading| window.get(Channel::Read(reading)).copied();
    let regulated = match of(R::LambdaSensor) {
        Some(lambda) => (lambda.mean - 1.0).abs() < REGULATED,
        None => of(R::Manifold).is_none_or(|pressure| pressure.mean < BOOSTED),
    };
    let trims = [R::ShortTrim, R::LongTrim].map(of);
    let air = [R::MeteredAir, R::AbsoluteLoad, R::Manifold].map(of);
    let mut averages: Vec<Average> = air.into_iter().flatten().collect();
    // What stands before the throttle is what a leak there is driven by, though the turbo lags.
    let boost = [R::BoostSensor, R::Boost].map(of).into_iter().flatten();
    averages.extend(boost.take(1).map(|boost| {
        let lags = TURBO_LAGS.0.hypot(TURBO_LAGS.1 * boost.mean);
        let doubt = boost.doubt.hypot(lags);
        Average { doubt, ..boost }
    }));
    // Without fuel there is no mixture, and without a load no air that belongs to it.
    if regulated && !taken.overrun {
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
pub(super) fn from_pulls(pulls: &[Pull]) -> (Vec<Taken>, Vec<Average>) {
    let mut passed = Vec::new();
    let speeds = (2..=16).map(|step| f64::from(step) * PULLED);
    let read_at = speeds.filter_map(|speed| {
        let built = pulls.iter().filter(|pull| pull.built(speed));
        let mut passes: Vec<Vec<Average>> = built.filter_map(|pull| pull.at(speed)).collect();
        if passes.is_empty() {
            passes = pulls
                .iter()
                .filter_map(|pull| pull.building(speed))
                .collect();
        }
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
    if taken.pedal == Some(1.0) {
        taken.commanded_boost = aimed(averages).map(|kpa| 1e3 * kpa);
    }
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
        overrun: false,
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
