//! A diagnosis ends with how to confirm it, and with what would prove it wrong.

use super::*;
use sim::study::judging::diagnose::checks::Check;
use sim::study::judging::diagnose::confirm::Confirm;
use sim::study::judging::diagnose::effort::{Effort, Risk};
use sim::study::judging::diagnose::foreseen::Outlook;
use sim::study::judging::diagnose::next::next_tests;

#[test]
fn every_suspect_has_a_check_of_its_part() {
    for suspect in &ladders().suspects {
        let size = suspect.size(0.7);
        let check = Check::of(&(*suspect, size));
        let Some(check) = check else {
            // It changes nothing that is measured: the eye finds it.
            assert_eq!(suspect.name(), "leak: before meter");
            continue;
        };
        // Its part is what the check points to.
        let odds = check.odds(&[(*suspect, suspect.size(1.0))]);
        assert!(odds[0] < 0.5, "{} by {check}: {odds:?}", suspect.name());
    }
}

/// P: what excludes the likeliest fault must be what the fault itself does not show: with the fault
/// drawn as it is, the outcome is not met (readings), or its odds are small (checks).
#[test]
fn what_proves_it_wrong_is_not_what_it_shows() {
    for (i, (name, size)) in [
        ("leak: vacuum line", 3e-3),
        ("mass air flow sensor reads low", 0.85),
        ("leak: cold pipe", 5e-3),
        ("fuel delivery low", 0.8),
    ]
    .into_iter()
    .enumerate()
    {
        let found = read(&car(), &[(name, size)], 40 + i as u64);
        let answer = diagnose(&found);
        let outlook = Outlook::new(ladders(), &answer);
        let confirm = Confirm::new(ladders(), &found, &answer, &outlook);
        let confirm = confirm.unwrap_or_else(|| panic!("{}", summary(&answer)));
        let top = &answer.hypotheses[0];
        assert_eq!(confirm.at_part.len(), top.posterior.faults.len());
        assert!(!confirm.at_part[0].how.is_empty());
        let Some(wrong) = confirm.wrong else {
            continue;
        };
        assert!(wrong.separation > 2.0 && !wrong.outcome.is_empty());
        if let Some([expected, least, most]) = wrong.expected {
            assert!(least < expected && expected < most, "{wrong:?}");
            continue;
        }
        let check: Check = wrong.test.parse().unwrap();
        let top = top.posterior.faults.iter().zip(&top.posterior.best);
        let top: Vec<_> = top
            .map(|(i, u)| (ladders().suspects[*i], ladders().suspects[*i].size(*u)))
            .collect();
        let odds = check.odds(&top);
        let outcomes = check.outcomes();
        let excluded = outcomes.iter().zip(&odds).filter(|(name, _)| {
            let finds = format!(" finds: {}", name.replace('_', " "));
            wrong.outcome.ends_with(&finds)
        });
        let excluded: Vec<_> = excluded.collect();
        assert_eq!(excluded.len(), 1, "{}", wrong.outcome);
        assert!(*excluded[0].1 < 0.1, "{name}: {} {odds:?}", wrong.outcome);
    }
}

#[test]
fn a_healthy_car_needs_no_confirming() {
    let found = read(&car(), &[], 3);
    let answer = diagnose(&found);
    let outlook = Outlook::new(ladders(), &answer);
    assert!(answer.hypotheses[0].posterior.faults.is_empty());
    assert_eq!(Confirm::new(ladders(), &found, &answer, &outlook), None);
}

/// A test with more danger in it never weighs less, and one with the engine standing least.
#[test]
fn danger_weighs() {
    let weights: Vec<f64> = Risk::WORDS.iter().map(|(_, r, _)| r.weight()).collect();
    assert!(weights[0] == 1.0 && weights.is_sorted(), "{weights:?}");
    for (_, check, _) in Check::WORDS {
        let effort = Effort::of(*check);
        assert!(effort.minutes > 0.0 && effort.counted() >= effort.minutes);
        assert_eq!(check.loads(), effort.risk == Risk::FullLoad);
    }
}

/// Low fuel delivery read at idle and cruise only: full load could be lean, so nobody is sent
/// there, though nothing dangerous was read.
#[test]
fn what_could_be_lean_at_full_load_is_not_driven() {
    let mut found = read(&car(), &[("fuel delivery low", 0.66)], 8);
    found.reads.retain(|read| read.condition != 2);
    found.codes.retain(|(code, _)| *code != Code::LeanAtLoad);
    let answer = diagnose(&found);
    assert!(answer.dangers.is_empty(), "{:?}", answer.dangers);
    let outlook = Outlook::new(ladders(), &answer);
    let said = summary(&answer);
    assert!(probability(&answer, "fuel delivery low") > 0.05, "{said}");
    assert!(!outlook.allows(2) && !outlook.allows_full_load(), "{said}");
    assert!(outlook.allows(0), "idling is allowed");
    for test in next_tests(ladders(), &found, &answer) {
        assert_ne!(test.risk, Risk::FullLoad, "{}", test.test);
    }
    // A healthy car may be driven.
    let answer = diagnose(&read(&car(), &[], 2));
    let outlook = Outlook::new(ladders(), &answer);
    assert!(outlook.allows_full_load(), "{:?}", outlook.foreseen);
}
