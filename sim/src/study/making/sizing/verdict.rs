//! What is said of a finished match: the margins, or which numbers clash.

use super::bench::Point;
use super::draft::SURROUNDINGS;
use super::request::TenNumbers;
use super::{Clash, Margin, Refusal};
use crate::machine::cylinders::torque_of_mean_pressure;
use crate::network::{Reading as R, Vehicle};

/// Share by which torque and power may miss at all.
const ACCEPTED: f64 = 0.01;

/// Says which number to give up where the match does not meet them.
pub(super) fn accept(
    n: &TenNumbers<f64>,
    [torque, power]: [f64; 2],
    point: &Point,
) -> Result<(), Refusal> {
    if torque.abs() > ACCEPTED {
        let charge = (SURROUNDINGS.pressure + n.peak_boost) / (1.0 + torque);
        let clash = Clash::TorqueMissed {
            boost: point.boost(),
            torque: point.torque(),
            mean_pressure: point.torque() / torque_of_mean_pressure(1e5, n.displacement),
            asked: n.peak_torque,
            fits: charge - SURROUNDINGS.pressure,
        };
        return Err(clash.into());
    }
    if power.abs() > ACCEPTED {
        let clash = Clash::PowerMissed {
            power: n.rated_power * (1.0 + power),
            asked: n.rated_power,
            torque: n.peak_torque / (1.0 + power),
        };
        return Err(clash.into());
    }
    Ok(())
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
