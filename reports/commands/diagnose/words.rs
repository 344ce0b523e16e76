//! A diagnosis for reading.

use crate::commands::diagnose::Diagnosed;
use crate::input::log::{Log, Taken};
use crate::text::words::{bar, cautions, fixed, heading, paragraph};
use sim::network::readings::FORMS;
use sim::study::judging::diagnose::file::Known;
use sim::study::judging::diagnose::ranking::{Hypothesis, Size, Verdict, Witness};
use sim::units::round;
use std::fmt::Write;

/// Hypotheses shown.
const SHOWN: usize = 10;
/// Hypotheses, or groups that cannot be told apart, of which the readings are gone through.
const ARGUED: usize = 2;
/// Standard deviations from which a reading speaks for or against.
const SPEAKS: f64 = 1.5;
/// Next tests shown.
const TESTS: usize = 5;

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
        return "Nothing to say.".into();
    };
    let name = first.name(&found.ladders);
    match diagnosis.verdict {
        Verdict::NoFaultShown => format!(
            "These readings are those of a sound car ({}). A fault too small to show in them \
             may still be there.",
            percent(diagnosis.sound())
        ),
        Verdict::Fault => format!(
            "Most likely {name}{} ({}).",
            sizes(first),
            percent(first.probability)
        ),
        Verdict::OneOfSeveral => {
            let group = diagnosis.group(0);
            let together: f64 = (group.iter())
                .map(|i| diagnosis.hypotheses[*i].probability)
                .sum();
            let names = group.iter().map(|i| {
                let h = &diagnosis.hypotheses[*i];
                format!("{}{}", h.name(&found.ladders), sizes(h))
            });
            let names: Vec<String> = names.collect();
            format!(
                "One of these ({} together), which these readings cannot tell apart: {}.",
                percent(together),
                names.join("; ")
            )
        }
        Verdict::Undecided
            if first.posterior.faults.is_empty() && !diagnosis.dangers.is_empty() =>
        {
            let dangers = diagnosis.dangers.iter().map(|danger| danger.short());
            format!(
                "Not a healthy car: {}. No fault in the catalogue explains these readings better \
                 than none ({}){}.",
                dangers.collect::<Vec<_>>().join("; "),
                percent(diagnosis.sound()),
                but(found, first)
            )
        }
        Verdict::Undecided if first.posterior.faults.is_empty() => format!(
            "Not decided: no fault in the catalogue explains these readings better than a sound \
             car ({}){}.",
            percent(diagnosis.sound()),
            but(found, first)
        ),
        Verdict::Undecided => format!(
            "Not decided: a sound car is {} likely, the likeliest hypothesis is {name} ({}).",
            percent(diagnosis.sound()),
            percent(first.probability)
        ),
        Verdict::NothingFits => format!(
            "Nothing in the catalogue gives these readings: even {name} would be so far off by \
             chance in {} of cars. Check the readings, their units and the vehicle file; or two \
             faults are at work (--pairs).",
            percent(first.fit)
        ),
    }
}

/// Why a car is not called sound all the same.
fn but(found: &Diagnosed, first: &Hypothesis) -> String {
    let name = |c: usize| &found.ladders.conditions[c].name;
    let stands = found.evidence.not_running.iter();
    let stands = stands.map(|c| format!("the engine does not run at {}", name(*c)));
    let bad = first.posterior.fit.bad.map(|i| {
        let read = &found.evidence.reads[i];
        let label = FORMS[read.reading as usize].label;
        let again = again(found, read.condition);
        format!("{label} at {} fits nothing: {again}", name(read.condition))
    });
    let codes = first.posterior.fit.codes_against.iter();
    let codes = codes
        .map(|i| found.evidence.codes[*i])
        .filter(|code| code.1);
    let codes = codes.map(|(code, _)| format!("code {code} is set"));
    let why: Vec<String> = stands.chain(bad).chain(codes).collect();
    match why.is_empty() {
        true => String::new(),
        false => format!(", but {}", why.join("; ")),
    }
}

/// What to do about a reading that fits nothing: no one is sent to load an engine in danger.
fn again(found: &Diagnosed, condition: usize) -> &'static str {
    let loads = found.ladders.conditions[condition].loads();
    match loads && !found.diagnosis.dangers.is_empty() {
        true => "read it again once the danger is past, not before",
        false => "read it again",
    }
}

