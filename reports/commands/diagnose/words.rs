//! What a diagnosis says in sentences.

use crate::commands::diagnose::Diagnosed;
use crate::input::log::{Log, Taken, short};
use crate::input::twins::{self, Aside};
use crate::page::Line;
use crate::say::diagnose as say;
use sim::network::readings::FORMS;
use sim::network::{Known, Reading};
use sim::study::judging::diagnose::effort::Risk;
use sim::study::judging::diagnose::evidence::Read;
use sim::study::judging::diagnose::from_log::Judged;
use sim::study::judging::diagnose::holds::Holds;
use sim::study::judging::diagnose::next::NextTest;
use sim::study::judging::diagnose::ranking::{Hypothesis, Size, Verdict, Witness};
use sim::study::judging::diagnose::twin::Of;
use sim::units::round;

/// Boost, kPa, below which what only boost opens is not tested (common practice, no source).
const OPENS: f64 = 20.0;

/// Share of healthy cars that read farther off below which one is called unlike its file (the usual
/// one in twenty).
const UNLIKE: f64 = 0.05;

pub(super) fn key(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::NoFaultShown => "no_fault_shown",
        Verdict::Fault => "fault",
        Verdict::OneOfSeveral => "one_of_several",
        Verdict::Undecided => "undecided",
        Verdict::NothingFits => "nothing_fits",
    }
}

/// The verdict in a sentence or two.
pub(super) fn verdict(found: &Diagnosed) -> String {
    let diagnosis = &found.diagnosis;
    let Some(first) = diagnosis.hypotheses.first() else {
        return say::NOTHING.into();
    };
    let (sound, likeliest) = (percent(diagnosis.sound()), percent(first.probability));
    let name = first.name(&found.ladders);
    match diagnosis.verdict {
        Verdict::NoFaultShown => say::healthy(sound) + &unlike(first),
        Verdict::Fault => say::most_likely(sized(found, first), likeliest),
        Verdict::OneOfSeveral => {
            let group = diagnosis.group(0);
            let group = || group.iter().map(|i| &diagnosis.hypotheses[*i]);
            let together: f64 = group().map(|h| h.probability).sum();
            let names: Vec<String> = group().map(|h| sized(found, h)).collect();
            say::one_of(percent(together), names.join("; "))
        }
        Verdict::Undecided if !first.posterior.faults.is_empty() => {
            say::undecided(sound, name, likeliest)
        }
        Verdict::Undecided if diagnosis.dangers.is_empty() => {
            say::none_better(sound, but(found, first))
        }
        Verdict::Undecided => {
            let dangers = diagnosis.dangers.iter().map(|danger| danger.short());
            let dangers = dangers.collect::<Vec<_>>().join("; ");
            say::endangered(dangers, sound, but(found, first))
        }
        Verdict::NothingFits if first.posterior.faults.is_empty() => {
            say::unlike_all(percent(first.fit))
        }
        Verdict::NothingFits => say::nothing_fits(name, percent(first.fit)),
    }
}

/// That a healthy car is unlike its file, where it is.
fn unlike(first: &Hypothesis) -> String {
    let healthy = first.posterior.faults.is_empty();
    match healthy && first.fit < UNLIKE {
        true => say::unlike_file(percent(first.fit)),
        false => String::new(),
    }
}

/// Why a car is not called sound all the same.
fn but(found: &Diagnosed, first: &Hypothesis) -> String {
    let name = |c: usize| &found.ladders.conditions[c].name;
    let stands = found.evidence.not_running.iter();
    let stands = stands.map(|c| say::stands(name(*c)));
    let bad = first.posterior.fit.bad.map(|i| {
        let read = &found.evidence.reads[i];
        let label = FORMS[read.reading as usize].label;
        say::misfit(label, name(read.condition), again(found, read))
    });
    let codes = first.posterior.fit.codes_against.iter();
    let codes = codes
        .map(|i| found.evidence.codes[*i])
        .filter(|code| code.1);
    let codes = codes.map(|(code, _)| say::code_set(code));
    let why: Vec<String> = stands.chain(bad).chain(codes).collect();
    match why.is_empty() {
        true => String::new(),
        false => format!(", but {}", why.join("; ")),
    }
}

