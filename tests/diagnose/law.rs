//! The normal law of readings against values from outside. All marked C: numpy 2.4.6 and
//! scipy 1.17.1 (`scipy.stats.multivariate_normal`, `scipy.stats.norm`,
//! `scipy.special.logsumexp`, `numpy.linalg.solve`), from the numbers below: covariance
//! `J Jᵀ + diag(deviation²)`; a bad reading adds 20² of its own variance to that; prior of a
//! bad reading 3 %, shared evenly; a code says nothing with 3 %, its level is in doubt by
//! 0.15, or that share of it above 1.

use nalgebra::{DMatrix, DVector};
use sim::control::Code;
use sim::network::Reading;
use sim::study::judging::diagnose::evidence::{Evidence, Read, Shown};
use sim::study::judging::diagnose::likelihood::{Fit, Normal, cumulative, log_add};

const DEVIATIONS: [f64; 4] = [0.5, 1.0, 0.2, 2.0];
const MEANS: [f64; 4] = [10.0, -3.0, 1.0, 40.0];
const DOUBTS: [f64; 12] = [
    0.6, -0.2, 0.1, 1.5, 0.4, -0.7, 0.0, 0.3, 0.05, -2.0, 1.0, 3.0,
];

fn shown(means: &[f64], doubts: &[f64]) -> Shown {
    Shown {
        changes: DVector::zeros(means.len()),
        means: DVector::from_column_slice(means),
        by_u: DVector::zeros(means.len()),
        by_doubt: DMatrix::from_row_slice(means.len(), 3, doubts),
        response: DVector::zeros(means.len()),
        altogether: 0.0,
        guessed: DVector::zeros(means.len()),
        raised: Vec::new(),
        unset: 0.0,
    }
}

/// The level of one code.
fn level() -> Shown {
    shown(&[0.7], &[0.3, 0.1, -0.2])
}

fn reads(values: [f64; 4]) -> Vec<Read> {
    let each = values.iter().zip(DEVIATIONS);
    each.map(|(value, deviation)| Read {
        condition: 0,
        reading: Reading::MeteredAir,
        value: *value,
        deviation,
    })
    .collect()
}

fn fit(values: [f64; 4], code: Option<bool>) -> Fit {
    let evidence = Evidence {
        reads: reads(values),
        codes: code.map(|set| (Code::Lean, set)).into_iter().collect(),
        ..Evidence::default()
    };
    let levels = match code {
        Some(_) => level(),
        None => shown(&[], &[]),
    };
    Fit::new(&evidence, &shown(&MEANS, &DOUBTS), &levels).unwrap()
}

fn close(what: &str, found: f64, outside: f64) {
    let apart = (found - outside).abs();
    assert!(
        apart < 1e-9 * outside.abs().max(1.0),
        "{what}: {found}, outside {outside}"
    );
}

const GOOD: [f64; 4] = [10.7, -1.2, 1.3, 37.5];
/// The third reading misread.
const MISREAD: [f64; 4] = [10.7, -1.2, 9.0, 37.5];

#[test]
fn distance_and_likelihood_are_those_of_the_normal_law() {
    let law = Normal::new(&reads(GOOD), &shown(&MEANS, &DOUBTS)).unwrap();
    close("distance", law.distance(), 2.1064682134673656);
    let fit = fit(GOOD, None);
    close("log likelihood", fit.log_likelihood, -5.200529216084618);
    close("distance of the fit", fit.distance, 2.1064682134673656);
    assert_eq!(fit.bad, None);
    let outside = [
        0.8616404368553282,
        0.9114654303753,
        0.8241633836921343,
        -0.5892556509887896,
    ];
    for (found, outside) in fit.residuals.iter().zip(outside) {
        close("residual", *found, outside);
    }
}

/// Leaving one reading out: its marginal law is that of the other three.
#[test]
fn a_misread_value_is_found_and_left_out() {
    let law = Normal::new(&reads(MISREAD), &shown(&MEANS, &DOUBTS)).unwrap();
    close("distance with it", law.distance(), 655.2774666544268);
    let fit = fit(MISREAD, None);
    assert_eq!(fit.bad, Some(2));
    close("distance without it", fit.distance, 1.0766666261210842);
    close("log likelihood", fit.log_likelihood, -13.301065726946543);
}

#[test]
fn codes_weigh_by_their_level_given_the_readings() {
    let law = Normal::new(&reads(GOOD), &shown(&MEANS, &DOUBTS)).unwrap();
    let (mean, covariance) = law.given(&shown(&MEANS, &DOUBTS), &level());
    close("mean of the level", mean[0], 1.0840360791804902);
    close("its variance", covariance[(0, 0)], 0.02300348063679819);
    close(
        "set",
        fit(GOOD, Some(true)).log_likelihood,
        -5.642388335819181,
    );
    close(
        "not set",
        fit(GOOD, Some(false)).log_likelihood,
        -6.230101173597775,
    );
}

/// A reading that is not believed says nothing of the codes either: F, all as if it had not
/// been taken.
#[test]
fn codes_do_not_follow_from_a_misread_value() {
    let kept = [0, 1, 3];
    let all = reads(MISREAD);
    let rows: Vec<f64> = kept
        .iter()
        .flat_map(|i| DOUBTS[3 * i..3 * i + 3].to_vec())
        .collect();
    let means = kept.map(|i| MEANS[i]);
    let law = Normal::new(&kept.map(|i| all[i]), &shown(&means, &rows)).unwrap();
    let (mean, covariance) = law.given(&shown(&means, &rows), &level());
    let doubt = 0.15 * mean[0].abs().max(1.0);
    let deviation = (covariance[(0, 0)] + doubt * doubt).sqrt();
    let above = (mean[0] - 1.0) / deviation;
    for (set, side) in [(true, above), (false, -above)] {
        let chance = 0.5 * 0.03 + 0.97 * cumulative(side);
        let found = fit(MISREAD, Some(set)).log_likelihood - fit(MISREAD, None).log_likelihood;
        close("code", found, chance.ln());
    }
}

#[test]
fn tails_are_those_of_the_normal_law() {
    for (z, outside) in [
        (-8.0, 6.22096057427174e-16),
        (-3.0, 0.0013498980316300933),
        (-0.5, 0.3085375387259869),
        (0.7, 0.758036347776927),
        (2.0, 0.9772498680518208),
    ] {
        let found = cumulative(z);
        assert!((found / outside - 1.0).abs() < 1e-9, "{z}: {found}");
    }
    // F: ln(e^-1000 + e^-1000) = -1000 + ln 2, which plain exponentials cannot hold.
    close("sum", log_add(-1e3, -1e3), -1e3 + 2f64.ln());
    close("nothing", log_add(f64::NEG_INFINITY, -3.0), -3.0);
}

#[test]
fn a_reading_that_is_no_number_has_no_law() {
    let mut wrong = reads(GOOD);
    wrong[1].deviation = f64::NAN;
    assert!(Normal::new(&wrong, &shown(&MEANS, &DOUBTS)).is_none());
}
