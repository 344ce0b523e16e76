//! What somebody types in at a car of the other model.

use super::engine::{BURNS, Car, Cells, Driven, Point, Wrong};
use sim::Reading as R;
use sim::study::judging::diagnose::garage::Chance;
use sim::study::knowing::doubt::instrument;
use std::fmt::Write as _;

/// Where a car is read beside idling.
#[derive(Clone, Copy, Debug)]
pub struct Points {
    /// rpm.
    pub part: f64,
    /// Mean pressure, bar.
    pub load: f64,
    /// rpm.
    pub full: f64,
}

impl Points {
    pub const USUAL: Self = Self {
        part: 2300.0,
        load: 3.5,
        full: 3500.0,
    };
}

/// The readings of a car as they are typed in.
pub fn readings(car: &Car, wrong: Wrong, at: Points, chance: &mut Chance) -> Option<String> {
    // Torque of a mean pressure: V p / 4π.
    let torque = at.load * 1e5 * car.displacement / (4.0 * std::f64::consts::PI);
    let driven = [
        ("idle", "idle = true".into(), Driven::Idle),
        (
            "part load",
            format!("speed = \"{} rpm\"", at.part),
            Driven::Part(at.part, torque),
        ),
        (
            "full load",
            format!("speed = \"{} rpm\"\npedal = \"100 %\"", at.full),
            Driven::Full(at.full),
        ),
    ];
    // A computer sets the code of a lean or rich mixture where it has to add or take a quarter
    // (common practice, no source).
    let trims = driven[..2]
        .iter()
        .map(|(_, _, driven)| car.point(wrong, *driven));
    let trims = trims.map(|point| point.map_or(0.0, |point| point.trim));
    let most = trims.fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a });
    let mixture = match most {
        lean if lean > 0.25 => Some("\"P0171\""),
        rich if rich < -0.25 => Some("\"P0172\""),
        _ => None,
    };
    // Most also set one where an idle stands 200 rpm high (common practice, no source).
    let high = |idle: Point| idle.speed > car.idle_speed + 200.0 && car.cells != Cells::ByLoad;
    let high = car.point(wrong, Driven::Idle).filter(|idle| high(*idle));
    // All watch for misfire; one in five has not told yet (own choice).
    let misfires = matches!(wrong, Wrong::Dead(_)) && chance.between(0.0, 1.0) < 0.8;
    let misfire = misfires.then_some("\"P0300\"");
    let all = mixture.into_iter().chain(high.map(|_| "\"P0507\""));
    let all = all.chain(misfire);
    let codes = all.collect::<Vec<_>>().join(", ");
    let mut text = format!("vehicle = \"x\"\ncodes = [{codes}]\n");
    for (i, (name, how, driven)) in driven.into_iter().enumerate() {
        let point = car.point(wrong, driven)?;
        if point.lambda > BURNS[i.min(1)] {
            writeln!(
                text,
                "[[condition]]\nname = \"{name}\"\n{how}\nruns = false"
            )
            .ok()?;
            continue;
        }
        let mut noisy =
            |reading: R, value: f64| value + instrument(reading).deviation(value) * chance.normal();
        writeln!(
            text,
            "[[condition]]\nname = \"{name}\"\n{how}\n[condition.readings]"
        )
        .ok()?;
        let speed = noisy(R::EngineSpeed, point.speed);
        let metered = noisy(R::MeteredAir, 1e3 * point.metered);
        let trim = noisy(R::LongTrim, 100.0 * point.trim);
        let lambda = noisy(R::LambdaSensor, point.lambda);
        let manifold = noisy(R::Manifold, point.manifold / 1e3);
        let boost = noisy(R::BoostSensor, point.boost / 1e3);
        let throttle = noisy(R::Throttle, 100.0 * point.throttle);
        let duty = noisy(R::WastegateDuty, 100.0 * point.duty).clamp(0.0, 100.0);
        let charge = noisy(R::IntakeTemperature, point.charge - 273.15);
        if i == 0 {
            writeln!(text, "engine_speed = \"{speed:.0} rpm\"").ok()?;
        }
        if i < 2 {
            writeln!(
                text,
                "fuel_trim = \"{trim:.1} %\"\nthrottle = \"{throttle:.1} %\""
            )
            .ok()?;
        } else {
            writeln!(
                text,
                "lambda = {lambda:.3}\nwastegate_solenoid_duty = \"{duty:.0} %\""
            )
            .ok()?;
        }
        if i > 0 {
            writeln!(text, "boost_sensor = \"{boost:.1} kPa gauge\"").ok()?;
        }
        writeln!(
            text,
            "metered_air = \"{metered:.2} g/s\"\nmanifold_pressure = \"{manifold:.1} kPa abs\"\n\
             intake_temperature = \"{charge:.0} degC\""
        )
        .ok()?;
    }
    Some(text)
}
