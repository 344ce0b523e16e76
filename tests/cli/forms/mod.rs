//! Every command in every form that it has, found by walking the program's own commands: it ends
//! well, fits a terminal, and says what its JSON Schema promises.

mod colour;
mod fits;

use crate::outputs::cases::{CAR, CASES, bay};
use crate::root;
use clap::{Arg, Command, CommandFactory};
use falseair::cli::Args;
use fits::fits;
use rayon::prelude::*;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Output;
use std::sync::OnceLock;

/// Columns of a terminal that are used.
const COLUMNS: usize = 79;
/// Lines of one screen; what is for looking up has no such limit.
const SCREEN: usize = 40;
const LOOKED_UP: [&str; 6] = [
    "schema",
    "schema-answer",
    "completions",
    "manual",
    "notices",
    "glossary",
];

pub(crate) fn falseair(folder: &Path, arguments: &[String]) -> Output {
    let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_falseair"));
    command.args(arguments).current_dir(folder);
    command.output().unwrap()
}

pub(crate) fn words(text: &str) -> Vec<String> {
    text.split(' ').map(String::from).collect()
}

/// What a command is asked here, where it stands in no case of the results' test.
fn further(command: &str) -> Option<Vec<String>> {
    let asked = match command {
        "schema" => words("schema scenario"),
        "diagnose plan" => words("diagnose plan scenarios/readings/lean-at-idle.toml"),
        "schema answer" => words("schema answer simulate"),
        "completions" => words("completions bash"),
        "vehicle check" => [words("vehicle check"), vec![CAR.into()]].concat(),
        "manual" | "notices" | "glossary" => words(command),
        _ => return None,
    };
    Some(asked)
}

/// Questions to a command, each with a name.
fn questions(command: &str) -> Vec<(String, Vec<String>)> {
    let cases = CASES.iter().filter(|case| case.command == command);
    // This log stands there in the place of another: it is read, and has no answer.
    let cases = cases
        .filter(|case| !(command.starts_with("diagnose") && case.arguments.contains(&"--log")));
    let cases = cases.map(|case| {
        let arguments = case.arguments.iter().map(|word| word.to_string());
        words(case.command).into_iter().chain(arguments).collect()
    });
    let all: Vec<Vec<String>> = cases.chain(further(command)).collect();
    assert!(
        !all.is_empty(),
        "`{command}` is asked nothing here: give it a case in tests/cli/outputs/cases.rs"
    );
    let name = |question: &[String]| {
        let asks = |option: &str| question.iter().any(|word| word == option);
        match command {
            "simulate" if asks("--time") => "simulate-time".into(),
            "simulate" | "diagnose" if asks("--compare") => format!("{command}-compare"),
            _ => command.replace(' ', "-"),
        }
    };
    all.into_iter().map(|all| (name(&all), all)).collect()
}

/// Commands that can be run, with their words.
fn runnable(command: &Command, path: &str, all: &mut Vec<(String, Command)>) {
    let own: Vec<&Command> = (command.get_subcommands())
        .filter(|own| own.get_name() != "help")
        .collect();
    let has = |name: &str| command.get_arguments().any(|arg| arg.get_id() == name);
    if own.is_empty() || has("format") || has("out") {
        all.push((path.into(), command.clone()));
    }
    for command in own {
        let path = format!("{path} {}", command.get_name());
        runnable(command, path.trim_start(), all);
    }
}

fn commands() -> Vec<(String, Command)> {
    let mut all = Vec::new();
    let mut top = Args::command();
    top.build();
    runnable(&top, "", &mut all);
    // Its inputs are what `sweep --part` leaves; tests/sweep runs it.
    all.retain(|(path, _)| path != "sweep join");
    all
}

fn option<'a>(command: &'a Command, name: &str) -> Option<&'a Arg> {
    command.get_arguments().find(|arg| arg.get_id() == name)
}

/// A question in one form.
pub(crate) struct Run {
    pub name: String,
    pub form: String,
    pub said: String,
    pub page: Option<String>,
}

/// Every command in every form, run once for all tests.
pub(crate) fn every_run() -> &'static [Run] {
    static RUNS: OnceLock<Vec<Run>> = OnceLock::new();
    RUNS.get_or_init(|| {
        let commands = commands();
        assert!(commands.len() > 20, "{}", commands.len());
        let runs = commands.par_iter();
        runs.flat_map_iter(|(path, command)| asked(path, command))
            .collect()
    })
}

/// Asks a command in all its forms, the first time with a page.
fn asked(path: &str, command: &Command) -> Vec<Run> {
    let forms: Vec<String> = match option(command, "format") {
        Some(arg) => (arg.get_possible_values().iter())
            .map(|value| value.get_name().to_string())
            .collect(),
        None => vec![String::new()],
    };
    let mut runs = Vec::new();
    for (i, (name, question)) in questions(path).into_iter().enumerate() {
        for (j, form) in forms.iter().enumerate() {
            let folder = bay(&format!("{name}-{i}-{form}"));
            let mut arguments = question.clone();
            if !form.is_empty() {
                arguments.extend(["--format".into(), form.clone()]);
            }
            let needed = option(command, "out").is_some_and(Arg::is_required_set);
            if needed {
                arguments.extend(words("--out result"));
            }
            // A sweep's page is made from its CSV file.
            let drawn =
                option(command, "report").is_some() && (j == 0 && path != "sweep" || form == "csv");
            if drawn {
                arguments.extend(words("--report page.html"));
            }
            let done = falseair(&folder, &arguments);
            let why = String::from_utf8_lossy(&done.stderr);
            assert!(done.status.success(), "{arguments:?}: {why}");
            let said = String::from_utf8(done.stdout).expect("text");
            let page = drawn.then(|| fs::read_to_string(folder.join("page.html")).unwrap());
            if path == "sweep" && form == "csv" {
                let rows = fs::read_to_string(folder.join("result/results.csv")).unwrap();
                rectangular(&rows).unwrap();
            }
            runs.push(Run {
                name: name.clone(),
                // What a command with results of its own prints is for reading.
                form: if needed { "table".into() } else { form.clone() },
                said,
                page,
            });
            let _ = fs::remove_dir_all(folder);
        }
    }
    runs
}

