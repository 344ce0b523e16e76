//! Trouble codes as evidence when the trims were not read.

use super::*;

/// Probability of a leak behind the throttle: both places that the model cannot tell apart.
fn vacuum_leak(set: Option<&[Code]>) -> f64 {
    let mut found = read(&car(), &[("leak: manifold gasket", 3e-3)], 21);
    let trims = [R::ShortTrim, R::LongTrim, R::LambdaSensor];
    // Air at cruise and full load says little of a hole behind the throttle.
    found
        .reads
        .retain(|read| read.condition > 0 && !trims.contains(&read.reading));
    found.codes = set.map(all_codes).unwrap_or_default();
    let answer = diagnose(&found);
    probability(&answer, "leak: manifold gasket") + probability(&answer, "leak: vacuum line")
}

#[test]
fn lean_codes_raise_and_their_absence_lowers_a_vacuum_leak() {
    let unknown = vacuum_leak(None);
    let lean = vacuum_leak(Some(&[Code::Lean, Code::LeanAtIdle]));
    let none = vacuum_leak(Some(&[]));
    let odds = |p: f64| p / (1.0 - p);
    assert!(
        odds(lean) > 1.5 * odds(unknown) && odds(none) < 0.5 * odds(unknown),
        "set {lean}, not read {unknown}, none {none}"
    );
}

/// A rich code cannot be had from unmetered air.
#[test]
fn a_rich_code_speaks_against_a_vacuum_leak() {
    let rich = vacuum_leak(Some(&[Code::Rich, Code::RichAtIdle]));
    let unknown = vacuum_leak(None);
    assert!(rich < 0.5 * unknown, "rich {rich}, not read {unknown}");
}

#[test]
fn codes_alone_are_enough_for_an_answer() {
    let mut found = read(&car(), &[], 22);
    found.reads.clear();
    found.codes = all_codes(&[Code::Lean, Code::LeanAtIdle]);
    let answer = diagnose(&found);
    assert!(answer.sound() < 0.5, "{}", summary(&answer));
    let leak = probability(&answer, "leak: manifold gasket");
    let rich = probability(&answer, "mass air flow sensor reads high");
    assert!(leak > 5.0 * rich, "{leak} {rich}");
}

#[test]
fn nothing_at_all_is_no_answer() {
    let mut found = read(&car(), &[], 23);
    found.reads.clear();
    found.codes.clear();
    assert!(Diagnosis::new(ladders(), &found, false).is_err());
}

/// A cylinder of four without a spark is found first, with its code or without; the code alone points to it
/// before any leak, and not away from a leak that the readings show.
#[test]
fn a_misfire_is_told_from_a_leak() {
    let dead = "misfiring cylinder";
    let mut found = read(&car(), &[(dead, 0.25)], 23);
    for codes in [&[Code::Misfire][..], &[]] {
        found.codes = match codes.is_empty() {
            true => Vec::new(),
            false => all_codes(codes),
        };
        let answer = diagnose(&found);
        let share = probability(&answer, dead);
        println!("codes {codes:?}: {share:.3}; {}", summary(&answer));
        assert!(share > 0.9, "{}", summary(&answer));
    }
    found.reads.clear();
    found.codes = all_codes(&[Code::Misfire]);
    let answer = diagnose(&found);
    let ill = answer.hypotheses.iter();
    let first = ill
        .map(|h| h.name(ladders()))
        .find(|name| name != "no fault");
    assert_eq!(first.as_deref(), Some(dead), "{}", summary(&answer));
}
