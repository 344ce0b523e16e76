//! What is said of a finished match: the margins, and which numbers it misses.

use super::bench::Point;
use super::request::TenNumbers;
use super::{Given, Margin, Miss};
use crate::network::{Reading as R, Vehicle};

/// Share by which a number of the plate may be missed without a word.
const ACCEPTED: f64 = 0.03;

/// What of the given numbers the matched car, with this `highest` boost, Pa gauge, misses by more
/// than 3 %.
pub(super) fn misses(
    n: &TenNumbers<f64>,
    torque: &Point,
    rated: &Point,
    highest: f64,
) -> Vec<Miss> {
    let number = |what: Given, asked: f64, reached: f64| Miss {
        what,
        asked,
        reached,
    };
    let mut all = vec![
        number(Given::PeakTorque, n.peak_torque, torque.torque()),
        number(
            Given::RatedPower,
            n.rated_power,
            rated.torque() * rated.speed(),
        ),
    ];
    all.extend((n.peak_boost).map(|asked| number(Given::PeakBoost, asked, highest)));
    all.extend((n.rated_boost).map(|asked| number(Given::RatedBoost, asked, rated.boost())));
    all.retain(|miss| miss.share().abs() > ACCEPTED);
    all
}

/// What the matched car has to spare.
pub(super) fn margins(
    vehicle: &Vehicle<f64>,
    misses: [f64; 2],
    torque: &Point,
    rated: &Point,
) -> Vec<Margin> {
    let shaft = rated.is(R::ShaftSpeed) * 1e3 * std::f64::consts::PI / 30.0;
    let stage = &rated.moment.streams.stage;
    let place = (stage.flow_coefficient - stage.surge_coefficient)
        / (stage.choke_coefficient - stage.surge_coefficient);
    let all = [
        ("peak torque over the one given", 100.0 * misses[0], "%"),
        ("rated power over the one given", 100.0 * misses[1], "%"),
        (
            "boost at the peak-torque speed",
            torque.boost() / 1e3,
            "kPa gauge",
        ),
        ("boost at the rated speed", rated.boost() / 1e3, "kPa gauge"),
        ("surge margin at peak torque", torque.surge_room(), ""),
        (
            "rated point between surge (0) and zero head (100)",
            100.0 * place,
            "%",
        ),
        (
            "exhaust past the turbine at peak torque",
            100.0 * torque.past_turbine(),
            "%",
        ),
        (
            "wastegate opening at rated power",
            rated.is(R::Wastegate),
            "%",
        ),
        (
            "turbo speed at rated power, share of its limit",
            100.0 * shaft / vehicle.shaft.speed_limit,
            "%",
        ),
    ];
    all.map(|(what, value, unit)| Margin { what, value, unit })
        .to_vec()
}
