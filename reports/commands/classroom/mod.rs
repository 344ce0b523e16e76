//! `falseair classroom`: one page that holds the engine, a car, and perhaps a hidden fault.

mod keys;
mod lessons;
mod marks;
mod page;
mod results;
mod results_page;
mod sheets;

use crate::answer::write::{OutFile, Output};
use crate::answer::{Answer, SchemaOf, Trouble};
use crate::input::case::read;
use crate::input::{Source, read_text, read_toml};
use crate::say::classroom as say;
use clap::ValueHint;
use keys::{KeysFile, Trainee};
use page_engine::bench::KEPT;
use page_engine::lesson::Secret;
use page_engine::{class, locked, seal};
use serde_json::Value;
use sim::network::Vehicle;
use std::path::{Path, PathBuf};

pub(crate) const HELP: &str = "\
Examples:
  falseair classroom scenarios/vehicles/brindle-16.toml --out lesson.html
  falseair classroom CAR.toml --out lesson.html --hide SCENARIO.toml \\
    --exercise exercise.html --answers answers.html
  falseair classroom CAR.toml --out lesson.html --class 6 --keys keys.toml \\
    --slips slips.html
  falseair classroom results keys.toml RESULT.json... --report class.html

The page opens from disk and needs no network. What is hidden is the
scenario's: leaks and faults, or a healthy car without; the air, the boost
control. Its operating points are not used: an exercise has its own. Trainees
open it with the opening key; the debrief key, or your passphrase, tells the
truth. The page holds neither.";

/// The schemas of its answers.
pub(crate) const ANSWERS: [SchemaOf; 1] = [results::ANSWER];

/// Where a passphrase is looked for, when no file is given.
const PASSPHRASE: &str = "FALSEAIR_PASSPHRASE";

/// Options of `classroom`.
#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub struct Classroom {
    /// Vehicle file.
    #[arg(required = true)]
    pub vehicle: Option<PathBuf>,
    /// File for the page.
    #[arg(long, required = true, value_name = "LESSON.html", value_hint = ValueHint::FilePath)]
    pub out: Option<OutFile>,
    /// Scenario of this vehicle whose leaks and faults, or healthy car, are
    /// hidden in the lesson.
    #[arg(long, group = "locked_in", value_name = "SCENARIO.toml")]
    pub hide: Option<PathBuf>,
    /// Trainees: each gets a car of this make and a fault of its own.
    #[arg(long, value_name = "N", requires = "keys", group = "locked_in",
        value_parser = clap::value_parser!(u32).range(1..=40))]
    pub class: Option<u32>,
    /// File for the keys and the truth, for the trainer alone; `classroom results`
    /// reads it.
    #[arg(long, requires = "locked_in", value_name = "KEYS.toml", value_hint = ValueHint::FilePath)]
    pub keys: Option<OutFile>,
    /// File for the opening keys, to print and cut.
    #[arg(long, value_name = "SLIPS.html", requires = "locked_in", value_hint = ValueHint::FilePath)]
    pub slips: Option<OutFile>,
    /// File whose first line is the debrief key; else the variable
    /// FALSEAIR_PASSPHRASE; else one is made.
    #[arg(long, value_name = "FILE", requires = "hide")]
    pub passphrase_file: Option<PathBuf>,
    /// Draws how each car differs from its make, and the faults of a class; by
    /// chance if not given.
    #[arg(long, value_name = "N")]
    pub seed: Option<u32>,
    /// File for a sheet with the exercise, to print.
    #[arg(long, value_name = "SHEET.html", requires = "hide", value_hint = ValueHint::FilePath)]
    pub exercise: Option<OutFile>,
    /// File for a sheet with the answers; keep it away from the exercise.
    #[arg(long, value_name = "SHEET.html", requires = "hide", value_hint = ValueHint::FilePath)]
    pub answers: Option<OutFile>,
    /// What else it can do.
    #[command(subcommand)]
    pub task: Option<Task>,
}

