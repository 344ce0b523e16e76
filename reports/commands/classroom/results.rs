//! `falseair classroom results`: what a class answered, each held against its receipt.

use super::keys::{KeysFile, Trainee, sum};
use super::marks::{Class, Errors, Row, Step};
use super::{as_json, results_page};
use crate::answer::{Answer as Given, Answers, Asked, SchemaOf, Trouble, schema};
use crate::input::{InputError, Source, read_text};
use crate::page::Page;
use crate::say::classroom as say;
use page_engine::judged::Answer;
use page_engine::lesson::Lesson;
use page_engine::seal;
use rayon::prelude::*;
use serde::Deserialize;
use serde_json::Value;
use std::path::{Path, PathBuf};

pub(super) const HELP: &str = "\
Example:
  falseair classroom results scenarios/class/keys.toml \\
      scenarios/class/*.json --report class.html

KEYS.toml is the trainer's file of the lesson, with each name and the receipt
that was noted before the debrief key was handed over. Every answer is graded
anew from the truth in it: of a result file only tests, answer and notes are
believed, and those only as far as the receipt holds.";

/// The schema of its answer.
pub(crate) const ANSWER: SchemaOf = ("classroom-results", schema::<Class>);

/// Options of `classroom results`.
#[derive(Debug, clap::Args)]
pub struct Results {
    /// The trainer's file of the lesson.
    pub keys: PathBuf,
    /// Result files that trainees saved.
    #[arg(required = true)]
    pub results: Vec<PathBuf>,
    /// Form, file, pictures.
    #[command(flatten)]
    pub asked: Asked,
}

/// A saved result: what was given as it stood when the receipt was made, and the receipt.
#[derive(Deserialize)]
struct Saved {
    given: String,
    receipt: String,
}

/// What was given.
#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Work {
    lesson: String,
    number: u32,
    trainee: String,
    attempts: u32,
    #[allow(dead_code, reason = "held by the receipt, and read by people")]
    opened: String,
    tests: Vec<Done>,
    answer: Answer,
    seconds: f64,
    notes: String,
}

#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Done {
    key: String,
    #[allow(dead_code, reason = "held by the receipt, and read by people")]
    seconds: f64,
}

pub(super) fn results(options: &Results) -> Result<Given, Trouble> {
    let source = Source::read(&options.keys)?;
    let keys: KeysFile = source.parse()?;
    let folder = options.keys.parent().unwrap_or(Path::new(""));
    let car = as_json(&folder.join(&keys.vehicle))?;
    if sum(&car) != keys.car {
        return Err(source.error_at("car", say::CAR_CHANGED).into());
    }
    let mut came = Vec::new();
    for path in &options.results {
        let wrong = |why: serde_json::Error| InputError::new(path, say::no_result(why));
        let saved: Saved = serde_json::from_str(&read_text(path)?).map_err(wrong)?;
        let work: Work = serde_json::from_str(&saved.given).map_err(wrong)?;
        came.push((path.display().to_string(), saved, work));
    }
    let rows = came.par_iter().map(|(file, saved, work)| {
        let receipt = seal::receipt(&saved.given)?;
        let known = keys.trainee.iter().find(|one| one.number == work.number);
        let held = held(&keys, known, saved, work, &receipt);
        let name = known.filter(|one| !one.name.is_empty());
        let mut row = Row {
            number: work.number,
            name: name.map_or(&work.trainee, |one| &one.name).clone(),
            file: Some(file.clone()),
            receipt: held,
            said: String::new(),
            truth: String::new(),
            verdict: String::new(),
            points: None,
            minutes: 0.0,
            seconds: work.seconds,
            attempts: work.attempts,
            steps: Vec::new(),
            notes: work.notes.clone(),
            errors: Vec::new(),
        };
        if let Some(known) = known {
            graded(&mut row, &car, known, work)?;
        }
        Ok(row)
    });
    let rows = rows.collect::<Result<Vec<Row>, String>>();
    let rows = rows.map_err(Trouble::Other)?;
    options.asked.answer(&class(&keys, rows))
}

/// Whether an answer is the one whose receipt was noted.
fn held(
    keys: &KeysFile,
    known: Option<&Trainee>,
    saved: &Saved,
    work: &Work,
    receipt: &str,
) -> &'static str {
    let noted = |one: &Trainee| one.receipt.trim().to_lowercase();
    let (Some(known), true) = (known, work.lesson == keys.lesson) else {
        return "other lesson";
    };
    let named = !known.name.is_empty() && known.name.trim() != work.trainee.trim();
    let other = |one: &&Trainee| one.number != known.number && noted(one) == saved.receipt;
    if saved.receipt != receipt {
        // Its receipt is of another text: of a neighbour's, if one has it.
        return match keys.trainee.iter().find(other) {
            Some(_) => "neighbour's",
            None => "edited",
        };
    }
    match (named, noted(known)) {
        (true, _) => "neighbour's",
        (_, noted) if noted.is_empty() => "not noted",
        (_, noted) if noted == receipt => "holds",
        _ => "second answer",
    }
}

/// Does the tests again on the car, and grades the answer if it holds.
fn graded(row: &mut Row, car: &str, known: &Trainee, work: &Work) -> Result<(), String> {
    let mut lesson = Lesson::of(car, &known.secret()?)?;
    row.truth = lesson.truth_in_words();
    row.said = lesson.answer_in_words(&work.answer);
    for done in &work.tests {
        if lesson.act(&done.key).is_err() {
            row.receipt = "edited";
        }
    }
    row.minutes = lesson.minutes();
    if !["holds", "not noted"].contains(&row.receipt) {
        return Ok(());
    }
    let judged = lesson.judge(&work.answer);
    row.verdict = say::verdict(judged.verdict).into();
    row.points = Some(judged.points);
    let debrief: Value = serde_json::from_str(&lesson.debrief()?).map_err(|e| e.to_string())?;
    let text = |value: &Value| value.as_str().unwrap_or_default().to_string();
    let number = |value: &Value| value.as_f64().unwrap_or_default();
    let stages = debrief["stages"].as_array().into_iter().flatten();
    for stage in stages.filter(|stage| !stage["done"].is_null()) {
        let step = Step {
            test: text(&stage["done"]["what"]),
            minutes: number(&stage["done"]["minutes"]),
            truth_before_pct: 100.0 * number(&stage["probability_of_the_truth"]),
            settles_pct: stage["chosen"]["settles"].as_f64(),
            best: text(&stage["best"]["what"]),
        };
        if step.settles_pct.is_none_or(|share| share < 2.0) {
            row.errors.push(say::told_little(&step.test));
        }
        row.steps.push(step);
    }
    if !["right", "healthy_right", "gave_up"].contains(&judged.verdict) {
        row.errors.push(say::taken_for(&row.said, &row.truth));
    }
    if judged.kind == Some(false) {
        row.errors.push(say::WRONG_KIND.into());
    }
    if judged.near == Some(false) {
        row.errors.push(say::SIZE_FAR.into());
    }
    Ok(())
}

/// The class by its numbers, with those who handed in nothing, and what was seen of it.
fn class(keys: &KeysFile, mut rows: Vec<Row>) -> Class {
    for known in &keys.trainee {
        if rows.iter().all(|row| row.number != known.number) {
            rows.push(Row {
                number: known.number,
                name: known.name.clone(),
                file: None,
                receipt: "no result",
                said: String::new(),
                truth: String::new(),
                verdict: String::new(),
                points: None,
                minutes: 0.0,
                seconds: 0.0,
                attempts: 0,
                steps: Vec::new(),
                notes: String::new(),
                errors: Vec::new(),
            });
        }
    }
    rows.sort_by_key(|row| (row.number, row.receipt != "holds", row.file.clone()));
    let mut seen: Vec<String> = rows.iter().filter_map(results_page::seen).collect();
    let twice = rows.windows(2).filter(|two| two[0].number == two[1].number);
    seen.extend(twice.map(|two| say::handed_in_twice(two[0].number)));
    let mut errors: Vec<Errors> = Vec::new();
    for what in rows.iter().flat_map(|row| &row.errors) {
        match errors.iter_mut().find(|one| one.what == *what) {
            Some(known) => known.count += 1,
            None => errors.push(Errors {
                what: what.clone(),
                count: 1,
            }),
        }
    }
    errors.sort_by_key(|one| std::cmp::Reverse(one.count));
    Class {
        lesson: keys.lesson.clone(),
        vehicle: keys.vehicle.clone(),
        trainees: rows,
        seen,
        errors,
    }
}

impl Answers for Class {
    type Data<'a> = &'a Self;

    fn data(&self) -> &Self {
        self
    }

    fn page(&self) -> Page {
        results_page::page(self)
    }
}
