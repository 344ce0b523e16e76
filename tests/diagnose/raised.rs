//! An idle that stands high: for a reason that is no fault, and for a hole. What tells them apart is the
//! air that goes with it.

use crate::setup::{PLUG, car, conditions};
use sim::network::Network;
use sim::study::judging::diagnose::garage::{Chance, evidence};
use sim::study::judging::diagnose::ladders::Ladders;
use sim::study::judging::diagnose::ranking::{Diagnosis, Verdict};
use sim::study::knowing::doubt::CarDoubt;

/// Air conditioning, a charging battery, a catalyst that is heated: the same car, its idle so much
/// higher.
fn raised(car: &Network<f64>, by: f64) -> Network<f64> {
    car.map(&mut |key, value| match key {
        "drive.idle_speed" => by * value,
        _ => value,
    })
}

#[test]
fn an_idle_that_stands_high_accuses_nobody_unless_its_air_is_short() {
    let car = car();
    let ladders = Ladders::new(&car, conditions(), CarDoubt::of_a_plate(&car));
    let ladders = ladders.unwrap_or_else(|(name, why)| panic!("{name}: {why}"));
    let gasket = ladders.suspects[ladders.suspect("leak: manifold gasket").unwrap()];
    let judged = |car: &Network<f64>, faults: &[_], seed| {
        let found = evidence(car, faults, &conditions(), &PLUG, &mut Chance::new(seed));
        Diagnosis::new(&ladders, &found, false).unwrap()
    };
    for seed in 1..=3 {
        let high = judged(&raised(&car, 1.28), &[], seed);
        let definite = matches!(high.verdict, Verdict::Fault | Verdict::OneOfSeveral);
        assert!(!definite, "{seed}: {:?}", high.verdict);
        let leaks = judged(&raised(&car, 1.28), &[(gasket, 3e-3)], seed);
        assert!(
            leaks.sound() < 0.5 * high.sound(),
            "{seed}: {}",
            leaks.sound()
        );
    }
}
