//! Pedal released, the car driving the engine: no fuel, and air that tells of a hole all the same.

use crate::setup::{car, root};
use falseair::input::Source;
use sim::control::{Command, SpeedMode};
use sim::leak::{RoundHole, Shape};
use sim::network::{Leak, Network, Place, Reading as R};
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::file::{HealthyTwin, ReadingsFile};
use sim::study::judging::diagnose::garage::Chance;
use sim::study::judging::diagnose::ranking::Diagnosis;
use sim::study::judging::diagnose::twin::Of;
use sim::study::knowing::doubt::instrument;
use sim::study::running::condition::Condition;
use sim::study::running::simulate::side;

fn conditions() -> Vec<Condition> {
    let speeds = [(209.0, 0.04), (262.0, 0.04), (314.0, 0.05)].into_iter();
    let conditions = speeds.map(|(speed, opening)| Condition {
        moving: true,
        ..Condition::new("overrun", Command::overrun(speed, opening), None)
    });
    conditions.collect()
}

/// The car drives the engine, no fuel is burnt, and what passes the throttle is what the
/// cylinders take (conservation of mass).
#[test]
fn nothing_burns_on_the_overrun() {
    let car = car();
    for condition in conditions() {
        let side = side(&car.with(condition.command), None).unwrap();
        let read = |reading| side.readings.get(reading).unwrap();
        assert!(read(R::Fuel).abs() < 1e-9, "{}", read(R::Fuel));
        assert!(
            (-30.0..-10.0).contains(&read(R::Torque)),
            "{}",
            read(R::Torque)
        );
        let short = read(R::EngineAir) / read(R::MeteredAir) - 1.0;
        // The crankcase gives its blow-by back.
        assert!(short.abs() < 0.03, "{short}");
        assert!(read(R::Manifold) < 60.0, "{}", read(R::Manifold));
    }
}

/// What is read of a car with a hole behind the throttle, m (none: healthy), as a readings file.
fn read(diameter: Option<f64>, chance: &mut Chance) -> ReadingsFile {
    let hole = diameter.map(|diameter| Leak {
        place: Place::ManifoldGasket,
        shape: Shape::RoundHole(RoundHole { diameter }),
    });
    let car = car();
    let car = Network::new(
        car.vehicle,
        Vec::from_iter(hole),
        car.ambient,
        Command::IDLE,
    );
    let mut text = String::from("vehicle = \"x\"\n");
    for (i, condition) in conditions().iter().enumerate() {
        let shown = side(&car.with(condition.command), None).unwrap().readings;
        let mut noisy = |reading: R| {
            let value = shown.get(reading).unwrap();
            value + instrument(reading).deviation(value) * chance.normal()
        };
        let Command {
            speed: SpeedMode::Held(speed),
            ..
        } = condition.command
        else {
            unreachable!("the road holds it")
        };
        text += &format!(
            "[[condition]]\nname = \"overrun {i}\"\noverrun = true\nspeed = \"{speed} rad/s\"\n\
             [condition.readings]\nmetered_air = \"{} g/s\"\nmanifold_pressure = \"{} kPa abs\"\n",
            noisy(R::MeteredAir),
            noisy(R::Manifold)
        );
    }
    Source::from_text(&root().join("readings"), &text)
        .parse()
        .unwrap()
}

/// Nobody knows what an engine draws that does not fire, so air on the overrun accuses no car by
/// itself; beside the same car while healthy a choked hole is found behind the throttle.
#[test]
fn a_hole_behind_the_throttle_shows_on_the_overrun_beside_its_twin() {
    let judged = |file: &ReadingsFile, twin: Option<ReadingsFile>| {
        let mut file = file.clone();
        let twins: Vec<_> = twin.map(|twin| (0, twin)).into_iter().collect();
        let itself = |_| HealthyTwin {
            readings: "healthy".into(),
            of: Of::ThisCar,
            holds: 1.0,
        };
        file.baseline = twins.iter().map(itself).collect();
        let made = |car: &Network<f64>| Ok(file.doubt(car));
        let beside = Beside {
            twins,
            ..Beside::default()
        };
        let (ladders, evidence) = file.prepared(car().vehicle, made, beside).unwrap();
        let found = Diagnosis::new(&ladders, &evidence, false).unwrap();
        // Air and pressure alone do not tell a hole from a sensor that reads high.
        let first = found.hypotheses.iter().take(5);
        let names: Vec<String> = first.map(|one| one.name(&ladders)).collect();
        (found.sound(), names)
    };
    for seed in 1..=3 {
        let twin = || read(None, &mut Chance::new(seed + 100));
        let healthy = read(None, &mut Chance::new(seed));
        let leaks = read(Some(4e-3), &mut Chance::new(seed));
        for twin in [None, Some(twin())] {
            let (sound, _) = judged(&healthy, twin);
            assert!(sound > 0.5, "{seed}: {sound}");
        }
        let (sound, names) = judged(&leaks, Some(twin()));
        assert!(sound < 0.1, "{seed}: {sound}");
        let found = names.iter().any(|name| name.contains("manifold gasket"));
        assert!(found, "{seed}: {names:?}");
    }
}

/// In a readings file: the throttle's opening is found from the air, as a load is.
#[test]
fn the_opening_is_found_from_the_air() {
    let car = car();
    let truth = &conditions()[1];
    let read = side(&car.with(truth.command), None).unwrap();
    let air = read.readings.get(R::MeteredAir).unwrap();
    let text = format!(
        "vehicle = \"x\"\n[[condition]]\nname = \"overrun\"\noverrun = true\nspeed = \"262 rad/s\"\n\
         [condition.readings]\nmetered_air = \"{air} g/s\"\n"
    );
    let file: ReadingsFile = Source::from_text(&root().join("readings"), &text)
        .parse()
        .unwrap();
    let found = &file.own_conditions(&car).unwrap()[0];
    let shown = side(&car.with(found.command), None).unwrap();
    let again = shown.readings.get(R::MeteredAir).unwrap();
    assert!((again / air - 1.0).abs() < 1e-4, "{again} {air}");
    assert!(found.demand_doubt > 0.004 && found.command.pedal == 0.0);
}

/// What cannot be is refused at its key, not taken for something else.
#[test]
fn an_overrun_has_no_pedal_and_no_load() {
    let refused = |more: &str| {
        let text = format!(
            "vehicle = \"x\"\n[[condition]]\nname = \"overrun\"\noverrun = true\n{more}\n\
             [condition.readings]\nmetered_air = \"5 g/s\"\n"
        );
        let file: ReadingsFile = Source::from_text(&root().join("readings"), &text)
            .parse()
            .unwrap();
        file.own_conditions(&car()).unwrap_err().key
    };
    for more in ["", "speed = \"2500 rpm\"\npedal = \"20 %\"", "idle = true"] {
        assert_eq!(refused(more), "condition.0.overrun", "{more}");
    }
}
