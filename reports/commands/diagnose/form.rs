//! A diagnosis for programs.

use crate::commands::diagnose::{Diagnosed, words};
use crate::say::diagnose as say;
use crate::text::words::capital;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::readings::{FORMS, Form};
use sim::study::judging::diagnose::next::NextTest;
use sim::study::judging::diagnose::ranking::{self, Hypothesis};
use sim::study::running::dangers::{self, Hazard, Source};

/// What is wrong with a car.
#[derive(Serialize, JsonSchema)]
pub(super) struct DiagnosisFile {
    /// To be said first.
    pub dangers: Vec<Danger>,
    /// What nobody has stated.
    pub remarks: Vec<String>,
    pub verdict: &'static str,
    /// The verdict in a sentence.
    pub says: String,
    pub probability_sound: f64,
    /// Most probable first.
    pub hypotheses: Vec<Suspicion>,
    /// Names of hypotheses that these readings cannot tell apart.
    pub inseparable: Vec<Vec<String>>,
    /// What tells most per minute first.
    pub next_tests: Vec<Test>,
    /// What a person should know of how the log was read.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub log_notes: Vec<String>,
}

/// A danger; lambda is a plain number, boost kPa above ambient.
#[derive(Serialize, JsonSchema)]
pub(super) struct Danger {
    pub kind: &'static str,
    pub condition: Option<String>,
    pub read: Option<f64>,
    pub aim: Option<f64>,
    pub aim_from: Option<&'static str>,
    /// The most that is allowed.
    pub most: Option<f64>,
    pub unit: &'static str,
    pub readings: Vec<&'static str>,
    pub code: Option<&'static str>,
    /// What must be done before the engine is loaded.
    pub until: &'static str,
    pub words: String,
}

/// A fault, two of them, or none.
#[derive(Serialize, JsonSchema)]
pub(super) struct Suspicion {
    pub name: String,
    #[serde(skip)]
    pub names: Vec<String>,
    pub fault: String,
    pub place: Option<&'static str>,
    pub probability: f64,
    #[serde(skip)]
    pub share: String,
    pub size: Option<Size>,
    pub second: Option<Second>,
    /// How often a car with this fault would show readings further off.
    pub fit: f64,
    /// Those that move it most first.
    pub readings: Vec<Witness>,
    /// One that fits nothing and is left out.
    pub bad_reading: Option<&'static str>,
}

/// The second of two faults.
#[derive(Serialize, JsonSchema)]
pub(super) struct Second {
    pub fault: String,
    pub place: Option<&'static str>,
    pub size: Size,
}

/// How large a fault is, with limits of 90 % confidence.
#[derive(Serialize, JsonSchema)]
pub(super) struct Size {
    pub best: f64,
    pub low90: f64,
    pub high90: f64,
    pub unit: &'static str,
    /// Best, lowest and highest as people read them.
    #[serde(skip)]
    pub shown: [String; 3],
    #[serde(skip)]
    pub words: String,
}

/// What one reading says of a hypothesis.
#[derive(Serialize, JsonSchema)]
pub(super) struct Witness {
    pub condition: String,
    pub reading: &'static str,
    #[serde(skip)]
    pub form: &'static Form,
    pub unit: &'static str,
    pub read: f64,
    /// Standard deviation of the instrument.
    pub doubt: f64,
    pub this_shows: f64,
    pub sound_shows: f64,
    pub this_off_by_deviations: f64,
    pub sound_off_by_deviations: f64,
}

/// Something to do next.
#[derive(Serialize, JsonSchema)]
pub(super) struct Test {
    pub test: String,
    pub what: String,
    /// Expected gain of information between the faults and the test's outcome, base 2.
    pub expected_gain_bits: f64,
    /// Share of what is open between the faults that it is expected to settle, %.
    pub settles_pct: f64,
    pub minutes: f64,
    pub outcomes: Vec<String>,
    #[serde(skip)]
    pub words: String,
}

/// All of it, rounded to what it is worth.
pub(super) fn file(found: &Diagnosed) -> DiagnosisFile {
    let diagnosis = &found.diagnosis;
    let kept = diagnosis.hypotheses.iter();
    let kept = kept.filter(|h| h.probability >= 1e-6);
    let name = |i: &usize| diagnosis.hypotheses[*i].name(&found.ladders);
    let groups = diagnosis.inseparable.iter();
    DiagnosisFile {
        dangers: diagnosis.dangers.iter().map(danger).collect(),
        remarks: Vec::from_iter(diagnosis.aimless.then(|| say::AIMLESS.into())),
        verdict: words::key(diagnosis.verdict),
        says: words::verdict(found),
        probability_sound: round(diagnosis.sound(), 4),
        hypotheses: kept.map(|h| suspicion(found, h)).collect(),
        inseparable: groups
            .map(|group| group.iter().map(name).collect())
            .collect(),
        next_tests: found.next.iter().map(test).collect(),
        log_notes: (found.log.as_ref()).map_or(Vec::new(), |log| log.notes.clone()),
    }
}

