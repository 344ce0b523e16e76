//! A known hole at a vacuum port: balances by hand, cars with a known departure, words.

use crate::{close, json, number, root, text, workshop};
use sim::network::{Network, Vehicle};
use sim::study::workshop::known_hole::{IdleReadings, KnownHole, Means, shown};

const CAR: &str = "scenarios/vehicles/brindle-16.toml";

fn vehicle(path: &str) -> Vehicle {
    falseair::input::read_toml(&root().join(path)).unwrap()
}

fn question(diameter: f64) -> KnownHole {
    let text = format!(
        "vehicle = \"car.toml\"\ndiameter = \"{} mm\"\n",
        diameter * 1e3
    );
    falseair::input::Source::from_text("hole.toml".as_ref(), &text)
        .parse()
        .unwrap()
}

/// What a car of this make, changed so, shows with a hole of `real`, m, to one who believes 1.5 mm.
fn judged(real: f64, change: impl Fn(&mut Vehicle), with_air: bool) -> (Means, KnownHole) {
    let mut asked = question(1.5e-3);
    // Means over a minute.
    (asked.trim_doubt, asked.air_doubt) = (0.005, 1e-5);
    let car = asked.car(vehicle(CAR));
    let mut other = vehicle(CAR);
    change(&mut other);
    let other = Network::new(other, Vec::new(), car.ambient, sim::control::Command::IDLE);
    let shown = shown(&other, real).unwrap();
    let [before, after] = [0, 1].map(|i| IdleReadings {
        trim: Some(shown.trim[i]),
        metered_air: with_air.then_some(shown.air[i]),
        manifold: Some(shown.manifold[i]),
    });
    (asked.before, asked.after) = (Some(before), Some(after));
    let predicted = asked.predict(&car).unwrap();
    let answered = asked.answered(&predicted);
    (asked.means(&car, &predicted, &answered), asked)
}

/// F: choked air through a sharp-edged hole (`0.8414 - 0.1002 r ...` at r = 0.528 gives Cd, S) and the
/// balance `(1 + after)/(1 + before) = M/(M - m)`; the meter counts less by what comes in.
#[test]
fn the_trim_answers_by_the_balance() {
    let car = question(1.5e-3).car(vehicle(CAR));
    let found = shown(&car, 1.5e-3).unwrap();
    let r: f64 = 0.5283;
    let cd = 0.8414 - 0.1002 * r + 0.8415 * r * r - 3.9 * r.powi(3) + 4.6001 * r.powi(4)
        - 1.6827 * r.powi(5);
    let area = std::f64::consts::PI / 4.0 * 1.5e-3_f64.powi(2);
    let choked = cd * area * 101_325.0 * 0.040_418 / car.ambient.temperature.sqrt();
    // Below the critical ratio the coefficient goes on rising.
    assert!(
        (1.0..1.12).contains(&(found.flow / choked)),
        "{} {choked}",
        found.flow
    );
    close(
        "fall of the air counted",
        found.air[0] - found.air[1],
        found.flow,
        0.05,
    );
    let rise = (1.0 + found.trim[1]) / (1.0 + found.trim[0]);
    let balance = found.air[0] / (found.air[0] - found.flow);
    close("trim", rise - 1.0, balance - 1.0, 0.06);
}

/// What is put into a car is what is found: nothing, a meter that reads four fifths, a hole half
/// shut, an idle that breathes more.
#[test]
fn departures_are_told_apart() {
    assert_eq!(judged(1.5e-3, |_| (), true).0, Means::AsPredicted);
    let meter = judged(1.5e-3, |car| car.meter.meter_scale *= 0.8, true).0;
    let Means::Meter(scale) = meter else {
        panic!("{meter:?}");
    };
    close("meter", scale, 0.8, 0.04);
    // Half the area: both answer half.
    let hole = judged(1.5e-3 / 2.0_f64.sqrt(), |_| (), true).0;
    let Means::Hole(times) = hole else {
        panic!("{hole:?}");
    };
    assert!((0.42..0.58).contains(&times), "{times}");
    // More load at idle: more air, so the same hole moves the trim less.
    let file = judged(1.5e-3, |car| car.cylinders.accessory_torque *= 3.0, true).0;
    let Means::File(read, own) = file else {
        panic!("{file:?}");
    };
    assert!(read > 1.15 * own, "{read} {own}");
    // The trim alone cannot tell file from meter, and says so.
    let alone = judged(1.5e-3, |car| car.cylinders.accessory_torque *= 3.0, false).0;
    assert!(
        matches!(alone, Means::TrimAlone(times) if times < 0.85),
        "{alone:?}"
    );
    let shut = judged(2e-4, |_| (), true).0;
    assert_eq!(shut, Means::Nothing);
}

/// A car that counts its air by manifold pressure shows no trim, and is not judged by it.
#[test]
fn a_car_without_a_meter_is_not_judged() {
    let car = [
        "known-hole",
        "--vehicle",
        "scenarios/vehicles/tamsel-20.toml",
        "--diameter",
        "1.5 mm",
    ];
    let said = json(&car);
    assert!(number(&said, "changes.0.change").abs() < 0.2, "{said:#}");
    assert_eq!(said["means"], "counted_by_pressure");
}

/// The shipped case; its dangers come before its steps; its own cap goes on again.
#[test]
fn what_is_shown() {
    let said = json(&["known-hole", "scenarios/workshop/known-hole.toml"]);
    let how = &said["procedure"];
    assert!(
        how["put_back"]
            .to_string()
            .contains("cap with the known hole")
    );
    assert!(
        how["cautions"][0]
            .as_str()
            .unwrap()
            .contains("parking brake")
    );
    assert!(said["cautions"][0].as_str().unwrap().contains("idle only"));
    let table = text(&workshop(&["known-hole", "scenarios/workshop/known-hole.toml"]).stdout);
    assert!(table.contains("idle only"), "{table}");
    // A hole that drives the trim to its stop is said to.
    let large = json(&["known-hole", "--vehicle", CAR, "--diameter", "3 mm"]);
    assert!(
        large["warnings"][0]
            .as_str()
            .unwrap()
            .contains("take a smaller one")
    );
}
