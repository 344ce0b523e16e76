//! Splits that only boost opens.

use super::*;
use sim::leak::{Shape, Split};
use sim::network::{Defect, Leak, Place};
use sim::study::judging::diagnose::catalogue::STATED;
use sim::study::judging::diagnose::checks::Check;
use sim::study::judging::diagnose::exercise::Exercise;

const BEFORE_THROTTLE: [&str; 3] = ["hot pipe", "cooler tank", "cold pipe"];

fn likely(answer: &Diagnosis, kind: &str) -> f64 {
    let places = BEFORE_THROTTLE.iter();
    let each = places.map(|place| probability(answer, &format!("{kind}: {place}")));
    each.sum()
}

/// With idle, cruise and full load read, what only boost opens is told from what is always open.
#[test]
fn a_split_is_not_called_a_hole_nor_a_hole_a_split() {
    for size in [4e-3, 6e-3, 9e-3] {
        for (kind, other) in [("split", "leak"), ("leak", "split")] {
            for seed in 1..=2 {
                let found = read(&car(), &[(&format!("{kind}: cold pipe"), size)], seed);
                let answer = diagnose(&found);
                let (right, wrong) = (likely(&answer, kind), likely(&answer, other));
                let said = summary(&answer);
                assert!(right > 0.5 && wrong < 0.05, "{kind} {size} {seed}: {said}");
            }
        }
    }
}

/// Splits of other proportions than the catalogue's, hidden in a drawn car as a trainer does.
#[test]
fn splits_of_any_proportion_are_found_where_they_are() {
    for (length, opening, place, seed) in [
        (25e-3, 0.8e-3, Place::ColdPipe, 5),
        (50e-3, 0.4e-3, Place::HotPipe, 6),
        (12e-3, 1.5e-3, Place::ColdPipe, 7),
    ] {
        let split = Split {
            length,
            reference_opening: opening,
            reference_pressure: STATED,
            closed_opening: 0.0,
            depth: 4e-3,
        };
        let leak = Leak {
            place,
            shape: Shape::Split(split),
        };
        let mut exercise = Exercise::new(&car(), &[Defect::Leak(leak)], seed).unwrap();
        for condition in exercise.conditions.clone() {
            let key = format!("readings_{}", condition.name.replace(' ', "_"));
            assert!(exercise.act(&key).is_some(), "{key}");
        }
        let doubt = CarDoubt::usual(&car(), 1.0);
        let near = Ladders::near(&car(), exercise.conditions.clone(), doubt, &exercise.found);
        let near = near.unwrap_or_else(|(at, why)| panic!("{at}: {why}"));
        let answer = Diagnosis::new(&near, &exercise.found, false).unwrap();
        let said = summary(&answer);
        let truth: f64 = 2.0 * (length * opening / std::f64::consts::PI).sqrt();
        assert!((exercise.truth[0].1 / truth - 1.0).abs() < 1e-12);
        println!("{:.2} mm: {said}", truth * 1e3);
        assert!(likely(&answer, "split") > 0.8, "{said}");
        let first = &answer.hypotheses[0];
        let [low, high] = [first.sizes[0].low90, first.sizes[0].high90].map(|mm| mm * 1e-3);
        // Other proportions, other friction between the lips: within a fifth.
        assert!(0.8 * low < truth && truth < 1.2 * high, "{said}");
    }
}

/// The lips of such a split are shut at the pressure of a smoke machine.
#[test]
fn smoke_misses_a_split_that_it_would_see_as_a_hole() {
    let odds = |name: &str| {
        let suspect = ladders().suspects[suspect(name)];
        Check::Smoke.odds(&[(suspect, 4e-3)])[0]
    };
    assert!(odds("leak: cold pipe") < 0.15);
    assert!(
        odds("split: cold pipe") > 0.5,
        "{}",
        odds("split: cold pipe")
    );
}