/// What nobody has stated, where that matters.
pub(super) fn remark(found: &Diagnosed) -> Option<&'static str> {
    found.diagnosis.aimless.then_some(
        "Nobody has stated what lambda and boost this car aims at: its vehicle file is an \
         estimate. Under boost lambda above 1.00 counts as a danger, and boost more than 30 kPa \
         above the estimate or with P0234. Give `commanded_lambda` and `commanded_boost` with \
         the readings where the car shows them.",
    )
}

/// Said with the next tests while there is a danger.
pub(super) const UNLOADED: &str = "No test that loads the engine is listed while the danger stands; \
                                    what the danger asks for comes first.";

/// A probability as people read it.
fn percent(share: f64) -> String {
    match share {
        share if share > 0.0 && share < 0.001 => "less than 0.1 %".into(),
        share if share < 0.1 => format!("{:.1} %", 100.0 * share),
        share if share > 0.999 => "over 99.9 %".into(),
        share => format!("{:.0} %", 100.0 * share),
    }
}

fn sizes(h: &Hypothesis) -> String {
    let all: Vec<String> = h
        .sizes
        .iter()
        .map(|size| format!(", {}", span(size)))
        .collect();
    all.concat()
}

fn span(size: &Size) -> String {
    let [best, low, high] = [size.best, size.low90, size.high90].map(|x| round(x, 3));
    format!("{best} {} ({low} to {high})", size.unit).replace("  ", " ")
}

pub(super) fn table(found: &Diagnosed) -> String {
    let mut text = String::new();
    for danger in &found.diagnosis.dangers {
        paragraph(&mut text, "DANGER  ", &danger.words());
        text.push('\n');
    }
    if !found.file.title.is_empty() {
        paragraph(&mut text, "", &found.file.title);
    }
    let known = match found.file.car {
        Known::Estimated => "taken as estimated: doubts twice the usual",
        Known::Measured => "taken as measured: usual doubts between sound cars",
        Known::Fitted => "fitted to this very car",
    };
    paragraph(&mut text, "car   ", &format!("{}, {known}", found.car));
    if let Some(log) = &found.log {
        paragraph(&mut text, "log   ", &logged(found, log));
        for note in &log.notes {
            paragraph(&mut text, "note  ", note);
        }
    }
    if let Some(remark) = remark(found) {
        paragraph(&mut text, "note  ", remark);
    }
    text.push('\n');
    paragraph(&mut text, "", &verdict(found));
    heading(&mut text, "what fits");
    let _ = writeln!(text, "probability    size (90 %)               fit  fault");
    for h in found.diagnosis.hypotheses.iter().take(SHOWN) {
        if h.probability < 1e-3 {
            break;
        }
        let faults = h.posterior.faults.iter().zip(&h.sizes);
        let mut lines = faults.map(|(i, size)| (span(size), found.ladders.suspects[*i].name()));
        let (size, name) = lines
            .next()
            .unwrap_or((String::new(), h.name(&found.ladders)));
        let share = percent(h.probability).replace("over ", "> ");
        let (bar, fit) = (bar(h.probability, 5), fixed(h.fit, 2));
        let _ = writeln!(text, "{bar}{share:>8}  {size:24}{fit:>5}  {name}");
        // A second fault stands under the first.
        for (size, name) in lines {
            let _ = writeln!(text, "{:13}  {size:24}{:5}  {name}", "", "and");
        }
    }
    let sound = |i: &usize| found.diagnosis.hypotheses[*i].posterior.faults.is_empty();
    let groups = found.diagnosis.inseparable.iter();
    // What a sound car cannot be told from is said below, with sizes.
    for group in groups.filter(|group| !group.iter().any(sound)) {
        let names: Vec<String> = (group.iter())
            .map(|i| found.diagnosis.hypotheses[*i].name(&found.ladders))
            .collect();
        text.push('\n');
        paragraph(&mut text, "cannot be told apart yet: ", &names.join("; "));
    }
    text.push('\n');
    let note = "fit: how often a car with this fault would show readings further off. Sizes are \
                those of a round sharp hole (of a split: as large as it is at 1 bar inside), or of \
                the fault as in a scenario file.";
    paragraph(&mut text, "", note);
    let cleared = found.diagnosis.verdict == Verdict::NoFaultShown;
    if cleared {
        unseen(&mut text, found);
    }
    if !cleared {
        arguments(&mut text, found);
    }
    next(&mut text, found);
    cautions(&mut text);
    text
}

/// What was taken from a log, and which of its columns were not.
fn logged(found: &Diagnosed, log: &Log) -> String {
    let taken = found.file.condition.iter().map(|c| c.name.as_str());
    let taken: Vec<&str> = taken.collect();
    let left = log.mapping.iter().filter(|m| m.taken == Taken::LeftOut);
    let left: Vec<&str> = left.map(|m| m.column.as_str()).collect();
    let mut words = format!("judged by: {}", taken.join(", "));
    if !left.is_empty() {
        words += &format!("; columns left out: {}", left.join(", "));
    }
    words + " (`falseair log` shows how each column was read)"
}

