//! A diagnosis for programs.

use crate::answer::Trouble;
use crate::commands::diagnose::{Diagnosed, words};
use serde::Serialize;
use sim::network::readings::FORMS;
use sim::study::judging::diagnose::ranking::Hypothesis;
use sim::study::running::dangers::{Hazard, Source};

#[derive(Serialize)]
pub(super) struct File {
    pub dangers: Vec<Danger>,
    pub remarks: Vec<String>,
    pub verdict: &'static str,
    pub says: String,
    pub probability_sound: f64,
    pub hypotheses: Vec<Line>,
    pub inseparable: Vec<Vec<String>>,
    pub next_tests: Vec<Test>,
    /// What a person should know of how the log was read.
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    pub log_notes: Vec<String>,
}

/// A danger; lambda is a plain number, boost kPa above ambient.
#[derive(Serialize)]
pub(super) struct Danger {
    pub kind: &'static str,
    pub condition: Option<String>,
    pub read: Option<f64>,
    pub aim: Option<f64>,
    pub aim_from: Option<&'static str>,
    pub most: Option<f64>,
    pub unit: &'static str,
    pub readings: Vec<&'static str>,
    pub code: Option<&'static str>,
    pub until: &'static str,
    pub words: String,
}

#[derive(Serialize)]
pub(super) struct Line {
    pub name: String,
    pub fault: String,
    pub place: Option<String>,
    pub probability: f64,
    pub size: Option<Size>,
    pub second: Option<Second>,
    pub fit: f64,
    pub readings: Vec<Witness>,
    pub bad_reading: Option<String>,
}

#[derive(Serialize)]
pub(super) struct Second {
    pub fault: String,
    pub place: Option<String>,
    pub size: Size,
}

#[derive(Serialize)]
pub(super) struct Size {
    pub best: f64,
    pub low90: f64,
    pub high90: f64,
    pub unit: &'static str,
}

#[derive(Serialize)]
pub(super) struct Witness {
    pub condition: String,
    pub reading: &'static str,
    pub unit: &'static str,
    pub read: f64,
    pub doubt: f64,
    pub this_shows: f64,
    pub sound_shows: f64,
    pub this_off_by_deviations: f64,
    pub sound_off_by_deviations: f64,
}

#[derive(Serialize)]
pub(super) struct Test {
    pub test: String,
    pub what: String,
    pub expected_gain_bits: f64,
    pub minutes: f64,
    pub outcomes: Vec<String>,
}

/// All of it, rounded to what it is worth.
pub(super) fn file(found: &Diagnosed) -> File {
    let hypotheses = &found.diagnosis.hypotheses;
    let kept = hypotheses.iter().filter(|h| h.probability >= 1e-6);
    let name = |i: &usize| hypotheses[*i].name(&found.ladders);
    let groups = found.diagnosis.inseparable.iter();
    File {
        dangers: found.diagnosis.dangers.iter().map(danger).collect(),
        remarks: words::remark(found).into_iter().map(String::from).collect(),
        verdict: words::key(found.diagnosis.verdict),
        says: words::verdict(found),
        probability_sound: round(found.diagnosis.sound(), 4),
        hypotheses: kept.map(|h| line(found, h)).collect(),
        inseparable: groups
            .map(|group| group.iter().map(name).collect())
            .collect(),
        next_tests: found.next.iter().map(test).collect(),
        log_notes: (found.log.as_ref()).map_or(Vec::new(), |log| log.notes.clone()),
    }
}

pub(super) fn json(found: &Diagnosed) -> Result<String, Trouble> {
    let json = serde_json::to_string_pretty(&file(found));
    Ok(json.map_err(|e| Trouble::Other(e.to_string()))? + "\n")
}

/// To so many significant digits.
fn round(value: f64, digits: usize) -> f64 {
    sim::units::round(value, digits).parse().unwrap_or(value)
}

fn danger(danger: &sim::study::running::dangers::Danger) -> Danger {
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

fn test(next: &sim::study::judging::diagnose::next::NextTest) -> Test {
    Test {
        test: next.test.clone(),
        what: next.what.clone(),
        expected_gain_bits: round(next.gain, 3),
        minutes: next.minutes,
        outcomes: next.meaning.clone(),
    }
}

fn line(found: &Diagnosed, h: &Hypothesis) -> Line {
    let suspects = h
        .posterior
        .faults
        .iter()
        .map(|i| &found.ladders.suspects[*i]);
    let mut parts = suspects.zip(&h.sizes).map(|(suspect, size)| {
        let place = suspect.place().map(|place| place.word().to_string());
        let size = Size {
            best: round(size.best, 4),
            low90: round(size.low90, 4),
            high90: round(size.high90, 4),
            unit: size.unit,
        };
        (suspect.fault().to_string(), place, size)
    });
    let (fault, place, size) = match parts.next() {
        Some((fault, place, size)) => (fault, place, Some(size)),
        None => ("none".to_string(), None, None),
    };
    let second = parts.next();
    let reads = &found.evidence.reads;
    let told = |i: usize| FORMS[reads[i].reading as usize].key;
    let witnesses = h.witnesses.iter().map(|w| {
        let read = &reads[w.read];
        Witness {
            condition: found.ladders.conditions[read.condition].name.clone(),
            reading: told(w.read),
            unit: FORMS[read.reading as usize].unit,
            read: round(read.value, 6),
            doubt: round(read.deviation, 4),
            this_shows: round(w.shown, 6),
            sound_shows: round(w.sound, 6),
            this_off_by_deviations: round(w.apart, 3),
            sound_off_by_deviations: round(w.sound_apart, 3),
        }
    });
    Line {
        name: h.name(&found.ladders),
        fault,
        place,
        probability: round(h.probability, 4),
        size,
        second: second.map(|(fault, place, size)| Second { fault, place, size }),
        fit: round(h.fit, 4),
        readings: witnesses.collect(),
        bad_reading: h.posterior.fit.bad.map(|i| told(i).to_string()),
    }
}