/// What to do about a reading that fits nothing: no one is sent to load an engine in danger.
pub(super) fn again(found: &Diagnosed, read: &Read) -> &'static str {
    let loads = found.ladders.conditions[read.condition].loads();
    match loads && !found.diagnosis.dangers.is_empty() {
        true => say::AGAIN_LATER,
        false if loads && found.diagnosis.holds.is_some() => say::AGAIN_TYPED,
        // A rev counter is seldom wrong: an idle that stands high has a reason.
        false if !loads && read.reading == Reading::EngineSpeed => say::AGAIN_UNLOADED,
        false => say::AGAIN,
    }
}

/// Why the first test comes before the best one that drives the car, where that tells more in the
/// same time, or no test that loads the engine is listed.
pub(super) fn why_first(found: &Diagnosed) -> String {
    if found.diagnosis.verdict == Verdict::NothingFits {
        return farthest(found);
    }
    let Some(first) = found.next.first() else {
        return String::new();
    };
    if !found.diagnosis.dangers.is_empty() {
        return say::UNLOADED.into();
    }
    if let Some(holds) = found.diagnosis.holds {
        return held(found, holds);
    }
    if !found.outlook.foreseen.is_empty() {
        return say::NOT_SENT.into();
    }
    let loads = |test: &&NextTest| matches!(test.risk, Risk::Driven | Risk::FullLoad);
    let rate = |test: &NextTest| test.gain / test.minutes;
    let driven = found.next.iter().find(loads);
    let driven = driven.filter(|test| !loads(&first) && rate(test) > rate(first));
    driven.map_or(String::new(), |test| {
        let (first, calm) = (&first.test.replace('_', " "), first.risk.meaning());
        let (other, risk) = (&test.test.replace('_', " "), test.risk.meaning());
        say::why_first(first, calm, other, risk, test.risk.weight())
    })
}

/// Why no test that loads the engine is listed, though no danger was read.
fn held(found: &Diagnosed, holds: Holds) -> String {
    let name = |c: usize| &found.ladders.conditions[c].name;
    match holds {
        Holds::Stalls(c) => say::not_while_it_stalls(name(c)),
        Holds::ReadAgain(i) => {
            let read = &found.evidence.reads[i];
            say::not_before_read_again(FORMS[read.reading as usize].label, name(read.condition))
        }
    }
}

/// What to do first where nothing fits.
fn farthest(found: &Diagnosed) -> String {
    let first = found.diagnosis.hypotheses.first();
    let all = first.into_iter().flat_map(|first| &first.witnesses);
    let off = |w: &&Witness| w.apart.abs();
    let Some(worst) = all.max_by(|a, b| off(a).total_cmp(&off(b))) else {
        return String::new();
    };
    let read = &found.evidence.reads[worst.read];
    let condition = &found.ladders.conditions[read.condition];
    let label = FORMS[read.reading as usize].label;
    match condition.loads() && !found.diagnosis.dangers.is_empty() {
        true => say::check_first(label, &condition.name),
        false => say::read_again_first(label, &condition.name),
    }
}

/// A probability as people read it.
pub(super) fn percent(share: f64) -> String {
    match share {
        share if share > 0.0 && share < 0.001 => "less than 0.1 %".into(),
        share if share < 0.1 => format!("{:.1} %", 100.0 * share),
        share if share > 0.999 => "over 99.9 %".into(),
        share => format!("{:.0} %", 100.0 * share),
    }
}

