//! What a page asks: a command's own answer as data, of files that are handed over as texts. The
//! page has no command line and no disk; it has the same readers and the same commands.

use crate::answer::choices::choices;
use crate::answer::{Answer, Asked, Form, Trouble};
use crate::commands::diagnose::{Diagnose, Told, diagnose_in_steps};
use crate::commands::log::{LogArgs, log};
use crate::commands::vehicle::{self, Check, New};
use crate::commands::workshop::{self, Workshop};
use crate::input::{Source, invented, made_from, shelf};
use serde::Deserialize;
use serde_json::{Value, json};
use sim::network::Vehicle;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// A question; files by the names under which they are handed over.
#[derive(Deserialize)]
#[serde(tag = "ask", rename_all = "snake_case", deny_unknown_fields)]
enum Question {
    /// `diagnose`.
    Diagnose {
        readings: PathBuf,
        #[serde(default)]
        pairs: bool,
    },
    /// `log`.
    Log {
        log: PathBuf,
        mapping: Option<PathBuf>,
    },
    /// `vehicle new`: the car's file and what is in doubt of it come among the files.
    NewCar { numbers: PathBuf, car: PathBuf },
    /// `vehicle check`.
    CheckCar { car: PathBuf },
    /// `workshop` and the question's name.
    Workshop { question: String, file: PathBuf },
    /// A vehicle file, read and checked: what it is.
    Car { car: PathBuf },
    /// Any file of ours as JSON, its quantities as they were written.
    Read { file: PathBuf },
    /// What there is to choose from.
    Words,
}

/// Answers a question, both as JSON: `{"answer": TEXT, "files": {NAME: TEXT}, "failures": [LINE]}`,
/// the answer as the command prints it for programs; or `{"wrong": {"message", "file", "key",
/// "line"}}`. `first` is given what is known of an answer that takes longer, in the same form with
/// `"look": [4, 30]` where it is a first look at a long log, from so many stretches of so many; and before
/// it `{"tried": [3, 40]}`: how many faults have been tried, and of how many.
pub fn ask(question: &str, files: &str, first: &mut dyn FnMut(&str)) -> String {
    let answered = asked(question, files, first);
    match answered {
        Ok(value) => value,
        Err(Trouble::Input(e)) => json!({ "wrong": {
            "message": e.message(), "file": e.path(), "key": e.key(), "line": e.line(),
        } }),
        Err(Trouble::Other(message)) => json!({ "wrong": { "message": message } }),
    }
    .to_string()
}

fn asked(question: &str, files: &str, first: &mut dyn FnMut(&str)) -> Result<Value, Trouble> {
    let other = |e: serde_json::Error| Trouble::Other(e.to_string());
    let question: Question = serde_json::from_str(question).map_err(other)?;
    let files: BTreeMap<PathBuf, String> = serde_json::from_str(files).map_err(other)?;
    let files = files.into_iter();
    made_from::begin();
    shelf::hold(files.map(|(path, text)| (path, text.into_bytes())));
    let answer = match question {
        Question::Diagnose { readings, pairs } => {
            let options = Diagnose {
                compare: None,
                readings: Some(readings),
                log: None,
                samples_per_second: None,
                twin: None,
                twins: None,
                pairs,
                follow: false,
                task: None,
                asked: Asked::data(),
            };
            diagnose_in_steps(
                &options,
                Some(&mut |step| match step {
                    Told::Tried(done, of) => first(&json!({ "tried": [done, of] }).to_string()),
                    Told::First(answer, look) => {
                        let mut answer = told(answer);
                        answer["look"] = json!(look);
                        first(&answer.to_string());
                    }
                }),
            )?
        }
        Question::Log { log: path, mapping } => log(&LogArgs {
            log: path,
            mapping,
            only: None,
            follow: false,
            samples_per_second: None,
            asked: Asked::data(),
        })?,
        Question::NewCar { numbers, car } => vehicle::new(&New::of(&numbers, &car))?,
        Question::CheckCar { car } => vehicle::check(&Check {
            file: car,
            full: false,
            format: Form::Json,
        })?,
        Question::Workshop { question, file } => {
            let none = || Trouble::Other(format!("there is no question `{question}`"));
            workshop::run(&Workshop::of(&question, &file).ok_or_else(none)?)?
        }
        Question::Car { car } => return Ok(text(self::car(&car)?)),
        Question::Read { file } => return Ok(text(Source::read(&file)?.parse::<Value>()?)),
        Question::Words => return Ok(text(choices())),
    };
    Ok(told(&answer))
}

fn text(value: Value) -> Value {
    json!({ "answer": value.to_string(), "files": {}, "failures": [] })
}

fn told(answer: &Answer) -> Value {
    let files = answer.files.iter();
    let files: BTreeMap<String, String> = files
        .filter_map(|file| Some((file.path().display().to_string(), file.text()?)))
        .collect();
    json!({
        "answer": answer.terminal.as_ref().map(ToString::to_string),
        "files": files,
        "failures": answer.failures,
    })
}

/// What a vehicle file says of its car.
fn car(path: &Path) -> Result<Value, Trouble> {
    let car: Vehicle = Source::read(path)?.parse()?;
    Ok(json!({
        "name": car.name,
        "about": car.about,
        "invented": invented(&[&car.name, &car.about]),
        "known": car.known.word(),
        "metering": car.metering.word(),
    }))
}
