//! An exercise: worked on, told at its end. Until then a page holds it locked; see
//! [`locked`](crate::locked).

use crate::bench::{read, trouble};
use serde::{Deserialize, Serialize};
use sim::network::{Defect, Place};
use sim::study::judging::diagnose::exercise::{Advice, Done, Exercise};
use sim::study::judging::diagnose::next::NextTest;
use sim::study::running::dangers::Danger;

/// What is under the seal.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Secret {
    /// Leaks and faults, none in a healthy car; the air around it and its boost control, where they are
    /// not the usual ones; as in a scenario file.
    pub trouble: serde_json::Value,
    /// Draws how this very car differs from its make, and its readings' scatter.
    pub seed: u64,
}

impl Secret {
    /// Checked: the fault can be read, and this make of car runs with the exercise.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn checked(&self, vehicle: &str) -> Result<(), String> {
        Lesson::of(vehicle, self).map(|_| ())
    }
}

/// An exercise under way.
pub struct Lesson {
    pub(crate) exercise: Exercise,
    /// What is wrong, as it was put in.
    pub(crate) defects: Vec<Defect>,
    secret: Secret,
}

#[derive(Serialize)]
struct Shown {
    label: &'static str,
    value: f64,
    unit: &'static str,
    decimals: usize,
}

#[derive(Serialize)]
struct Step {
    key: String,
    what: String,
    minutes: f64,
    readings: Vec<Shown>,
    words: String,
    /// What it shows to be dangerous in this car.
    dangers: Vec<String>,
    /// Dangers of the work, then how it is done, line by line.
    cautions: Vec<String>,
    how: Vec<String>,
}

impl From<&Done> for Step {
    fn from(done: &Done) -> Self {
        let shown = |&(label, value, unit, decimals): &(_, f64, _, _)| Shown {
            label,
            value,
            unit,
            decimals,
        };
        Self {
            key: done.action.key.clone(),
            what: done.action.what.clone(),
            minutes: done.action.minutes,
            readings: done.readings.iter().map(shown).collect(),
            words: done.words.clone(),
            dangers: Vec::new(),
            cautions: done.action.procedure.cautions.clone(),
            how: done.action.procedure.lines(),
        }
    }
}

#[derive(Serialize)]
struct Told {
    test: String,
    what: String,
    /// Share of what is open, %.
    settles: f64,
    minutes: f64,
    /// What each of its outcomes would have meant.
    meaning: Vec<String>,
}

impl From<&NextTest> for Told {
    fn from(test: &NextTest) -> Self {
        Self {
            test: test.test.clone(),
            what: test.what.clone(),
            settles: 100.0 * test.settles,
            minutes: test.minutes,
            meaning: test.meaning.clone(),
        }
    }
}

#[derive(Serialize)]
struct Stage {
    /// What was done here; none at the end.
    done: Option<Step>,
    probability_of_the_truth: f64,
    most_probable: String,
    probability_of_that: f64,
    /// Faults that are still open, with their probabilities, the likeliest first.
    open: Vec<(String, f64)>,
    best: Option<Told>,
    chosen: Option<Told>,
}

#[derive(Serialize)]
struct Truth {
    name: String,
    key: String,
    size: f64,
    unit: &'static str,
}

#[derive(Serialize)]
struct Debrief {
    truth: Vec<Truth>,
    /// The same as it was put in, shapes and all.
    given: Vec<String>,
    trouble: serde_json::Value,
    minutes: f64,
    stages: Vec<Stage>,
}

impl Lesson {
    /// The exercise of a secret, for a vehicle.
    ///
    /// # Errors
    /// A fault that cannot be read; a car that does not run.
    pub fn of(vehicle: &str, secret: &Secret) -> Result<Self, String> {
        let ill = trouble(&secret.trouble.to_string())?.network(read(vehicle)?);
        let ill = ill.map_err(|m| format!("{}: {}", m.key, m.message))?;
        let defects: Vec<Defect> = ill.defects().collect();
        let exercise = Exercise::new(&ill.healthy(), &defects, secret.seed);
        Ok(Self {
            exercise: exercise.map_err(|e| format!("the healthy car does not run: {e}"))?,
            defects,
            secret: secret.clone(),
        })
    }

