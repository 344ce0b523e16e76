//! What the answer must be where a technician would know.

use super::{ATLAS, PLUG, car};
use nalgebra::{DMatrix, DVector};
use sim::control::Code;
use sim::network::Reading as R;
use sim::study::diagnose::checks::Check;
use sim::study::diagnose::evidence::{Evidence, Read, Shown};
use sim::study::diagnose::garage::{Chance, evidence};
use sim::study::diagnose::likelihood::Normal;
use sim::study::diagnose::ranking::{Diagnosis, Verdict};

/// Readings of a car with this fault, scattered as the instruments are.
fn found(name: &str, size: f64, seed: u64) -> Evidence {
    let suspect = ATLAS.suspects[ATLAS.suspect(name).unwrap()];
    let mut chance = Chance::new(seed);
    evidence(
        &car(),
        &[(suspect, size)],
        &ATLAS.conditions,
        PLUG,
        &mut chance,
    )
}

fn judged(evidence: &Evidence) -> Diagnosis {
    Diagnosis::new(&ATLAS, evidence, false).unwrap()
}

fn probability(diagnosis: &Diagnosis, name: &str) -> f64 {
    let wanted = ATLAS.suspect(name).unwrap();
    let all = diagnosis.hypotheses.iter();
    all.filter(|h| h.posterior.faults == [wanted])
        .map(|h| h.probability)
        .sum()
}

/// Probability of a leak anywhere.
fn leak(diagnosis: &Diagnosis) -> f64 {
    let all = diagnosis.hypotheses.iter();
    let leaks = all.filter(|h| {
        h.posterior
            .faults
            .iter()
            .any(|i| ATLAS.suspects[*i].place().is_some())
    });
    leaks.map(|h| h.probability).sum()
}

#[test]
fn a_trim_of_five_per_cent_alone_is_no_leak() {
    for reads in [0.95, 1.05] {
        let name = if reads < 1.0 {
            "air-flow meter reads low"
        } else {
            "air-flow meter reads high"
        };
        let diagnosis = judged(&found(name, reads, 3));
        assert!(
            leak(&diagnosis) < 0.5,
            "meter at {reads}: leak {:.2}",
            leak(&diagnosis)
        );
        let first = &diagnosis.hypotheses[0];
        let accused = first.posterior.faults.first().map(|i| ATLAS.suspects[*i]);
        assert!(accused.is_none_or(|suspect| suspect.place().is_none()));
    }
}

#[test]
fn a_dirty_meter_is_told_from_a_leak_by_two_conditions_not_by_one() {
    let whole = found("air-flow meter reads low", 0.85, 5);
    let diagnosis = judged(&whole);
    // What is left is a hole in the duct so large (over 15 mm) that it passes the same share
    // of the air at every load, as a dirty meter misses it.
    assert!(probability(&diagnosis, "air-flow meter reads low") > 0.75);
    assert!(leak(&diagnosis) < 0.25);
    let group = diagnosis.group(0);
    assert!(diagnosis.verdict == Verdict::Fault || group.len() <= 3);
    // Trims at cruise alone: lean, and no more is known.
    let mut part = Evidence::default();
    part.reads = whole
        .reads
        .iter()
        .copied()
        .filter(|r| r.condition == 1 && matches!(r.reading, R::ShortTrim | R::LongTrim))
        .collect();
    let diagnosis = judged(&part);
    let meter = ATLAS.suspect("air-flow meter reads low").unwrap();
    let place = diagnosis
        .hypotheses
        .iter()
        .position(|h| h.posterior.faults == [meter])
        .unwrap();
    assert!(
        diagnosis.group(place).len() > 1,
        "one reading does not single it out"
    );
    assert!(leak(&diagnosis) > 0.1);
}

