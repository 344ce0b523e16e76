//! A torque that nobody read is read off the air, in every faulty car anew.

use crate::setup::car;
use falseair::input::Source;
use sim::control::{Command, ThrottleMode};
use sim::network::{Network, Reading as R};
use sim::study::judging::diagnose::catalogue::{Suspect, suspects};
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::knowing::doubt::CarDoubt;
use sim::study::running::condition::Condition;
use sim::study::running::simulate::Comparison;
use std::path::Path;

/// Half-way up a ladder, where it has a rung.
const HALF: f64 = 0.5;

fn suspect(car: &Network<f64>, key: &str) -> Suspect {
    let mut all = suspects(car).into_iter();
    all.find(|s| s.key() == key).unwrap()
}

/// What a car with a fault draws at this torque and speed, and the condition that a file makes of it.
fn told(
    car: &Network<f64>,
    ill: Option<&Suspect>,
    (speed, torque): (f64, f64),
) -> (f64, Condition) {
    let mut faulty = car.clone();
    if let Some(ill) = ill {
        ill.add(&mut faulty, ill.size(HALF));
    }
    let cars = Comparison::new(&faulty);
    let point = cars.point("", Command::torque(speed, torque));
    let air = point
        .faulty
        .unwrap_or(point.healthy)
        .unwrap()
        .readings
        .get(R::MeteredAir)
        .unwrap();
    let text = format!(
        "vehicle = \"x\"\n[[condition]]\nname = \"cruise\"\nspeed = \"{speed} rad/s\"\n\
         [condition.readings]\nmetered_air = \"{air} g/s\"\n"
    );
    let source = Source::from_text(Path::new("readings"), &text);
    let file: ReadingsFile = source
        .parse()
        .unwrap_or_else(|e| panic!("{}", e.render(false)));
    (air, file.own_conditions(car).unwrap().remove(0))
}

/// Round trip: each faulty car's own torque comes back from its own air. A sound engine needs a quarter less
/// air for it than one whose cylinder in four fires every other time; asked for what the sound one would
/// do with that air, the ill one would need more than was read. 2 N m: rungs lie apart.
#[test]
fn the_torque_that_air_tells_is_that_of_the_faulty_car() {
    let car = car();
    let keys = ["misfiring_cylinder", "meter_reads_low", "tired_engine"];
    for (key, torque) in keys.into_iter().zip([42.0, 60.0, 80.0]) {
        let ill = suspect(&car, key);
        let (air, condition) = told(&car, Some(&ill), (250.0, torque));
        let ThrottleMode::Torque(asked) = condition.command.throttle else {
            panic!("{:?}", condition.command);
        };
        assert_eq!(condition.told_by, Some(R::MeteredAir));
        let doubt = CarDoubt::usual(&car, 1.0);
        let ladders = Ladders::new(&car, vec![condition], doubt).unwrap();
        let mut rungs = ladders.curves[ill.curve].iter();
        let rung = rungs.find(|rung| (rung.u - HALF).abs() < 1e-9).unwrap();
        let read = |reading| {
            rung.spots[0]
                .as_ref()
                .unwrap()
                .readings
                .get(reading)
                .unwrap()
        };
        assert!((read(R::MeteredAir) / air - 1.0).abs() < 0.02, "{key}");
        let off = [asked, read(R::Torque)].map(|shown| (shown - torque).abs());
        assert!(off[1] < 2.0 && off[1] < 0.5 * off[0], "{key}: {off:?}");
    }
}

/// Rolling in gear with little air, the car helps against friction: a torque below nothing is told as well as
/// one above, and by as much in doubt as what the gas does, not nearly known because it is small.
#[test]
fn a_torque_below_nothing_is_told() {
    let car = car();
    for torque in [-8.0, 0.0, 8.0] {
        let (_, condition) = told(&car, None, (250.0, torque));
        let ThrottleMode::Torque(asked) = condition.command.throttle else {
            panic!("{:?}", condition.command);
        };
        assert!((asked - torque).abs() < 0.1, "{asked} for {torque}");
        assert!(condition.demand_doubt > 2.0, "{}", condition.demand_doubt);
    }
}

/// Along every fault's whole ladder the air stays the one that was read, within 1 %; at its end, where the
/// largest hole at the manifold lets in nearly all that the engine breathes, within 6 %.
#[test]
fn the_air_read_is_held_along_every_ladder() {
    let car = car();
    let (air, condition) = told(&car, Some(&suspect(&car, "tired_engine")), (250.0, 60.0));
    let doubt = CarDoubt::usual(&car, 1.0);
    let ladders = Ladders::new(&car, vec![condition], doubt).unwrap();
    for rung in ladders.curves.iter().flatten() {
        let Some(spot) = &rung.spots[0] else { continue };
        let shown = spot.readings.get(R::MeteredAir).unwrap();
        let most = if rung.u < 1.0 { 0.01 } else { 0.06 };
        let off = (shown / air - 1.0).abs();
        assert!(off < most, "{} {shown} {air}", rung.u);
    }
}
