//! Faults that have grown while the computer learned.

use super::*;

/// A hole behind the throttle that is larger than the idle valve and trims can take in one
/// step, but not too large for an engine whose computer followed it.
#[test]
fn a_large_hole_that_grew_is_explained() {
    for size in [9.0, 10.0, 11.0, 12.0, 14.0] {
        for seed in 1..=2 {
            let found = read(&car(), &[("leak: manifold gasket", size * 1e-3)], seed);
            let answer = diagnose(&found);
            println!("{size} mm: {:?} {}", found.not_running, summary(&answer));
            assert_ne!(
                answer.verdict,
                Verdict::NothingFits,
                "{size} mm: {}",
                summary(&answer)
            );
            let behind = ["leak: manifold gasket", "leak: vacuum line"];
            let p: f64 = behind.iter().map(|name| probability(&answer, name)).sum();
            assert!(p > 0.9, "{size} mm: {}", summary(&answer));
        }
    }
}
