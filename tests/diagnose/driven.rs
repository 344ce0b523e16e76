//! Logs of drives of a car that the model did not make (`benches/off_model`), known by its plate only.

use crate::off_model::engine::{Driven, Wrong};
use crate::off_model::{drive, path, plate, types};
use falseair::input::Source;
use falseair::input::log::{Mapping, read_bytes};
use sim::Reading as R;
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::file::ReadingsFile;
use sim::study::judging::diagnose::garage::Chance;
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use std::path::Path;

/// Twenty minutes on the road with one pull, judged: the verdict, how probable a healthy car is, and the
/// keys of the first and of what it is not told from.
fn driven(kind: usize, wrong: Wrong) -> (Verdict, f64, Vec<String>) {
    let plate = plate::plate(&types::kind(kind)).unwrap();
    let vehicle = sim::size(&plate).unwrap().vehicle;
    let mut chance = Chance::new(1);
    let car = types::drawn(&types::kind(kind), &mut chance);
    let text = drive::log(&car, wrong, 5, 1, &mut chance).unwrap();
    let log = read_bytes(Path::new("log"), text.as_bytes(), &Mapping::default());
    let log = log.unwrap_or_else(|e| panic!("{}", e.render(false)));
    let source = Source::from_text(Path::new("readings"), "vehicle = \"x\"\n");
    let mut file: ReadingsFile = source.parse().unwrap();
    file.condition = log.drive().judged().conditions;
    file.ambient.pressure = Some(log.ambient);
    let all = file.condition.len();
    file.drivable(&vehicle, 0..all).unwrap();
    // What drives a leak before the throttle is judged by at part load too.
    let moving = file.condition.iter().filter(|c| c.moving);
    let given = moving.map(|c| c.readings.given());
    let boost = given.filter(|given| given.iter().any(|(_, r, _)| *r == R::BoostSensor));
    assert!(boost.count() > 5);
    let doubt = |car: &_| Ok(file.doubt(car));
    let prepared = file.prepared(vehicle, doubt, Beside::default());
    let (ladders, evidence) = prepared.unwrap();
    let found = Diagnosis::new(&ladders, &evidence, false).unwrap();
    let keys = found.group(0).into_iter().filter_map(|i| {
        let faults = &found.hypotheses[i].posterior.faults;
        faults.first().map(|f| ladders.suspects[*f].key())
    });
    (found.verdict, found.sound(), keys.collect())
}

/// A healthy car whose boost at part load is a fraction of what its plate's wastegate would give, shut,
/// is healthy: many cells of a log tell it again and again, and it is one thing that makes differ in.
#[test]
fn the_log_of_a_healthy_car_of_another_make_accuses_nobody() {
    let (verdict, sound, first) = driven(0, Wrong::Nothing);
    assert!(
        verdict == Verdict::NoFaultShown,
        "{verdict:?}, {sound:.2}, {first:?}"
    );
}

/// A hole of 8 mm in the cold pipe: found among the pipes, or not at all, but nothing else is
/// named for sure.
#[test]
fn a_hole_under_boost_is_found_in_a_log() {
    let (verdict, sound, first) = driven(0, Wrong::Hole(2, 8e-3));
    assert!(
        sound < 0.2
            && first
                .iter()
                .all(|key| key.contains("pipe") || key.contains("cooler")),
        "{verdict:?}, {sound:.2}, {first:?}"
    );
}

/// What the other model shows can be: the manifold never above what stands before the throttle, and
/// its part load goes over into full load. (It once showed 200 kPa behind 103.)
#[test]
fn the_other_model_shows_what_can_be() {
    for kind in 0..12 {
        let car = types::kind(kind);
        for speed in [1600.0, 2800.0, 4600.0] {
            let full = car.point(Wrong::Nothing, Driven::Full(speed)).unwrap();
            let mut before = 0.0;
            for share in [0.1, 0.35, 0.6, 0.8, 0.95] {
                let wanted = Driven::Part(speed, share * full.torque);
                let point = car.point(Wrong::Nothing, wanted).unwrap();
                let stands = path::AMBIENT.0 + point.boost - car.boost_shift;
                let word = format!("type {kind}, {speed} rpm, {share} of full load: {point:?}");
                assert!(point.manifold <= stands * (1.0 + 1e-6), "{word}");
                assert!(point.manifold > before, "{word}");
                // Wide open at lambda 1, without the spark kept back at full load, it takes no more.
                assert!(point.manifold < 1.05 * full.manifold, "{word}");
                before = point.manifold;
            }
        }
    }
}