/// What else `classroom` can do.
#[derive(Debug, clap::Subcommand)]
pub enum Task {
    /// What a class answered: result files and receipts, on one page.
    #[command(after_help = results::HELP)]
    Results(results::Results),
    /// Eight lessons ready to teach: a trainer's book and worksheets, to print.
    #[command(after_help = lessons::HELP)]
    Lessons(lessons::Lessons),
}

/// Runs the command.
///
/// # Errors
/// Files that cannot be used; no passphrase; a page that cannot be written.
pub fn classroom(options: &Classroom) -> Result<Answer, Trouble> {
    match (&options.task, &options.vehicle, &options.out) {
        (Some(Task::Results(options)), ..) => results::results(options),
        (Some(Task::Lessons(options)), ..) => lessons::lessons(options),
        (None, Some(vehicle), Some(out)) => lesson(options, vehicle, out),
        _ => Err(Trouble::Other("a vehicle file and --out are needed".into())),
    }
}

fn lesson(options: &Classroom, path: &Path, out: &OutFile) -> Result<Answer, Trouble> {
    let vehicle: Vehicle<f64> = read_toml(path)?;
    let car = as_json(path)?;
    let (mut files, mut made): (Vec<Output>, _) = (Vec::new(), String::new());
    let mut secrets = Vec::new();
    if let Some(hidden) = &options.hide {
        let secret = secret(hidden, path, options)?;
        let wrong = |why: String| Trouble::Other(format!("`{}`: {why}", hidden.display()));
        secret.checked(&car).map_err(wrong)?;
        let wanted = [&options.exercise, &options.answers];
        if wanted.iter().any(|file| file.is_some()) {
            let sheets = sheets::sheets(&vehicle.name, &car, &secret).map_err(Trouble::Other)?;
            let sheets = wanted.into_iter().zip(sheets);
            files.extend(sheets.filter_map(|(file, html)| Some(file.as_ref()?.holding(html))));
        }
        secrets.push(secret);
    }
    if let Some(count) = options.class {
        let drawn = class::class(&car, count as usize, u64::from(seed(options)?));
        secrets = drawn.map_err(Trouble::Other)?;
    }
    let mut hidden = String::new();
    if !secrets.is_empty() {
        let given = passphrase(options)?.filter(|_| options.hide.is_some());
        let class = keys(path, &car, &secrets, given.as_deref())?;
        hidden = locked_in(&class, &car, &secrets)?;
        files.extend(options.keys.as_ref().map(|file| file.holding(class.text())));
        if let Some(file) = &options.slips {
            let slips = class.slips(&vehicle.name).map_err(Trouble::Other)?;
            files.push(file.holding(slips));
        }
        if let (Some(_), Some(one)) = (&options.hide, class.trainee.first()) {
            made = say::opening(&one.opening);
            if given.is_none() {
                made += &say::passphrase(&one.debrief);
            }
        }
    }
    files.push(out.holding(page::page(&vehicle.name, &car, &hidden)));
    let said: String = (files.iter())
        .filter_map(|file| Some((file.path().display(), file.size()?.div_ceil(1000))))
        .map(|(path, size)| format!("{path}  {size} kB\n"))
        .collect();
    Ok(Answer::given(said + &made, None, Vec::new()).with(files))
}

/// Keys for each secret, made now; `given` is the debrief key.
fn keys(
    path: &Path,
    car: &str,
    secrets: &[Secret],
    given: Option<&str>,
) -> Result<KeysFile, Trouble> {
    if let Some(given) = given {
        seal::strong(given).map_err(Trouble::Other)?;
    }
    let made = || Ok::<_, Trouble>(seal::passphrase(&chance()?));
    let trainee = secrets.iter().zip(1..).map(|(secret, number)| {
        Ok(Trainee {
            number,
            name: String::new(),
            opening: made()?,
            debrief: given.map_or_else(made, |given| Ok(given.into()))?,
            receipt: String::new(),
            seed: secret.seed,
            trouble: secret.trouble.to_string(),
        })
    });
    Ok(KeysFile {
        lesson: made()?,
        vehicle: (path.canonicalize().unwrap_or_else(|_| path.into()))
            .display()
            .to_string(),
        car: keys::sum(car),
        trainee: trainee.collect::<Result<_, Trouble>>()?,
    })
}