/// Leaks too small to show in these readings: with 95 % none larger than these.
fn unseen(text: &mut String, found: &Diagnosed) {
    let mut all: Vec<(f64, String)> = (found.diagnosis.hypotheses.iter())
        .filter_map(|h| {
            let [index] = h.posterior.faults[..] else {
                return None;
            };
            let suspect = found.ladders.suspects[index];
            let (name, high) = (suspect.place().map(|_| suspect.name())?, h.sizes[0].high90);
            let name = name.trim_start_matches("leak: ").to_string();
            Some((high, format!("{name} {} mm", fixed(high, 1))))
        })
        .collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let words: Vec<String> = all.into_iter().map(|(_, words)| words).collect();
    heading(text, "leaks that these readings would not show");
    let intro = "With 95 % none larger than (round sharp hole): ";
    paragraph(text, "", &format!("{intro}{}.", words.join(", ")));
}

/// What speaks for and against the likeliest hypotheses, those that cannot be told apart
/// together: their readings are nearly the same.
fn arguments(text: &mut String, found: &Diagnosed) {
    let all = &found.diagnosis.hypotheses;
    let faulty = |i: &usize| !all[*i].posterior.faults.is_empty();
    let mut said: Vec<usize> = Vec::new();
    let mut groups = 0;
    for i in (0..all.len()).filter(faulty) {
        if said.contains(&i) {
            continue;
        }
        groups += 1;
        if groups > ARGUED || all[i].probability <= 0.02 {
            break;
        }
        let group: Vec<usize> = found
            .diagnosis
            .group(i)
            .into_iter()
            .filter(faulty)
            .collect();
        heading(text, &all[i].name(&found.ladders));
        if group.len() > 1 {
            let others = group.iter().filter(|j| **j != i);
            let others: Vec<String> = others.map(|j| all[*j].name(&found.ladders)).collect();
            paragraph(text, "and nearly the same for: ", &others.join("; "));
        }
        argue(text, found, &all[i]);
        said.extend(group);
    }
}

/// What speaks for and against a hypothesis.
fn argue(text: &mut String, found: &Diagnosed, h: &Hypothesis) {
    let speaks = |w: &&Witness| w.apart.abs().max(w.sound_apart.abs()) > SPEAKS;
    let mut said = false;
    for w in h.witnesses.iter().filter(speaks).take(6) {
        let against = w.apart.abs() > SPEAKS && w.apart.abs() > w.sound_apart.abs() - 0.5;
        let side = if against { "against  " } else { "for      " };
        paragraph(text, side, &testimony(found, w));
        said = true;
    }
    if let Some(bad) = h.posterior.fit.bad {
        let read = &found.evidence.reads[bad];
        let words = format!(
            "{} at {} fits nothing here and is left out: {}",
            FORMS[read.reading as usize].label,
            found.ladders.conditions[read.condition].name,
            again(found, read.condition)
        );
        paragraph(text, "doubtful ", &words);
    }
    if !said {
        paragraph(
            text,
            "",
            "No single reading stands out; together they lean this way.",
        );
    }
}

fn testimony(found: &Diagnosed, w: &Witness) -> String {
    let read = &found.evidence.reads[w.read];
    let form = &FORMS[read.reading as usize];
    let show = |value: f64| {
        let text = format!("{} {}", fixed(value, form.decimals), form.unit);
        text.trim_end().to_string()
    };
    format!(
        "{} at {}: read {}; this fault gives {}, a sound car {}",
        form.label,
        found.ladders.conditions[read.condition].name,
        show(read.value),
        show(w.shown),
        show(w.sound)
    )
}

/// The next tests.
fn next(text: &mut String, found: &Diagnosed) {
    heading(text, "next test, by what it tells per minute");
    if !found.diagnosis.dangers.is_empty() {
        paragraph(text, "", UNLOADED);
    }
    if found.next.is_empty() {
        paragraph(text, "", "No test on the list would tell more.");
    }
    for (i, test) in found.next.iter().take(TESTS).enumerate() {
        let label = format!("{}. ", i + 1);
        let words = format!(
            "{} ({:.0} min, {:.2} bits)",
            test.what, test.minutes, test.gain
        );
        paragraph(text, &label, &words);
        for meaning in &test.meaning {
            paragraph(text, "   - ", meaning);
        }
    }
}
