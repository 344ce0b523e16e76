//! An exercise as a page holds it: what was found when the car came in and what each test finds, each
//! under the trainee's own key and a seal of its own; the truth under the trainer's.
//!
//! So the truth, and what follows from it, is in no page's memory before the debrief. What a page without
//! a network cannot prevent: who has the trainee's key can open every test's finding without spending its
//! minutes. The receipt holds the trainee to the tests that were noted.

use crate::lesson::{Lesson, Secret};
use crate::seal::{self, Lock};
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use sim::study::judging::diagnose::effort::Risk;
use std::collections::BTreeMap;

/// Bytes of chance that [`lock`] needs at most: as many seals.
pub const CHANCE: usize = 160 * seal::CHANCE;

/// Whose exercise it is, and its two keys.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Keys {
    /// The lesson's own name: letters of chance.
    pub lesson: String,
    /// Which of the lesson's trainees, from 1.
    pub number: u32,
    /// Opens the exercise; made by [`seal::passphrase`].
    pub opening: String,
    /// Opens the truth.
    pub debrief: String,
}

/// One trainee's exercise, locked.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Locked {
    /// The lesson's own name.
    pub lesson: String,
    /// Which of the lesson's trainees, from 1.
    pub number: u32,
    /// What was found when the car came in.
    pub came: String,
    /// What each test finds, by its key.
    pub tests: BTreeMap<String, String>,
    /// A [`Secret`].
    pub truth: String,
}

/// What a seal is held to: the car, the lesson, the trainee, and what it is of.
fn bound(car: &Value, lesson: &str, number: u32, part: &str) -> String {
    format!("{lesson}|{number}|{part}|{car}")
}

/// How a part of an exercise is sealed; a drive may find dangers, which take words.
fn lock_of(part: &str) -> Lock {
    let drive = ["_idle", "_light_cruise", "_full_load"];
    match part {
        "truth" => Lock::TYPED,
        "came" => Lock::MADE_LONG,
        part if drive.iter().any(|end| part.ends_with(end)) => Lock::MADE_LONG,
        _ => Lock::MADE,
    }
}

/// Everything of an exercise found, and sealed with `chance` ([`CHANCE`] bytes, never used twice).
///
/// # Errors
/// A fault that cannot be read; a car that does not run; a passphrase that is too short.
pub fn lock(vehicle: &str, secret: &Secret, keys: &Keys, chance: &[u8]) -> Result<Locked, String> {
    let lesson = Lesson::of(vehicle, secret)?;
    let car: Value = crate::bench::read(vehicle)?;
    let mut chance = chance.chunks_exact(seal::CHANCE);
    let mut sealed = |text: &str, part: &str| {
        let once = chance.next().ok_or("not enough chance is given")?;
        let held = bound(&car, &keys.lesson, keys.number, part);
        let key = match part {
            "truth" => &keys.debrief,
            _ => &keys.opening,
        };
        seal::seal(text, key, &held, lock_of(part), once)
    };
    let truth = serde_json::to_string(secret).map_err(|e| e.to_string())?;
    let truth = sealed(&truth, "truth")?;
    let came = sealed(&lesson.arrival(), "came")?;
    let actions = lesson.exercise.actions().into_iter();
    let tests = actions.map(|action| {
        let found = found(&lesson, &action.key);
        Ok((action.key.clone(), sealed(&found.to_string(), &action.key)?))
    });
    Ok(Locked {
        lesson: keys.lesson.clone(),
        number: keys.number,
        came,
        tests: tests.collect::<Result<_, String>>()?,
        truth,
    })
}

/// What a test finds: its readings by their labels, words, and what it shows to be dangerous.
fn found(lesson: &Lesson, key: &str) -> Value {
    let mut exercise = lesson.exercise.clone();
    let known = lesson.dangers();
    // A danger that came with the car holds it back: then there is nothing to be found.
    let Some(done) = exercise.act(key) else {
        return Value::Null;
    };
    let shown = |&(label, value, _, decimals): &(&str, f64, &str, usize)| {
        let scale = 10_f64.powi(decimals as i32);
        json!([label, (value * scale).round() / scale])
    };
    let readings: Vec<Value> = done.readings.iter().map(shown).collect();
    let words = done.words.clone();
    let dangers = exercise.dangers();
    let dangers = dangers.iter().filter(|one| !known.contains(&one.words()));
    let dangers: Vec<Value> = dangers
        .map(|one| json!({ "words": one.words(), "parks": one.hazard.forbids_driving() }))
        .collect();
    json!({ "readings": readings, "words": words, "dangers": dangers })
}

/// A part of an exercise: `came`, `truth`, or what a test finds.
///
/// # Errors
/// Another key, another lesson or car, damage.
pub fn unlock(vehicle: &str, locked: &Locked, part: &str, key: &str) -> Result<String, String> {
    let car: Value = crate::bench::read(vehicle)?;
    let sealed = match part {
        "truth" => Some(&locked.truth),
        "came" => Some(&locked.came),
        test => locked.tests.get(test),
    };
    let sealed = sealed.ok_or("there is no such test")?;
    let held = bound(&car, &locked.lesson, locked.number, part);
    seal::open(sealed, key, &held, lock_of(part))
}

/// What can be done at a car of this make, as JSON: `[{key, what, minutes, loads, driven, cautions,
/// how}]`; `loads` what any danger forbids, `driven` what one forbids that lets nobody drive.
///
/// # Errors
/// A car that does not run.
pub fn tests(vehicle: &str) -> Result<String, String> {
    let healthy = Secret {
        trouble: json!({}),
        seed: 0,
    };
    let lesson = Lesson::of(vehicle, &healthy)?;
    let all = lesson.exercise.actions().into_iter();
    let all = all.map(|action| {
        json!({
            "key": action.key, "what": action.what, "minutes": action.minutes,
            "loads": action.risk == Risk::FullLoad, "driven": action.risk == Risk::Driven,
            "cautions": action.procedure.cautions, "how": action.procedure.lines(),
        })
    });
    Ok(Value::from(all.collect::<Vec<_>>()).to_string())
}
