//! A diagnosis for programs.

use super::Diagnosed;
use super::words;
use crate::simulate::Trouble;
use serde::Serialize;
use sim::network::readings::FORMS;
use sim::study::diagnose::ranking::Hypothesis;

#[derive(Serialize)]
struct File {
    verdict: &'static str,
    says: String,
    probability_sound: f64,
    hypotheses: Vec<Line>,
    inseparable: Vec<Vec<String>>,
    next_tests: Vec<Test>,
}

#[derive(Serialize)]
struct Line {
    name: String,
    fault: String,
    place: Option<String>,
    probability: f64,
    size: Option<Size>,
    second: Option<Second>,
    fit: f64,
    readings: Vec<Witness>,
    bad_reading: Option<String>,
}

#[derive(Serialize)]
struct Second {
    fault: String,
    place: Option<String>,
    size: Size,
}

#[derive(Serialize)]
struct Size {
    best: f64,
    low90: f64,
    high90: f64,
    unit: &'static str,
}

#[derive(Serialize)]
struct Witness {
    condition: String,
    reading: &'static str,
    unit: &'static str,
    read: f64,
    doubt: f64,
    this_shows: f64,
    sound_shows: f64,
    this_off_by_deviations: f64,
    sound_off_by_deviations: f64,
}

#[derive(Serialize)]
struct Test {
    test: String,
    what: String,
    expected_gain_bits: f64,
    minutes: f64,
    outcomes: Vec<String>,
}

pub(super) fn json(found: &Diagnosed) -> Result<String, Trouble> {
    let hypotheses = &found.diagnosis.hypotheses;
    let kept = hypotheses.iter().filter(|h| h.probability >= 1e-6);
    let name = |i: &usize| hypotheses[*i].name(&found.atlas);
    let groups = found.diagnosis.inseparable.iter();
    let file = File {
        verdict: words::key(found.diagnosis.verdict),
        says: words::verdict(found),
        probability_sound: round(found.diagnosis.sound(), 4),
        hypotheses: kept.map(|h| line(found, h)).collect(),
        inseparable: groups
            .map(|group| group.iter().map(name).collect())
            .collect(),
        next_tests: found.next.iter().map(test).collect(),
    };
    let json = serde_json::to_string_pretty(&file);
    Ok(json.map_err(|e| Trouble::Other(e.to_string()))? + "\n")
}

/// To so many significant digits.
fn round(value: f64, digits: usize) -> f64 {
    sim::units::round(value, digits).parse().unwrap_or(value)
}

fn test(next: &sim::study::diagnose::next::NextTest) -> Test {
    Test {
        test: next.test.clone(),
        what: next.what.clone(),
        expected_gain_bits: round(next.gain, 3),
        minutes: next.minutes,
        outcomes: next.meaning.clone(),
    }
}

fn line(found: &Diagnosed, h: &Hypothesis) -> Line {
    let suspects = h.posterior.faults.iter().map(|i| &found.atlas.suspects[*i]);
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
            condition: found.atlas.conditions[read.condition].name.clone(),
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
        name: h.name(&found.atlas),
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