type Held = Result<(), String>;

const VERSION: &str = env!("CARGO_PKG_VERSION");

/// Text for people: as wide as a terminal, without orders to it, without what is no number.
fn readable(text: &str) -> Held {
    let bad = |line: &&str| line.chars().count() > COLUMNS || line.chars().any(char::is_control);
    match text.lines().find(bad) {
        Some(line) => Err(format!("wide, or with a control character: {line:?}")),
        None if text.trim().is_empty() => Err("it says nothing".into()),
        None => numbers(text),
    }
}

/// Lines that tell of dangers.
fn endangered(text: &str) -> usize {
    let mut within = false;
    let of = |line: &&str| {
        within = line.starts_with("DANGER") || (within && line.starts_with("  "));
        within
    };
    text.lines().filter(of).count()
}

fn numbers(text: &str) -> Held {
    let mut words = text.split(|c: char| !c.is_alphanumeric());
    match words.find(|word| ["NaN", "inf"].contains(word)) {
        Some(bad) => Err(format!("it shows {bad}")),
        None => Ok(()),
    }
}

fn rectangular(text: &str) -> Held {
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let heads: Vec<String> = rows.headers().unwrap().iter().map(String::from).collect();
    if heads.iter().collect::<BTreeSet<_>>().len() < heads.len() {
        return Err(format!("a head twice: {heads:?}"));
    }
    let all: Result<Vec<_>, _> = rows.records().collect();
    match all.map_err(|e| e.to_string())?.len() {
        0 => Err("no rows".into()),
        _ => numbers(text),
    }
}

fn marked(text: &str) -> Held {
    match text.starts_with('#') && !text.contains('<') {
        true => numbers(text),
        false => Err("no title, or a raw `<`".into()),
    }
}

impl Run {
    /// An answer for people fits a screen; dangers alone may make it longer.
    fn one_screen(&self) -> Held {
        let (all, dangers) = (self.said.lines().count(), endangered(&self.said));
        match all > SCREEN.max(dangers + SCREEN / 2) && !LOOKED_UP.contains(&self.name.as_str()) {
            true => Err(format!(
                "{all} lines, {dangers} of them of dangers:\n{}",
                self.said
            )),
            false => Ok(()),
        }
    }

    fn held(&self) -> Held {
        if let Some(page) = &self.page {
            let whole = page.starts_with("<!DOCTYPE html>") && page.ends_with("</html>");
            if !whole || page.contains("NaN") {
                return Err("its page is not whole".into());
            }
            if !page.contains(&format!("<p>Made by falseair {VERSION}")) {
                return Err("its page does not say which version made it".into());
            }
        }
        match self.form.as_str() {
            "table" => readable(&self.said).and_then(|()| self.one_screen()),
            "csv" => rectangular(&self.said),
            "markdown" => marked(&self.said),
            "json" => {
                let read: Result<Value, _> = serde_json::from_str(&self.said);
                let read = read.map_err(|e| e.to_string())?;
                // A schema of files is no answer.
                match self.name.starts_with("schema") || read["falseair_version"] == VERSION {
                    true => Ok(()),
                    false => Err("it does not say which version made it".into()),
                }
            }
            _ => Ok(()),
        }
    }
}

/// The JSON Schemas of answers that the program knows, by name.
fn schemas() -> Vec<(String, Value)> {
    let print = |more: &str| {
        let done = falseair(root(), &words(format!("schema answer {more}").trim_end()));
        String::from_utf8(done.stdout).unwrap()
    };
    let names = print("");
    assert!(names.lines().count() > 3, "{names}");
    let schema = |name: &str| serde_json::from_str(&print(name)).unwrap();
    names
        .lines()
        .map(|name| (name.to_string(), schema(name)))
        .collect()
}

/// Leaves answers for `tests/schema/conform.sh`, where an outside checker holds each against its
/// schema.
fn leave(name: &str, schema: &Value, answers: &[Value]) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("conform");
    fs::create_dir_all(&folder).unwrap();
    let cases: Vec<Value> = (answers.iter())
        .map(|answer| json!({ "file": answer, "fits": true, "what": "an answer" }))
        .collect();
    let all = json!({ "schema": schema, "cases": cases });
    fs::write(
        folder.join(format!("answer-{name}.json")),
        format!("{all:#}\n"),
    )
    .unwrap();
}

/// Every form of every command; `conform` in its name: it writes the answers down.
#[test]
fn every_command_in_every_form_conforms() {
    let runs = every_run();
    let schemas = schemas();
    let mut faults = Vec::new();
    for (name, schema) in &schemas {
        let required = schema["required"].as_array().unwrap();
        assert!(required.contains(&json!("falseair_version")), "{name}");
        let of = runs
            .iter()
            .filter(|run| run.name == *name && run.form == "json");
        let answers = of.filter_map(|run| serde_json::from_str(&run.said).ok());
        let answers: Vec<Value> = answers.collect();
        let wrong = answers
            .iter()
            .filter_map(|answer| fits(answer, schema).err());
        faults.extend(wrong.map(|why| format!("{name}: {why}")));
        leave(name, schema, &answers);
    }
    for run in runs {
        let held = run.held();
        faults.extend(
            held.err()
                .map(|why| format!("{} --format {}: {why}", run.name, run.form)),
        );
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