#[test]
fn one_bad_reading_is_named_and_changes_nothing() {
    let mut seen = found("leak: manifold gasket", 3e-3, 7);
    let sound = judged(&seen);
    let boost = seen
        .reads
        .iter()
        .position(|r| r.reading == R::BoostSensor)
        .unwrap();
    // Read in psi, written as kPa.
    seen.reads[boost].value /= 6.894757;
    let spoilt = judged(&seen);
    let best = |d: &Diagnosis| probability(d, "leak: manifold gasket");
    assert_eq!(spoilt.hypotheses[0].posterior.fit.bad, Some(boost));
    assert!((best(&sound) - best(&spoilt)).abs() < 0.1);
    assert!(spoilt.hypotheses[0].fit > 1e-3);
}

#[test]
fn readings_of_no_car_are_said_to_fit_nothing() {
    let mut seen = found("leak: manifold gasket", 2e-3, 9);
    for read in &mut seen.reads {
        match read.reading {
            R::LambdaSensor => read.value = 1.35,
            R::MeteredAir => read.value *= 3.0,
            R::Manifold => read.value *= 0.5,
            _ => {}
        }
    }
    assert_eq!(judged(&seen).verdict, Verdict::NothingFits);
}

#[test]
fn codes_speak_both_ways() {
    let mut seen = Evidence::default();
    let leaky = |seen: &Evidence| probability(&judged(seen), "leak: manifold gasket");
    let codes = |set: &[Code]| {
        Code::WORDS
            .iter()
            .map(|(_, c, _)| (*c, set.contains(c)))
            .collect()
    };
    seen.codes = codes(&[Code::Lean, Code::LeanAtIdle]);
    let accused = leaky(&seen);
    seen.codes = codes(&[]);
    let cleared = leaky(&seen);
    assert!(
        accused > 5.0 * cleared,
        "{accused} with lean codes, {cleared} with none"
    );
}

#[test]
fn a_check_separates_what_readings_cannot() {
    let mut seen = found("leak: vacuum line", 3e-3, 11);
    let name = |d: &Diagnosis| {
        [
            probability(d, "leak: vacuum line"),
            probability(d, "leak: manifold gasket"),
        ]
    };
    let [line, gasket] = name(&judged(&seen));
    // One volume: readings give both alike.
    assert!((line - gasket).abs() < 1e-9 * line.max(1.0));
    let outcome = Check::PinchVacuum
        .outcomes()
        .iter()
        .position(|o| o == "vacuum_line")
        .unwrap();
    seen.checks = vec![(Check::PinchVacuum, outcome, 1.0)];
    let [line, gasket] = name(&judged(&seen));
    assert!(line > 10.0 * gasket);
}

#[test]
fn the_order_of_readings_is_nothing() {
    let mut seen = found("leak: hot pipe", 5e-3, 13);
    let before = judged(&seen);
    seen.reads.reverse();
    let after = judged(&seen);
    for (a, b) in before.hypotheses.iter().zip(&after.hypotheses).take(4) {
        assert!((a.probability - b.probability).abs() < 1e-9);
    }
}

/// C: SciPy 1.17.1 `multivariate_normal` and NumPy 2.4.6 on the same J, deviations and r.
#[test]
fn the_normal_law_is_that_of_a_general_library() {
    let shown = Shown {
        means: DVector::zeros(3),
        changes: DVector::zeros(3),
        by_u: DVector::zeros(3),
        by_doubt: DMatrix::from_row_slice(3, 2, &[1.0, 0.5, 0.2, -0.4, 0.0, 0.3]),
    };
    let read = |value: f64, deviation: f64| Read {
        condition: 0,
        reading: R::Boost,
        value,
        deviation,
    };
    let reads = [read(1.3, 0.6), read(-0.7, 0.5), read(2.1, 0.8)];
    let law = Normal::new(&reads, &shown).unwrap();
    assert!((law.distance() - 6.834366474566968).abs() < 1e-12);
    assert!((law.log_density() + 5.822981558622576).abs() < 1e-12);
}