/// To so many significant digits.
fn round(value: f64, digits: usize) -> f64 {
    sim::units::round(value, digits).parse().unwrap_or(value)
}

fn danger(danger: &dangers::Danger) -> Danger {
    let (unit, factor) = match danger.hazard {
        Hazard::LeanUnderBoost => ("", 1.0),
        Hazard::Overboost => ("kPa", 1e-3),
    };
    let beyond = danger.beyond.as_ref();
    let number = |value: f64| round(value * factor, 6);
    let stated = beyond.map(|b| b.aim).filter(|aim| {
        // An estimate of lambda is nobody's aim and judges nothing.
        aim.source != Source::Estimate || danger.hazard == Hazard::Overboost
    });
    let readings = beyond.iter().flat_map(|b| &b.readings);
    Danger {
        kind: danger.hazard.word(),
        condition: danger.at.clone(),
        read: beyond.map(|b| number(b.read)),
        aim: stated.map(|aim| number(aim.value)),
        aim_from: beyond.map(|b| b.aim.source.word()),
        most: beyond.map(|b| number(b.most)),
        unit,
        readings: readings.map(|r| FORMS[*r as usize].key).collect(),
        code: danger.code.map(|code| code.word()),
        until: danger.hazard.until(),
        words: danger.words(),
    }
}

/// How much a test is expected to settle, in words and per cent.
fn settles(share: f64) -> String {
    let much = match share {
        0.9.. => say::SETTLES_ALL,
        0.6.. => say::SETTLES_MOST,
        0.35.. => say::SETTLES_HALF,
        0.1.. => say::SETTLES_SOME,
        _ => say::SETTLES_LITTLE,
    };
    format!("{much}: {:.0} %", 100.0 * share)
}

fn test(next: &NextTest) -> Test {
    Test {
        test: next.test.clone(),
        what: next.what.clone(),
        expected_gain_bits: round(next.gain, 3),
        settles_pct: round(100.0 * next.settles, 1),
        minutes: next.minutes,
        outcomes: next.meaning.clone(),
        words: say::test(capital(&next.what), next.minutes, settles(next.settles)),
    }
}

fn size(size: &ranking::Size) -> Size {
    Size {
        best: round(size.best, 4),
        low90: round(size.low90, 4),
        high90: round(size.high90, 4),
        unit: size.unit,
        shown: words::rounded(size),
        words: words::span(size),
    }
}

fn suspicion(found: &Diagnosed, h: &Hypothesis) -> Suspicion {
    let faults = h.posterior.faults.iter();
    let suspects = faults.map(|i| &found.ladders.suspects[*i]);
    let names = suspects.clone().map(|suspect| suspect.name()).collect();
    let mut parts = suspects.zip(&h.sizes).map(|(suspect, found)| {
        let place = suspect.place().map(|place| place.word());
        (suspect.fault().to_string(), place, size(found))
    });
    let (fault, place, size) = match parts.next() {
        Some((fault, place, size)) => (fault, place, Some(size)),
        None => ("none".to_string(), None, None),
    };
    let second = parts.next();
    let reads = &found.evidence.reads;
    let form = |i: usize| &FORMS[reads[i].reading as usize];
    let witnesses = h.witnesses.iter().map(|w| {
        let (read, form) = (&reads[w.read], form(w.read));
        Witness {
            condition: found.ladders.conditions[read.condition].name.clone(),
            reading: form.key,
            form,
            unit: form.unit,
            read: round(read.value, 6),
            doubt: round(read.deviation, 4),
            this_shows: round(read.reading.within(w.shown), 6),
            sound_shows: round(read.reading.within(w.sound), 6),
            this_off_by_deviations: round(w.apart, 3),
            sound_off_by_deviations: round(w.sound_apart, 3),
        }
    });
    Suspicion {
        name: h.name(&found.ladders),
        names,
        fault,
        place,
        probability: round(h.probability, 4),
        share: words::percent(h.probability),
        size,
        second: second.map(|(fault, place, size)| Second { fault, place, size }),
        fit: round(h.fit, 4),
        readings: witnesses.collect(),
        bad_reading: h.posterior.fit.bad.map(|i| form(i).key),
    }
}
