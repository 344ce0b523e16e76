//! What a test is worth: mutual information against closed forms, and its ranking.

use super::*;
use sim::study::judging::diagnose::checks::Check;
use sim::study::judging::diagnose::next::{NextTest, next_tests};
use sim::study::judging::diagnose::posterior::{Posterior, Sample};

/// Binary entropy, bits (F).
fn entropy(p: f64) -> f64 {
    -(p * p.log2() + (1.0 - p) * (1.0 - p).log2())
}

/// The tests when only a healthy car and one fault of a known size, probability `p`, are left.
fn tests(name: &str, size: f64, p: f64) -> Vec<NextTest> {
    let found = read(&car(), &[], 1);
    let index = suspect(name);
    let u = ladders().suspects[index].coordinate(size);
    let mut answer = diagnose(&found);
    let mut sound = answer.hypotheses.iter();
    let mut sound = sound
        .find(|h| h.posterior.faults.is_empty())
        .cloned()
        .unwrap();
    let mut faulty = sound.clone();
    let near = [-1e-6, 0.0, 1e-6].map(|step| Sample {
        u: u + step,
        log: 0.0,
    });
    faulty.posterior = Posterior {
        faults: vec![index],
        best: vec![u],
        samples: vec![near.to_vec()],
        ..Posterior::of(ladders(), &found, index).unwrap()
    };
    (sound.probability, faulty.probability) = (1.0 - p, p);
    answer.hypotheses = vec![sound, faulty];
    next_tests(ladders(), &found, &answer)
}

fn gain(tests: &[NextTest], key: &str) -> f64 {
    let test = tests.iter().find(|test| test.test == key);
    test.map_or(0.0, |test| test.gain)
}

/// F: a check with two outcomes is a binary channel. With odds `a` of a hit if the fault is
/// there and `b` if not, it tells `h(p a + (1-p) b) - p h(a) - (1-p) h(b)` bits; for
/// `b = 1 - a` and `p = 1/2` that is the symmetric channel's `1 - h(a)`.
#[test]
fn a_check_tells_what_a_binary_channel_tells() {
    let name = "mass air flow sensor reads low";
    for (size, p) in [(0.85, 0.5), (0.85, 0.1), (0.90, 0.5), (0.88, 0.3)] {
        let fault = [(ladders().suspects[suspect(name)], size)];
        let (a, b) = (
            Check::KnownHole.odds(&fault)[1],
            Check::KnownHole.odds(&[])[1],
        );
        let outside = entropy(p * a + (1.0 - p) * b) - p * entropy(a) - (1.0 - p) * entropy(b);
        let found = gain(&tests(name, size, p), "known_hole");
        assert!(
            (found - outside).abs() < 1e-6,
            "{size} {p}: {found} bits, outside {outside}"
        );
    }
    // The sums themselves: 1 - h(0.11) is half a bit (F; a standard example).
    assert!((1.0 - entropy(0.11) - 0.5).abs() < 1e-3);
}

/// C: scipy 1.17.1 `integrate.quad` over the mixture of two normal laws, that of a tight
/// section (0 mm, deviation 0.5 mm) and that of the hole (deviation 0.5 mm and 12 %).
#[test]
fn a_section_test_tells_what_two_normal_laws_tell() {
    for (size, p, outside) in [
        (1e-3, 0.5, 0.47686266763459784),
        (2e-3, 0.5, 0.8902062589200945),
        (2e-3, 0.25, 0.7202104252184782),
        (6e-3, 0.25, 0.8112560822270578),
    ] {
        let found = gain(&tests("leak: cold pipe", size, p), "decay_boost_side");
        // By 160 draws.
        assert!(
            (found - outside).abs() < 0.02,
            "{size} {p}: {found} bits, outside {outside}"
        );
    }
}

/// F: no test tells more than there is to know, none less than nothing, and one that sees
/// neither hypothesis tells nothing.
#[test]
fn no_test_tells_more_than_there_is_to_know() {
    let tests = tests("leak: cold pipe", 4e-3, 0.3);
    assert!(!tests.is_empty());
    for test in &tests {
        assert!(
            test.gain > 0.0 && test.gain < entropy(0.3) + 0.02,
            "{}: {}",
            test.test,
            test.gain
        );
        assert!(test.minutes > 0.0);
    }
    assert_eq!(gain(&tests, "pinch_vacuum_hoses"), 0.0);
    assert_eq!(gain(&tests, "compression"), 0.0);
    let rates: Vec<f64> = tests.iter().map(NextTest::worth).collect();
    assert!(rates.windows(2).all(|pair| pair[0] >= pair[1]), "{rates:?}");
}

/// A check that was done is not proposed again, and what it found counts.
#[test]
fn a_check_done_is_not_asked_for_again() {
    let mut found = read(&car(), &[("leak: vacuum line", 3e-3)], 4);
    let before = diagnose(&found);
    let asked = |found: &Evidence, answer: &Diagnosis| {
        let tests = next_tests(ladders(), found, answer);
        gain(&tests, "pinch_vacuum_hoses")
    };
    assert!(asked(&found, &before) > 0.1);
    found.checks.push((Check::PinchVacuum, 1, 1.0));
    let after = diagnose(&found);
    assert_eq!(asked(&found, &after), 0.0);
    let p = |answer| probability(answer, "leak: vacuum line");
    assert!(
        p(&after) > 0.9 && p(&after) > p(&before),
        "{}",
        summary(&after)
    );
}
