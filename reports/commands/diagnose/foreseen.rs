//! What could be dangerous where the car has not been driven, in sentences.

use super::words::percent;
use crate::commands::diagnose::Diagnosed;
use crate::say::diagnose as say;
use sim::study::judging::diagnose::foreseen::Foreseen;

/// `a, b and c`: every one of them, for nobody should drive at any.
fn joined_by_and(names: &[&str]) -> String {
    match names {
        [rest @ .., last] if !rest.is_empty() => [&rest.join(", "), say::AND, last].concat(),
        names => names.concat(),
    }
}

/// What could be dangerous where the car has not been driven, and with which likely fault: one
/// sentence a kind and fault, but of what was read already.
pub(super) fn foreseen(found: &Diagnosed) -> Vec<String> {
    let read = |hazard| {
        let mut dangers = found.diagnosis.dangers.iter();
        dangers.any(|danger| danger.hazard == hazard)
    };
    let mut seen = Vec::new();
    // Each kind at a condition with the likeliest that foresees it; the conditions of both joined.
    let mut joined: Vec<(&Foreseen, Vec<&str>)> = Vec::new();
    for foreseen in &found.outlook.foreseen {
        let kind = (foreseen.danger.hazard, foreseen.condition);
        if read(foreseen.danger.hazard) || seen.contains(&kind) {
            continue;
        }
        seen.push(kind);
        let name = found.ladders.conditions[foreseen.condition].name.as_str();
        let same = |(f, _): &&mut (&Foreseen, Vec<&str>)| {
            (f.danger.hazard, f.hypothesis) == (kind.0, foreseen.hypothesis)
        };
        match joined.iter_mut().find(same) {
            Some((_, names)) => names.push(name),
            None => joined.push((foreseen, vec![name])),
        }
    }
    let all = joined.into_iter().map(|(foreseen, names)| {
        let h = &found.diagnosis.hypotheses[foreseen.hypothesis];
        let name = match h.posterior.faults.is_empty() {
            true => say::HEALTHY.into(),
            false => h.name(&found.ladders),
        };
        let danger = foreseen.danger.clone().at(&joined_by_and(&names));
        say::foreseen(danger.short(), name, percent(h.probability))
    });
    all.collect()
}
