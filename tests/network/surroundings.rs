//! What surrounds the air path: crankcase under its regulator, cooling air by road speed, canister.
//! P: common practice, no source; F: closed form.

use crate::cars::{ailing, cars, network, rpm};
use sim::control::Command;
use sim::network::readings::Reading as R;
use sim::network::{FaultKind, Leak, Place, Vehicle};
use sim::study::running::simulate::{Comparison, Side, side};

fn at(car: &Vehicle, command: Command) -> Side {
    side(&network(car, vec![], command), None).unwrap()
}

fn is(side: &Side, reading: R) -> f64 {
    side.readings.get(reading).unwrap()
}

fn cruise() -> Command {
    Command::torque(rpm(2500.0), 45.0)
}

/// A crankcase whose breather lets little in is held at a few kPa of vacuum by its regulator, at
/// idle and cruise (P: 2 to 4 kPa); without one the manifold pulls it down, at cruise far.
#[test]
fn the_regulator_keeps_the_crankcase_near_the_air_outside() {
    for car in cars() {
        for command in [Command::IDLE, cruise()] {
            let mut narrow = car.clone();
            narrow.crankcase.breather_bore = 2e-3;
            let held = is(&at(&narrow, command), R::CrankcasePressure);
            narrow.crankcase.regulated_vacuum = 1e5;
            let free = is(&at(&narrow, command), R::CrankcasePressure);
            println!(
                "{}: {held:.2} kPa, without a regulator {free:.2} kPa",
                car.name
            );
            assert!((-4.0..-1.5).contains(&held), "{held}");
            let far = if command == Command::IDLE {
                -4.5
            } else {
                -10.0
            };
            assert!(free < far, "{free}");
        }
    }
}

/// A healthy crankcase never comes near: the regulator stays open and changes nothing.
#[test]
fn with_an_open_breather_the_regulator_does_nothing() {
    for car in cars() {
        for command in [Command::IDLE, cruise(), Command::full_load(rpm(3500.0))] {
            let mut none = car.clone();
            none.crankcase.regulated_vacuum = 1e5;
            let [with, without] = [&car, &none].map(|car| at(car, command));
            for reading in [R::CrankcasePressure, R::MeteredAir, R::FuelTrim] {
                assert!((is(&with, reading) - is(&without, reading)).abs() < 1e-9);
            }
        }
    }
}

/// F: at the speed at which it is stated the cooling air is what is stated, standing what is
/// left; at 180 km/h ram air has grown with road speed.
#[test]
fn cooling_air_goes_with_road_speed() {
    let mut heat = cars()[0].cooler_heat;
    let stated = heat.cooling_air;
    assert_eq!(
        heat.cooling_air_at(0.0),
        stated,
        "left out: the same at any speed"
    );
    assert_eq!(heat.cooling_air_at(50.0), stated);
    heat.ram_share = 0.9;
    let v = heat.cooling_air_speed;
    assert!((heat.cooling_air_at(v) / stated - 1.0).abs() < 1e-12);
    assert!((heat.cooling_air_at(0.0) / stated - 0.1).abs() < 1e-12);
    // Ram air alone: √0.99 of the stated at v, in proportion beyond.
    let fast = (0.01 + 0.99 * (50.0 / v) * (50.0 / v)).sqrt();
    assert!((heat.cooling_air_at(50.0) / stated - fast).abs() < 1e-12);
}

/// The same full load standing on a brake and at 180 km/h: a car whose cooler lives on ram air
/// draws hotter air in, knocks earlier and makes less torque where it stands (P).
#[test]
fn a_standing_car_draws_hotter_air() {
    for car in cars() {
        let mut ram = car.clone();
        ram.cooler_heat.ram_share = 0.9;
        // The brake's roller turns no air: the car's own speed is that of its lowest gear.
        let gear = |gear| Command {
            gear,
            ..Command::full_load(rpm(4500.0))
        };
        let [slow, fast] = [1, ram.road.gear_count()].map(|g| at(&ram, gear(g)));
        let hotter = is(&slow, R::IntakeTemperature) - is(&fast, R::IntakeTemperature);
        println!("{}: {hotter:.1} K hotter", car.name);
        assert!((3.0..50.0).contains(&hotter), "{hotter}");
        assert!(is(&slow, R::SparkRetard) > is(&fast, R::SparkRetard));
        assert!(is(&slow, R::Torque) < is(&fast, R::Torque));
        let [slow, fast] = [1, car.road.gear_count()].map(|g| at(&car, gear(g)));
        let same = is(&slow, R::IntakeTemperature) - is(&fast, R::IntakeTemperature);
        assert!(same.abs() < 1e-6, "left out: as before");
    }
}