/// Every trainee's exercise, locked, as the page holds them.
fn locked_in(class: &KeysFile, car: &str, secrets: &[Secret]) -> Result<String, Trouble> {
    let each = class.trainee.iter().zip(secrets);
    let each = each.map(|(trainee, secret)| {
        let keys = trainee.keys(&class.lesson);
        let chance = chance::<{ locked::CHANCE }>()?;
        locked::lock(car, secret, &keys, &chance).map_err(Trouble::Other)
    });
    let all = each.collect::<Result<Vec<_>, Trouble>>()?;
    serde_json::to_string(&all).map_err(|e| Trouble::Other(e.to_string()))
}

fn seed(options: &Classroom) -> Result<u32, Trouble> {
    match options.seed {
        Some(seed) => Ok(seed),
        None => Ok(u32::from_le_bytes(chance::<4>()?)),
    }
}

/// A TOML file as JSON, numbers as they are.
fn as_json(path: &Path) -> Result<String, Trouble> {
    let value: Value = Source::read(path)?.parse()?;
    Ok(value.to_string())
}

/// What changes as the engine runs is no exercise: its tests are taken at rest.
const PASSING: &str = "event";
/// Keys of a scenario that stand for nothing in an exercise.
const ASIDE: [&str; 5] = ["title", "about", "vehicle", "point", "drive"];

fn secret(path: &Path, vehicle: &Path, options: &Classroom) -> Result<Secret, Trouble> {
    // Read as a scenario first: its mistakes are told with their lines.
    let (case, source) = read(path)?;
    let named = path.with_file_name(&case.scenario.vehicle);
    if !same_file(&named, vehicle) {
        let message = say::another_car(named.display(), vehicle.display());
        return Err(source.error_at("vehicle", message).into());
    }
    let value: Value = source.parse()?;
    let keys = value.as_object().into_iter().flatten();
    let (held, other): (Vec<_>, Vec<_>) =
        keys.partition(|(key, _)| KEPT.contains(&key.as_str()) && *key != PASSING);
    let lost = other.iter().find(|(key, _)| !ASIDE.contains(&key.as_str()));
    if let Some((key, _)) = lost {
        return Err(source.error_at(key, say::not_hidden(key)).into());
    }
    let held = held
        .into_iter()
        .map(|(key, value)| (key.clone(), value.clone()));
    Ok(Secret {
        trouble: held.collect::<serde_json::Map<String, Value>>().into(),
        seed: u64::from(seed(options)?),
    })
}

/// Whether two paths lead to one file.
fn same_file(one: &Path, other: &Path) -> bool {
    let found = [one, other].map(|path| path.canonicalize().ok());
    found[0].is_some() && found[0] == found[1]
}

/// The passphrase that is given; none where none is.
fn passphrase(options: &Classroom) -> Result<Option<String>, Trouble> {
    let found = match &options.passphrase_file {
        Some(path) => read_text(path)?,
        None => std::env::var(PASSPHRASE).unwrap_or_default(),
    };
    let first = found.lines().next().unwrap_or("").trim();
    Ok((!first.is_empty()).then(|| first.to_string()))
}

/// So many bytes from the machine's source of chance.
fn chance<const N: usize>() -> Result<[u8; N], Trouble> {
    let mut bytes = [0; N];
    let filled = getrandom::fill(&mut bytes);
    filled.map_err(|e| Trouble::Other(format!("this machine gives no chance numbers: {e}")))?;
    Ok(bytes)
}
