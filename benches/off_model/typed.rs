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

/// How a car is driven for each set of readings: name, how that is stated, and what it means.
pub fn driven(car: &Car, at: Points) -> [(&'static str, String, Driven); 3] {
    // Torque of a mean pressure: V p / 4π.
    let torque = at.load * 1e5 * car.displacement / (4.0 * std::f64::consts::PI);
    [
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
    ]
}

/// What is typed in of a point, at idle, part load or full load: key, reading, value, decimals and unit.
pub fn shown(i: usize, point: &Point) -> Vec<(&'static str, R, f64, usize, &'static str)> {
    let mut all = Vec::new();
    if i == 0 {
        all.push(("engine_speed", R::EngineSpeed, point.speed, 0, " rpm"));
    }
    if i < 2 {
        all.push(("fuel_trim", R::LongTrim, 100.0 * point.trim, 1, " %"));
        all.push(("throttle", R::Throttle, 100.0 * point.throttle, 1, " %"));
    } else {
        all.push(("lambda", R::LambdaSensor, point.lambda, 3, ""));
        let duty = 100.0 * point.duty;
        all.push(("wastegate_solenoid_duty", R::WastegateDuty, duty, 0, " %"));
    }
    if i > 0 {
        let boost = point.boost / 1e3;
        all.push(("boost_sensor", R::BoostSensor, boost, 1, " kPa gauge"));
    }
    let charge = point.charge - 273.15;
    all.push(("metered_air", R::MeteredAir, 1e3 * point.metered, 2, " g/s"));
    let manifold = point.manifold / 1e3;
    all.push(("manifold_pressure", R::Manifold, manifold, 1, " kPa abs"));
    all.push((
        "intake_temperature",
        R::IntakeTemperature,
        charge,
        0,
        " degC",
    ));
    all
}

/// The readings of a car as they are typed in.
pub fn readings(car: &Car, wrong: Wrong, at: Points, chance: &mut Chance) -> Option<String> {
    let driven = driven(car, at);
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
    // Where the engine does not go on, the load is what was asked for.
    let torque = at.load * 1e5 * car.displacement / (4.0 * std::f64::consts::PI);
    let load = format!("\ntorque = \"{torque:.0} N m\"");
    let mut text = format!("vehicle = \"x\"\ncodes = [{codes}]\n");
    for (i, (name, how, driven)) in driven.into_iter().enumerate() {
        let point = car.point(wrong, driven)?;
        if point.lambda > BURNS[i.min(1)] {
            writeln!(
                text,
                "[[condition]]\nname = \"{name}\"\n{how}\nruns = false{}",
                ["", &load, ""][i]
            )
            .ok()?;
            continue;
        }
        writeln!(
            text,
            "[[condition]]\nname = \"{name}\"\n{how}\n[condition.readings]"
        )
        .ok()?;
        for (key, reading, value, decimals, unit) in shown(i, &point) {
            let mut value = value + instrument(reading).deviation(value) * chance.normal();
            if reading == R::WastegateDuty {
                value = value.clamp(0.0, 100.0);
            }
            writeln!(text, "{key} = \"{value:.decimals$}{unit}\"").ok()?;
        }
    }
    Some(text)
}