/// A purge valve that hangs open at idle (P: about one to two grams a second, as much as half of the
/// idle air): air past the meter, lean while the canister is swept, rich when it is full of
/// vapour; the mixture asks for nothing where the vapour is what that air burns (F: 1 over the
/// air-fuel ratio). Under boost its check valve shuts.
#[test]
fn a_purge_valve_stuck_open_is_lean_or_rich_by_what_the_canister_holds() {
    let car = &cars()[0];
    let trim = |vapour: f64, opening: f64| {
        let mut car = car.clone();
        car.fuelling.purge_vapour = vapour;
        let network = ailing(&car, FaultKind::PurgeStuckOpen, opening);
        let run = side(&network, None).unwrap();
        println!(
            "vapour {vapour:.3}, opening {opening:.2}: trim {:.1} %, past the meter {:.2} g/s",
            is(&run, R::FuelTrim),
            run.ledger.unmetered_in
        );
        (is(&run, R::FuelTrim), run.ledger.unmetered_in)
    };
    let (healthy, breather) = trim(0.0, 0.0);
    let (swept, air) = trim(0.0, 0.25);
    assert!(swept > healthy + 5.0);
    let (wide, much) = trim(0.0, 1.0);
    assert!(
        wide > swept && (1.0..2.5).contains(&(much - breather)),
        "{much}"
    );
    assert!(
        (0.2..0.6).contains(&(air - breather)),
        "a quarter of it: {air}"
    );
    let stoichiometric = network(car, vec![], Command::IDLE)
        .medium
        .stoichiometric_air_fuel_ratio();
    let (neutral, _) = trim(1.0 / stoichiometric, 0.25);
    let (full, _) = trim(0.2, 0.25);
    assert!(full < neutral && neutral < swept);
    // Air and vapour in the proportion that burns, and fuel from counted air: nothing to correct.
    assert!((neutral - healthy).abs() < 0.3, "{neutral} for {healthy}");
    let boosted = |opening| {
        let network = ailing(car, FaultKind::PurgeStuckOpen, opening);
        let point = Comparison::new(&network).point("", Command::full_load(rpm(3500.0)));
        point.faulty.unwrap().unwrap().ledger.unmetered_in
    };
    assert!((boosted(1.0) - boosted(0.01)).abs() < 1e-6);
}

/// Swept, it is a hole at the manifold of the same effective area: no reading tells the two
/// apart, only the clamp on its hose (the orifice law of both is one, F).
#[test]
fn an_empty_canister_is_a_vacuum_leak() {
    let mut car = cars()[0].clone();
    car.fuelling.purge_vapour = 0.0;
    let purge = side(&ailing(&car, FaultKind::PurgeStuckOpen, 0.2), None).unwrap();
    let bore = (0.2 * car.fuelling.purge_area / 0.82 * 4.0 / std::f64::consts::PI).sqrt();
    let stub = format!(r#"{{ "hose_off": {{ "bore": "{} mm" }} }}"#, bore * 1e3);
    let leak = Leak {
        place: Place::VacuumLine,
        shape: serde_json::from_str(&stub).unwrap(),
    };
    let hole = side(&network(&car, vec![leak], Command::IDLE), None).unwrap();
    for reading in [
        R::FuelTrim,
        R::Manifold,
        R::MeteredAir,
        R::EngineAir,
        R::Lambda,
    ] {
        let (a, b) = (is(&purge, reading), is(&hole, reading));
        assert!(
            (a - b).abs() < 1e-6 * (1.0 + b.abs()),
            "{reading:?}: {a} {b}"
        );
    }
}
