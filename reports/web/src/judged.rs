//! An answer to an exercise, graded.

use crate::lesson::Lesson;
use serde::{Deserialize, Serialize};
use sim::network::{Defect, Leak, Place};
use sim::study::judging::diagnose::catalogue::Suspect;
use sim::units::Dimension;

/// Minutes that an answer may take (own choice: what a workshop's day allows for a search).
pub const MINUTES: f64 = 120.0;
/// How far a size may be off, as a share of what lies between it and a healthy car (own choice).
const NEAR: f64 = 1.0 / 3.0;
/// Points of ten for the place with its direction, the kind of leak, the size, the minutes (own choice).
const POINTS: [f64; 4] = [5.0, 2.0, 2.0, 1.0];

/// What a trainee says is wrong, once.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Answer {
    /// Suspects by their keys; none: nothing is wrong.
    pub keys: Vec<String>,
    /// The shape of the first, if it is a leak.
    pub kind: Option<String>,
    /// The size of the first, in the unit of its shape.
    pub size: Option<f64>,
    /// Whether the trainee named nothing because nothing was found.
    pub gave_up: bool,
}

/// How right an answer is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Judged {
    /// In one word: `right`, `some`, `twin`, `other_way`, `wrong`, `was_healthy`, `healthy_right`, `gave_up`.
    pub verdict: &'static str,
    /// How many of the things that are wrong were named.
    pub named: usize,
    /// How many things are wrong.
    pub truths: usize,
    /// Whether something else was named, too.
    pub extra: bool,
    /// Whether the kind of leak is right; none where there is none to tell.
    pub kind: Option<bool>,
    /// The true size of what was named, in the unit of the answer; none where they cannot be compared.
    pub size: Option<f64>,
    /// Its unit.
    pub unit: &'static str,
    /// Whether the size is within a third of it.
    pub near: Option<bool>,
    /// Of 10.
    pub points: f64,
}

impl Lesson {
    /// Minutes spent.
    pub fn minutes(&self) -> f64 {
        self.exercise.minutes()
    }

    /// What is wrong, in words.
    pub fn truth_in_words(&self) -> String {
        match self.defects.is_empty() {
            true => "nothing".into(),
            false => (self.defects.iter().map(Defect::words))
                .collect::<Vec<_>>()
                .join("; "),
        }
    }

    /// An answer, in words.
    pub fn answer_in_words(&self, answer: &Answer) -> String {
        let all = self.exercise.suspects();
        let label = |key: &String| {
            let suspect = all.iter().find(|s| s.key() == *key);
            suspect.map_or(key.clone(), |s| match s.place() {
                Some(place) => place.label(),
                None => s.name(),
            })
        };
        let mut said: Vec<String> = answer.keys.iter().map(label).collect();
        if let Some(first) = said.first_mut() {
            let of_leak =
                |suspect: &Suspect| suspect.key() == answer.keys[0] && suspect.place().is_some();
            let leak = all.iter().any(of_leak);
            let kind = answer.kind.as_ref().filter(|_| leak);
            if let Some(kind) = kind {
                *first += &format!(", {}", kind.replace('_', " "));
            }
            if let Some(size) = answer.size {
                let suspect = all.iter().find(|s| s.key() == answer.keys[0]);
                let unit = suspect.map_or("", |s| unit(s.defect.dimension()).0);
                *first += &format!(" {size} {unit}");
            }
        }
        match (answer.gave_up, said.is_empty()) {
            (true, _) => "gave up".into(),
            (false, true) => "nothing".into(),
            (false, false) => said.join("; ").trim_end().into(),
        }
    }

    /// Grades an answer after the tests that were done.
    pub fn judge(&self, answer: &Answer) -> Judged {
        let truth = &self.exercise.truth;
        let mut keys = answer.keys.clone();
        keys.dedup();
        let is = |key: &String| truth.iter().any(|(one, _)| one.key() == *key);
        let named = keys.iter().filter(|key| is(key)).count();
        let extra = keys.len() > named;
        let meant = keys.first().and_then(|key| self.meant(key));
        let verdict = match (truth.is_empty(), answer.gave_up) {
            (_, true) => "gave_up",
            (true, false) if keys.is_empty() => "healthy_right",
            (true, false) => "was_healthy",
            _ if named == truth.len() && !extra => "right",
            _ if named > 0 => "some",
            _ if keys.iter().any(|key| self.part(key)) => "other_way",
            _ if meant.is_some() => "twin",
            _ => "wrong",
        };
        let mut judged = Judged {
            verdict,
            named,
            truths: truth.len(),
            extra,
            kind: None,
            size: None,
            unit: "",
            near: None,
            points: 0.0,
        };
        let (suspect, hole) = match meant {
            Some((suspect, size)) if !answer.gave_up && verdict != "other_way" => (suspect, size),
            _ => return self.pointed(judged, keys.len(), false),
        };
        self.sized(&mut judged, answer, suspect, hole);
        let leak = suspect.place().is_some();
        self.pointed(judged, keys.len(), leak)
    }