/// `leak: hot pipe, 5.01 mm (4.63 to 5.61)`.
pub(super) fn sized(found: &Diagnosed, h: &Hypothesis) -> String {
    let sizes = h.sizes.iter().map(|size| format!(", {}", span(size)));
    h.name(&found.ladders) + &sizes.collect::<String>()
}

/// Best, lowest and highest.
pub(super) fn rounded(size: &Size) -> [String; 3] {
    [size.best, size.low90, size.high90].map(|x| round(x, 3))
}

/// `5.01 mm (4.63 to 5.61)`.
pub(super) fn span(size: &Size) -> String {
    let [best, low, high] = rounded(size);
    format!("{best} {} ({low} to {high})", size.unit).replace("  ", " ")
}

/// The car, and what was taken from a log.
pub(super) fn lead(found: &Diagnosed) -> Vec<Line> {
    let known = match found.readings.file.car.unwrap_or(Known::Measured) {
        Known::Estimated => say::ESTIMATED,
        Known::Measured => say::MEASURED,
        Known::Fitted => say::FITTED,
    };
    let mut lead = vec![Line::new(
        "car",
        format!("{}, {known}", found.readings.vehicle.name),
    )];
    lead.extend(baseline(found).map(|says| Line::new("baseline", says)));
    lead.extend(beside(found).map(|says| Line::new("beside", says)));
    if let Some(log) = &found.readings.log {
        let judged = found.readings.judged.as_ref();
        lead.extend(judged.map(|judged| Line::new("log", logged(found, log, judged))));
        let out = found.readings.out.iter();
        lead.extend(out.map(|(name, why)| Line::new("note", say::not_driven(name, why))));
    }
    lead.extend(taken(found).iter().map(|note| Line::new("note", note)));
    lead
}

/// What a person should know of how log and readings were taken.
pub(super) fn taken(found: &Diagnosed) -> Vec<String> {
    let log = found.readings.log.iter().flat_map(|log| log.notes.clone());
    let elsewhere = found.readings.file.throttle_from_elsewhere();
    log.chain(elsewhere.then(|| say::THROTTLE_FROM_ELSEWHERE.into()))
        .collect()
}

/// What records of healthy cars are worth.
pub(super) fn baseline(found: &Diagnosed) -> Option<String> {
    let matched = found.ladders.matched.as_ref()?;
    let [_, readings] = matched.count;
    let (reading, condition, off) = &matched.worst;
    Some(match matched.used() {
        true => say::beside_healthy(readings),
        false => say::not_healthy(
            FORMS[*reading as usize].label,
            condition,
            round(off.abs(), 2),
        ),
    })
}

/// Whose records it is judged beside.
fn beside(found: &Diagnosed) -> Option<String> {
    found
        .ladders
        .matched
        .as_ref()
        .filter(|matched| matched.used())?;
    let taken = &found.twins.taken;
    let of = |of: Of| {
        let all = taken.iter().filter(move |taken| taken.of == of);
        all.map(record).collect::<Vec<_>>()
    };
    let (own, sisters) = (of(Of::ThisCar), of(Of::Sister));
    Some(match (own.join("; "), sisters.join("; ")) {
        (own, sisters) if own.is_empty() && sisters.is_empty() => return None,
        (own, sisters) if own.is_empty() => say::sisters_only(sisters),
        (own, sisters) if sisters.is_empty() => say::own_records(own),
        (own, sisters) => format!("{}; {}", say::own_records(own), say::sisters(sisters)),
    })
}

/// `anna, 2026-05-03`, or the file where it does not say whose it is.
fn record(taken: &twins::Taken) -> String {
    let said = taken.car.as_ref();
    let name = said.and_then(|car| car.name.clone());
    let date = said.and_then(|car| car.date.clone());
    match name {
        Some(name) => [Some(name), date]
            .into_iter()
            .flatten()
            .collect::<Vec<_>>()
            .join(", "),
        None => taken.path.display().to_string(),
    }
}

