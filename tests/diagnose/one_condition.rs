//! What one condition alone can and cannot tell of a dirty meter.
//!
//! Physics: a meter that reads 88 % counts 12 % too little everywhere. At idle a small hole
//! behind the throttle hides as much air from it; at full load the same hole hides none.
//! So idle alone cannot tell them apart, and idle with full load can.

use super::*;

fn alone(condition: usize, seed: u64) -> Diagnosis {
    let mut found = read(&car(), &[("mass air flow sensor reads low", 0.88)], seed);
    found.reads.retain(|read| read.condition == condition);
    // Codes tell of other conditions too.
    found.codes.clear();
    diagnose(&found)
}

#[test]
fn at_idle_alone_a_dirty_meter_cannot_be_told_from_a_vacuum_leak() {
    for seed in 1..=4 {
        let answer = alone(0, seed);
        let named = |i: &usize| answer.hypotheses[*i].name(ladders());
        let groups = answer.inseparable.iter();
        let mut groups = groups.map(|group| group.iter().map(named).collect::<Vec<_>>());
        let meter = |name: &String| name == "mass air flow sensor reads low";
        let group = groups.find(|group| group.iter().any(meter));
        let leak = |name: &String| name.starts_with("leak: ");
        assert!(
            group.as_ref().is_some_and(|group| group.iter().any(leak)),
            "seed {seed}: {group:?} {}",
            summary(&answer)
        );
        assert_ne!(answer.verdict, Verdict::Fault, "{}", summary(&answer));
    }
}

/// What would tell them apart is proposed: full load, or another meter.
#[test]
fn the_next_test_tells_them_apart() {
    let mut found = read(&car(), &[("mass air flow sensor reads low", 0.88)], 1);
    found.reads.retain(|read| read.condition == 0);
    found.codes.clear();
    let tests =
        sim::study::judging::diagnose::next::next_tests(ladders(), &found, &diagnose(&found));
    let best: Vec<&str> = tests
        .iter()
        .take(5)
        .map(|test| test.test.as_str())
        .collect();
    let telling = ["readings_full_load", "readings_cruise", "swap_meter"];
    assert!(best.iter().any(|test| telling.contains(test)), "{best:?}");
}
