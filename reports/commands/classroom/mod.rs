//! `falseair classroom`: one page that holds the engine, a car, and perhaps a hidden fault.

mod page;
mod sheets;

use crate::answer::write::{OutFile, Output};
use crate::answer::{Answer, Trouble};
use crate::input::case::read;
use crate::input::{Source, read_text, read_toml};
use crate::say::classroom as say;
use clap::ValueHint;
use page_engine::bench::KEPT;
use page_engine::lesson::Secret;
use page_engine::seal;
use serde_json::Value;
use sim::network::Vehicle;
use std::path::{Path, PathBuf};

pub(crate) const HELP: &str = "\
Examples:
  falseair classroom scenarios/vehicles/brindle-16.toml --out lesson.html
  falseair classroom CAR.toml --out lesson.html --hide SCENARIO.toml \\
    --exercise exercise.html --answers answers.html

The page opens from disk and needs no network. What is hidden is the scenario's:
leaks and faults, or a healthy car without; the air, the boost control. Its
operating points are not used: an exercise has its own. The passphrase opens the
exercise; the page does not hold it. Without one given, one is made and printed.";

/// Where a passphrase is looked for, when no file is given.
const PASSPHRASE: &str = "FALSEAIR_PASSPHRASE";

/// Options of `classroom`.
#[derive(Debug, clap::Args)]
pub struct Classroom {
    /// Vehicle file.
    pub vehicle: PathBuf,
    /// File for the page.
    #[arg(long, value_name = "LESSON.html", value_hint = ValueHint::FilePath)]
    pub out: OutFile,
    /// Scenario of this vehicle whose leaks and faults, or healthy car, are
    /// hidden in the lesson.
    #[arg(long, value_name = "SCENARIO.toml")]
    pub hide: Option<PathBuf>,
    /// File whose first line is the passphrase; else the variable
    /// FALSEAIR_PASSPHRASE; else one is made.
    #[arg(long, value_name = "FILE", requires = "hide")]
    pub passphrase_file: Option<PathBuf>,
    /// Draws how this very car differs from its make; by chance if not given.
    #[arg(long, value_name = "N", requires = "hide")]
    pub seed: Option<u32>,
    /// File for a sheet with the exercise, to print.
    #[arg(long, value_name = "SHEET.html", requires = "hide", value_hint = ValueHint::FilePath)]
    pub exercise: Option<OutFile>,
    /// File for a sheet with the answers; keep it away from the exercise.
    #[arg(long, value_name = "SHEET.html", requires = "hide", value_hint = ValueHint::FilePath)]
    pub answers: Option<OutFile>,
}

/// Runs the command.
///
/// # Errors
/// Files that cannot be used; no passphrase; a page that cannot be written.
pub fn classroom(options: &Classroom) -> Result<Answer, Trouble> {
    let vehicle: Vehicle<f64> = read_toml(&options.vehicle)?;
    let car = as_json(&options.vehicle)?;
    let mut sealed = String::new();
    let (mut files, mut made): (Vec<Output>, _) = (Vec::new(), String::new());
    if let Some(path) = &options.hide {
        let secret = secret(path, options)?;
        let phrase = match passphrase(options)? {
            Some(phrase) => phrase,
            None => {
                let phrase = seal::passphrase(&chance()?);
                made = say::passphrase(&phrase);
                phrase
            }
        };
        let wrong = |why: String| Trouble::Other(format!("`{}`: {why}", path.display()));
        secret.checked(&car).map_err(wrong)?;
        let plain = serde_json::to_string(&secret).map_err(|e| Trouble::Other(e.to_string()))?;
        let chance = chance::<{ seal::CHANCE }>()?;
        sealed = seal::seal(&plain, &phrase, &chance).map_err(Trouble::Other)?;
        let wanted = [&options.exercise, &options.answers];
        if wanted.iter().any(|file| file.is_some()) {
            let sheets = sheets::sheets(&vehicle.name, &car, &secret).map_err(Trouble::Other)?;
            let sheets = wanted.into_iter().zip(sheets);
            files.extend(sheets.filter_map(|(file, html)| Some(file.as_ref()?.holding(html))));
        }
    }
    let page = page::page(&vehicle.name, &car, &sealed);
    files.push(options.out.holding(page));
    let said: String = (files.iter())
        .filter_map(|file| Some((file.path().display(), file.size()?.div_ceil(1000))))
        .map(|(path, size)| format!("{path}  {size} kB\n"))
        .collect();
    Ok(Answer::given(said + &made, None, Vec::new()).with(files))
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

fn secret(path: &Path, options: &Classroom) -> Result<Secret, Trouble> {
    // Read as a scenario first: its mistakes are told with their lines.
    let (case, source) = read(path)?;
    let named = path.with_file_name(&case.scenario.vehicle);
    if !same_file(&named, &options.vehicle) {
        let message = say::another_car(named.display(), options.vehicle.display());
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
    let seed = match options.seed {
        Some(seed) => seed,
        None => u32::from_le_bytes(chance::<4>()?),
    };
    let held = held
        .into_iter()
        .map(|(key, value)| (key.clone(), value.clone()));
    Ok(Secret {
        trouble: held.collect::<serde_json::Map<String, Value>>().into(),
        seed: u64::from(seed),
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