/// Dangers in the records themselves, which come before the answer.
pub(super) fn in_records(found: &Diagnosed) -> Vec<String> {
    let all = found.twins.dangers.iter().map(|record| {
        let path = record.path.display();
        let dangers: Vec<String> = record.dangers.iter().map(|danger| danger.short()).collect();
        let dangers = dangers.join("; ");
        match &record.although {
            Some(why) => say::record_although(path, dangers, why),
            None => say::record_danger(path, dangers),
        }
    });
    all.collect()
}

/// What of the files beside is not taken, and why.
pub(super) fn left_aside(found: &Diagnosed) -> Vec<String> {
    let twins = &found.twins;
    let file = &found.readings.file;
    let mut all = Vec::new();
    if let (Some(stands), Some(said)) = (found.readings.not_taken, file.car) {
        all.push(say::not_taken(stands, format!("car = \"{said}\"")));
    }
    if let Some((folder, found_any)) = &twins.folder {
        let name = file.this_car.as_ref().and_then(|car| car.name.clone());
        match (&twins.nearest, found_any) {
            (Some(name), _) => all.push(say::nearly(folder.display(), name)),
            (None, false) => {
                let make = file.this_car.as_ref().and_then(|car| car.make.clone());
                let make = make.unwrap_or_else(|| found.readings.vehicle.name.clone());
                let car = name.map_or(make.clone(), |name| format!("{name} or the make {make}"));
                all.push(say::none_kept(folder.display(), car));
            }
            (None, true) => {}
        }
    }
    all.extend(twins.aside.iter().map(|aside| match aside {
        Aside::Unreadable(why) => say::record_aside(why.path().display(), why.message()),
        Aside::NotDriven(path, why) => say::record_aside(path.display(), why),
    }));
    all
}

/// Codes that are set and say nothing to the program.
pub(super) fn not_judged(found: &Diagnosed) -> Vec<String> {
    let set = found.readings.file.codes.iter().flatten();
    let left = set.filter(|code| code.judged().is_none() && code.tells().is_none());
    let left = left.map(|code| match code.near() {
        Some(near) => say::not_judged_but(code, near),
        None => say::not_judged(code),
    });
    left.collect()
}

/// What was taken from a log, and which of its columns were not.
fn logged(found: &Diagnosed, log: &Log, judged: &Judged) -> String {
    let own = found.readings.file.condition.len() - judged.conditions.len();
    let named = judged.conditions.iter().enumerate();
    let named = named.filter(|(i, _)| !judged.moving.contains(i));
    let named: Vec<&str> = named.map(|(_, c)| c.name.as_str()).collect();
    let (moving, [low, high]) = (judged.moving.len(), judged.speeds);
    let all = match (moving, named.len()) {
        (0, _) => named.join(", "),
        (1, _) => format!("{}, {}", named.join(", "), say::moved_once(low)),
        _ => format!("{}, {}", named.join(", "), say::moving(moving, low, high)),
    };
    let driven = log.warm;
    let mut words = say::judged_by(all);
    if driven > 0.0 && !judged.conditions.is_empty() {
        words += &say::of_the_log(judged.used().min(driven), driven);
    }
    if own > 0 {
        words += &say::beside_typed(own);
    }
    let left = log.mapping.iter().filter(|m| m.taken == Taken::LeftOut);
    let left: Vec<String> = left.map(|m| short(&m.column)).collect();
    if !left.is_empty() {
        words += &say::left_out(left.join(", "));
    }
    words + say::SEE_LOG
}

/// What the log cannot have shown, and how it could.
pub(super) fn untested(found: &Diagnosed) -> Option<String> {
    let judged = found.readings.judged.as_ref()?;
    if judged.boost >= OPENS {
        return None;
    }
    Some(match found.outlook.allows_full_load() {
        true => say::no_boost_so(OPENS),
        false => say::no_boost(OPENS),
    })
}