    /// Codes that were stored when the car came in, where its engine does not run, the air around it
    /// (°C, kPa) and how its boost is commanded, as JSON: `{codes, stalls, dangers, celsius, kpa,
    /// boost_control}`.
    pub fn arrival(&self) -> String {
        let found = &self.exercise.found;
        let set = found.codes.iter().filter(|(_, set)| *set);
        let codes: Vec<_> = set.map(|(code, _)| code.word()).collect();
        let stalls = found.not_running.iter();
        let stalls: Vec<_> = stalls.map(|i| &self.exercise.conditions[*i].name).collect();
        let dangers = self.exercise.dangers();
        let dangers: Vec<_> = (dangers.iter())
            .map(|one| serde_json::json!({ "words": one.words(), "parks": one.hazard.forbids_driving() }))
            .collect();
        let (air, control) = self.exercise.around();
        serde_json::json!({
            "codes": codes, "stalls": stalls, "dangers": dangers,
            "celsius": air.temperature - 273.15, "kpa": air.pressure * 1e-3,
            "boost_control": control.word(),
        })
        .to_string()
    }

    /// Dangers that are known so far.
    pub(crate) fn dangers(&self) -> Vec<String> {
        let dangers = self.exercise.dangers();
        dangers.iter().map(Danger::words).collect()
    }

    /// Does it; what was seen, as JSON: `{key, what, minutes, readings, words, dangers, cautions,
    /// how}`.
    ///
    /// # Errors
    /// There is no such action left, or a danger forbids it.
    pub fn act(&mut self, key: &str) -> Result<String, String> {
        let known = self.dangers();
        let done = self.exercise.act(key).ok_or("there is no such test left")?;
        let mut step = Step::from(done);
        step.dangers = self.dangers();
        step.dangers.retain(|danger| !known.contains(danger));
        serde_json::to_string(&step).map_err(|e| e.to_string())
    }

    /// The truth, the path, and what would have been best at each step, as JSON. Takes a
    /// second or a few.
    ///
    /// # Errors
    /// The predictions cannot be made.
    pub fn debrief(&self) -> Result<String, String> {
        let advice = self.exercise.debrief().map_err(|why| why.to_string())?;
        let steps = self.exercise.done.iter().map(|done| Some(Step::from(done)));
        let steps = steps.chain(std::iter::once(None));
        let stage = |(advice, done): (&Advice, Option<Step>)| Stage {
            done,
            probability_of_the_truth: advice.truth,
            most_probable: advice.first.0.clone(),
            probability_of_that: advice.first.1,
            open: advice.open.clone(),
            best: advice.best.as_ref().map(Told::from),
            chosen: advice.chosen.as_ref().map(Told::from),
        };
        let truth = self.exercise.truth.iter().map(|(suspect, size)| {
            let (unit, factor) = suspect.unit();
            Truth {
                name: suspect.name(),
                key: suspect.key(),
                size: size * factor,
                unit,
            }
        });
        let debrief = Debrief {
            truth: truth.collect(),
            given: given(&self.secret.trouble),
            trouble: self.secret.trouble.clone(),
            minutes: self.exercise.minutes(),
            stages: advice.iter().zip(steps).map(stage).collect(),
        };
        serde_json::to_string(&debrief).map_err(|e| e.to_string())
    }
}

/// What was put in, a line each: the place, the shape, and its sizes as they were typed.
fn given(trouble: &serde_json::Value) -> Vec<String> {
    let plain = |key: &str| key.replace('_', " ");
    let text = |value: &serde_json::Value| match value.as_str() {
        Some(text) => text.to_string(),
        None => value.to_string(),
    };
    let list = |key: &str| {
        let all = trouble[key].as_array().into_iter().flatten();
        all.filter_map(serde_json::Value::as_object)
    };
    let line = |table: &serde_json::Map<String, serde_json::Value>| {
        let parts = table
            .iter()
            .flat_map(|(key, value)| match value.as_object() {
                Some(sizes) => {
                    let sizes = sizes.iter();
                    let sizes =
                        sizes.map(|(size, value)| format!("{} {}", plain(size), text(value)));
                    std::iter::once(plain(key)).chain(sizes).collect()
                }
                None if key == "place" => {
                    let place = text(value);
                    vec![place.parse().map_or(place, Place::label)]
                }
                None => vec![format!("{} {}", plain(key), text(value))],
            });
        parts.collect::<Vec<String>>().join(", ")
    };
    list("leak").chain(list("fault")).map(line).collect()
}