    /// The truth that a key is about: itself, or what no reading tells from it.
    fn meant(&self, key: &str) -> Option<(Suspect, f64)> {
        let truth = &self.exercise.truth;
        let own = truth.iter().find(|(one, _)| one.key() == key);
        let all = self.exercise.suspects();
        let curves: Vec<usize> = all
            .iter()
            .filter(|s| s.key() == key)
            .map(|s| s.curve)
            .collect();
        let alike = || truth.iter().find(|(one, _)| curves.contains(&one.curve));
        own.or_else(alike).copied()
    }

    /// Whether the part is at fault, whichever way.
    fn part(&self, key: &str) -> bool {
        let all = self.exercise.suspects();
        let part = all.iter().find(|s| s.key() == key).map(Suspect::part);
        let mut truth = self.exercise.truth.iter();
        part.is_some() && truth.any(|(one, _)| Some(one.part()) == part)
    }

    /// Kind and size of the first thing that was named, beside what it is.
    fn sized(&self, judged: &mut Judged, answer: &Answer, suspect: Suspect, hole: f64) {
        let mut put_in = self.defects.iter();
        let put_in = put_in.find(|d| d.place() == suspect.place() && d.kind() == suspect.kind());
        let shape = match put_in {
            Some(Defect::Leak(leak)) => Some(leak.shape),
            _ => None,
        };
        judged.kind = shape.map(|shape| answer.kind.as_deref() == Some(shape.name()));
        // In the measure of its own shape; a hole is what any leak amounts to.
        let round = Leak::<f64>::hole(Place::ColdPipe, 1e-3).shape.name();
        let (size, dimension) = match shape {
            Some(shape) if judged.kind == Some(true) => (shape.size(), shape.measure().dimension),
            Some(_) if answer.kind.as_deref() != Some(round) => return,
            Some(_) => (hole, Dimension::Length),
            None => (hole, suspect.defect.dimension()),
        };
        let (unit, factor) = unit(dimension);
        let healthy = put_in.map_or(0.0, Defect::healthy);
        judged.unit = unit;
        judged.size = Some(size * factor);
        judged.near = answer
            .size
            .map(|said| (said / factor - size).abs() <= NEAR * (size - healthy).abs());
    }

    fn pointed(&self, judged: Judged, keys: usize, leak: bool) -> Judged {
        let [place, kind, size, minutes] = POINTS;
        let most = judged.truths.max(keys).max(1) as f64;
        let share = match judged.verdict {
            "healthy_right" => 1.0,
            "right" | "some" => judged.named as f64 / most,
            "twin" => 0.6 / most,
            "other_way" => 0.2 / most,
            _ => 0.0,
        };
        let counts = |asked: bool, got: Option<bool>, points: f64| match (asked, got) {
            (false, _) => (0.0, 0.0),
            (true, Some(true)) => (points * share, points),
            (true, _) => (0.0, points),
        };
        let in_time = Some(self.exercise.minutes() <= MINUTES);
        let parts = [
            (place * share, place),
            counts(leak, judged.kind, kind),
            counts(judged.truths > 0, judged.near, size),
            counts(true, in_time, minutes),
        ];
        let sum = |of: fn(&(f64, f64)) -> f64| parts.iter().map(of).sum::<f64>();
        let points = 10.0 * sum(|part| part.0) / sum(|part| part.1);
        Judged {
            points: (10.0 * points).round() / 10.0,
            ..judged
        }
    }
}

/// The unit in which people say a size, and what SI is multiplied by.
pub(crate) fn unit(dimension: Dimension) -> (&'static str, f64) {
    match dimension {
        Dimension::Length => ("mm", 1e3),
        Dimension::PressureDifference => ("kPa", 1e-3),
        _ => ("", 1.0),
    }
}
