//! A diagnosis for programs.

use crate::answer::how::How;
use crate::answer::settled;
use crate::commands::diagnose::drive::{Judged, Missed};
use crate::commands::diagnose::{Diagnosed, drive, words};
use crate::input::twins;
use crate::say::diagnose as say;
use crate::text::words::capital;
use schemars::JsonSchema;
use serde::Serialize;
use sim::network::readings::{FORMS, Form};
use sim::study::judging::diagnose::confirm;
use sim::study::judging::diagnose::next::NextTest;
use sim::study::judging::diagnose::ranking::{self, Hypothesis};

/// What is wrong with a car.
#[derive(Serialize, JsonSchema)]
pub(super) struct DiagnosisFile {
    /// What nobody has stated.
    pub remarks: Vec<String>,
    pub verdict: &'static str,
    /// The verdict in a sentence.
    pub says: String,
    pub probability_sound: f64,
    /// Most probable first.
    pub hypotheses: Vec<Suspicion>,
    /// Names of hypotheses that these readings do not tell apart.
    pub inseparable: Vec<Vec<String>>,
    /// What tells most per minute first, minutes counting more the more danger is in them.
    pub next_tests: Vec<Test>,
    /// Why the first test comes before one that loads the engine; empty where that needs no word.
    pub why_first: String,
    /// How the likeliest fault is confirmed at the part before it is replaced; none for a healthy
    /// car, or where nothing fits.
    pub confirm: Option<Confirm>,
    /// What records of healthy cars told; none where there are none.
    pub baseline: Option<Baseline>,
    /// What a person should know of how log and readings were taken.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub log_notes: Vec<String>,
    /// What each condition of a log gave.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub judged: Vec<Judged>,
    /// The largest leak at each place that the readings of a log would have missed, largest first: 95
    /// of 100 such logs show a larger one, at one false alarm in 20.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub missed: Vec<Missed>,
}

/// Records of healthy cars: this one, or sisters of its make.
#[derive(Serialize, JsonSchema)]
pub(super) struct Baseline {
    pub records: usize,
    pub readings: usize,
    /// How often healthy cars of the vehicle file would show readings further off.
    pub fit: f64,
    /// Whether they were judged beside; not if they cannot be those of a healthy car.
    pub used: bool,
    pub says: String,
    /// Those records.
    pub taken: Vec<TakenRecord>,
}

/// A record of a healthy car.
#[derive(Serialize, JsonSchema)]
pub(super) struct TakenRecord {
    /// `this_car` or `sister`.
    pub of: &'static str,
    pub file: String,
    /// What the car is called, where the record says.
    pub name: Option<String>,
    pub date: Option<String>,
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
    /// The same as people read it.
    #[serde(skip)]
    pub settles: String,
    pub minutes: f64,
    /// `engine_standing`, `idling`, `under_pressure`, `driven` or `full_load`.
    pub risk: &'static str,
    /// How many times its minutes count for the danger in it.
    pub danger_weight: f64,
    pub outcomes: Vec<String>,
    /// How it is done at this car.
    pub procedure: How,
    #[serde(skip)]
    pub words: String,
}

/// How a fault is confirmed.
#[derive(Serialize, JsonSchema)]
pub(super) struct Confirm {
    /// Each fault with the check of its part.
    pub at_part: Vec<AtPart>,
    /// What would prove it wrong; none where nothing at hand would.
    pub proves_wrong: Option<Disproof>,
}

/// The check of a fault's part.
#[derive(Serialize, JsonSchema)]
pub(super) struct AtPart {
    pub fault: String,
    pub test: Option<&'static str>,
    pub how: String,
}

/// What would prove a fault wrong.
#[derive(Serialize, JsonSchema)]
pub(super) struct Disproof {
    pub test: String,
    pub what: String,
    /// The outcome that would exclude the fault, in a sentence.
    pub outcome: String,
    /// What the fault predicts, and the limits beyond which it is excluded.
    pub expected: Option<f64>,
    pub least: Option<f64>,
    pub most: Option<f64>,
    /// How far it speaks against the fault if another is there: expected log-likelihood ratio.
    pub separation_nats: f64,
}

fn confirm(found: &confirm::Confirm) -> Confirm {
    let parts = found.at_part.iter().map(|part| AtPart {
        fault: part.fault.clone(),
        test: part.check.map(|check| check.word()),
        how: part.how.clone(),
    });
    Confirm {
        at_part: parts.collect(),
        proves_wrong: found.wrong.as_ref().map(|wrong| Disproof {
            test: wrong.test.clone(),
            what: wrong.what.clone(),
            outcome: wrong.outcome.clone(),
            expected: wrong.expected.map(|all| round(all[0], 5)),
            least: wrong.expected.map(|all| round(all[1], 5)),
            most: wrong.expected.map(|all| round(all[2], 5)),
            separation_nats: round(wrong.separation, 3),
        }),
    }
}

/// All of it, rounded to what it is worth.
pub(super) fn file(found: &Diagnosed) -> DiagnosisFile {
    let diagnosis = &found.diagnosis;
    let kept = diagnosis.hypotheses.iter();
    let kept = kept.filter(|h| h.probability >= 1e-6);
    let name = |i: &usize| diagnosis.hypotheses[*i].name(&found.ladders);
    let groups = diagnosis.inseparable.iter();
    DiagnosisFile {
        remarks: (words::untested(found).into_iter())
            .chain(diagnosis.aimless.then(|| say::AIMLESS.into()))
            .chain(words::left_aside(found))
            .chain(words::not_judged(found))
            .collect(),
        verdict: words::key(diagnosis.verdict),
        says: words::verdict(found),
        probability_sound: round(diagnosis.sound(), 4),
        hypotheses: kept.map(|h| suspicion(found, h)).collect(),
        inseparable: groups
            .map(|group| group.iter().map(name).collect())
            .collect(),
        next_tests: found.next.iter().map(test).collect(),
        why_first: words::why_first(found),
        confirm: found.confirm.as_ref().map(confirm),
        baseline: found.ladders.matched.as_ref().map(|matched| Baseline {
            records: matched.count[0],
            readings: matched.count[1],
            fit: round(matched.fit, 4),
            used: matched.used(),
            says: words::baseline(found).unwrap_or_default(),
            taken: found.twins.taken.iter().map(taken).collect(),
        }),
        judged: drive::judged(found),
        missed: drive::unseen(found),
        log_notes: words::taken(found),
    }
}

fn taken(taken: &twins::Taken) -> TakenRecord {
    let said = taken.car.as_ref();
    TakenRecord {
        of: taken.of.word(),
        file: taken.path.display().to_string(),
        name: said.and_then(|car| car.name.clone()),
        date: said.and_then(|car| car.date.clone()),
    }
}

/// To so many significant digits.
pub(super) fn round(value: f64, digits: usize) -> f64 {
    sim::units::round(value, digits).parse().unwrap_or(value)
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
    format!("{much}: {}", settled::said(100.0 * share))
}

fn test(next: &NextTest) -> Test {
    Test {
        test: next.test.clone(),
        what: next.what.clone(),
        expected_gain_bits: round(next.gain, 3),
        settles_pct: settled::pct(next.settles),
        settles: settled::said(100.0 * next.settles),
        minutes: next.minutes,
        risk: next.risk.word(),
        danger_weight: next.risk.weight(),
        outcomes: next.meaning.clone(),
        procedure: How::new(&next.procedure),
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
