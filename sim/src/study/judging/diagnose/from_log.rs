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
/// Speeds, rpm, at which a pull is read.
const PULL_SPEEDS: [f64; 2] = [3000.0, 4500.0];
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

/// Conditions of a log.
pub fn conditions(windows: &[Window], pulls: &[Pull]) -> Vec<Taken> {
    let of = |kind: Kind| -> Vec<&Window> {
        let mut found: Vec<&Window> = windows.iter().filter(|w| w.kind == kind).collect();
        found.sort_by(|a, b| b.seconds.total_cmp(&a.seconds));
        found
    };
    let idle = of(Kind::Idle).into_iter().take(1);
    let part = of(Kind::PartLoad)
        .into_iter()
        .filter(|w| is_loaded(w))
        .take(PART_LOAD);
    let full = of(Kind::FullLoad).into_iter().take(FULL_LOAD);
    let mut all: Vec<Taken> = idle.chain(part).chain(full).map(from_window).collect();
    all.extend(from_pulls(pulls));
    all
}

/// Every point of a log: all windows, and all pulls from end to end. Too many to be judged by, but none may hide a danger.
pub fn passed(windows: &[Window], pulls: &[Pull]) -> Vec<Driven> {
    let windows = windows.iter().map(|w| {
        let (speed, pedal) = match w.kind {
            Kind::Idle => (None, Some(0.0)),
            Kind::PartLoad => (Some(w.speed), w.pedal),
            Kind::FullLoad => (Some(w.speed), Some(1.0)),
        };
        driven(w.name(), speed, pedal, &w.averages)
    });
    let pulls = pulls.iter().flat_map(|pull| {
        let [low, high] = pull.speeds();
        let steps = (low / WATCHED).ceil() as usize..=(high / WATCHED).floor() as usize;
        steps.filter_map(move |step| {
            let speed = step as f64 * WATCHED;
            let averages = pull.at(speed)?;
            Some(driven(pull_name(speed), Some(speed), Some(1.0), &averages))
        })
    });
    windows.chain(pulls).collect()
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

/// The pull with the widest sweep of speeds, read at each of the speeds it passes.
fn from_pulls(pulls: &[Pull]) -> Vec<Taken> {
    let width = |pull: &Pull| pull.speeds()[1] - pull.speeds()[0];
    let widest = pulls.iter().max_by(|a, b| width(a).total_cmp(&width(b)));
    let Some(pull) = widest else {
        return Vec::new();
    };
    let read_at = PULL_SPEEDS.iter().filter_map(|speed| {
        let averages = pull.at(*speed)?;
        let mut taken = nothing(pull_name(*speed));
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
    read_at.collect()
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
        readings: Readouts::NONE,
        doubt: Doubts::NONE,
    }
}
