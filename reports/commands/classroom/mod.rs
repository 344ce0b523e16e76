//! `falseair classroom`: one page that holds the engine, a car, and perhaps a hidden fault.

mod page;
mod sheets;

use crate::answer::write::{OutFile, OutFolder, Output};
use crate::answer::{Answer, Trouble};
use crate::input::case::read;
use crate::input::{Source, read_text, read_toml};
use clap::ValueHint;
use page_engine::lesson::Secret;
use page_engine::seal;
use serde_json::{Value, json};
use sim::network::Vehicle;
use std::path::{Path, PathBuf};

pub(crate) const HELP: &str = "\
Examples:
  falseair classroom scenarios/vehicles/brindle-16.toml --out lesson.html
  falseair classroom CAR.toml --out lesson.html --hide SCENARIO.toml \\
    --passphrase-file secret.txt --sheets sheets

The page opens from disk and needs no network. The hidden fault is that of the
scenario. The passphrase opens the exercise; the page does not hold it.";

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
    /// Scenario whose leaks and faults are hidden in the lesson, for this vehicle.
    #[arg(long, value_name = "SCENARIO.toml")]
    pub hide: Option<PathBuf>,
    /// File whose first line is the passphrase; else the variable
    /// FALSEAIR_PASSPHRASE.
    #[arg(long, value_name = "FILE", requires = "hide")]
    pub passphrase_file: Option<PathBuf>,
    /// Draws how this very car differs from its make; by chance if not given.
    #[arg(long, value_name = "N", requires = "hide")]
    pub seed: Option<u32>,
    /// Folder for an exercise sheet and an answer sheet to print.
    #[arg(long, value_name = "FOLDER", requires = "hide", value_hint = ValueHint::DirPath)]
    pub sheets: Option<OutFolder>,
}

/// Runs the command.
///
/// # Errors
/// Files that cannot be used; no passphrase; a page that cannot be written.
pub fn classroom(options: &Classroom) -> Result<Answer, Trouble> {
    let vehicle: Vehicle<f64> = read_toml(&options.vehicle)?;
    let car = as_json(&options.vehicle)?;
    let mut sealed = String::new();
    let mut files: Vec<Output> = Vec::new();
    if let Some(path) = &options.hide {
        let secret = secret(path, options.seed)?;
        let phrase = passphrase(options)?;
        let wrong = |why: String| Trouble::Other(format!("`{}`: {why}", path.display()));
        secret.checked(&car).map_err(wrong)?;
        let plain = serde_json::to_string(&secret).map_err(|e| Trouble::Other(e.to_string()))?;
        let chance = chance::<{ seal::CHANCE }>()?;
        sealed = seal::seal(&plain, &phrase, &chance).map_err(Trouble::Other)?;
        if let Some(folder) = &options.sheets {
            let sheets = sheets::sheets(&vehicle.name, &car, &secret).map_err(Trouble::Other)?;
            files.push(folder.made());
            files.extend(sheets.map(|(name, html)| folder.holding(name, html)));
        }
    }
    let page = page::page(&vehicle.name, &car, &sealed);
    files.push(options.out.holding(page));
    let said: String = (files.iter())
        .filter_map(|file| Some((file.path().display(), file.size()?.div_ceil(1000))))
        .map(|(path, size)| format!("{path}  {size} kB\n"))
        .collect();
    Ok(Answer::given(said, None, Vec::new()).with(files))
}

/// A TOML file as JSON, numbers as they are.
fn as_json(path: &Path) -> Result<String, Trouble> {
    let value: Value = Source::read(path)?.parse()?;
    Ok(value.to_string())
}

fn secret(path: &Path, seed: Option<u32>) -> Result<Secret, Trouble> {
    // Read as a scenario first: its mistakes are told with their lines.
    let (case, source) = read(path)?;
    if case.network.is_healthy() {
        let message = "this scenario has no `[[leak]]` and no `[[fault]]` to hide";
        return Err(source.error_at("title", message).into());
    }
    let mut value: Value = source.parse()?;
    let mut take = |key: &str| value.get_mut(key).map_or(json!([]), Value::take);
    let seed = match seed {
        Some(seed) => seed,
        None => u32::from_le_bytes(chance::<4>()?),
    };
    Ok(Secret {
        trouble: json!({ "leak": take("leak"), "fault": take("fault") }),
        seed: u64::from(seed),
    })
}

fn passphrase(options: &Classroom) -> Result<String, Trouble> {
    let found = match &options.passphrase_file {
        Some(path) => {
            let text = read_text(path)?;
            text.lines().next().unwrap_or("").trim().to_string()
        }
        None => std::env::var(PASSPHRASE).unwrap_or_default(),
    };
    match found.is_empty() {
        true => Err(Trouble::Other(format!(
            "a hidden fault needs a passphrase: give --passphrase-file, or set {PASSPHRASE}"
        ))),
        false => Ok(found),
    }
}

/// So many bytes from the machine's source of chance.
fn chance<const N: usize>() -> Result<[u8; N], Trouble> {
    let mut bytes = [0; N];
    let filled = getrandom::fill(&mut bytes);
    filled.map_err(|e| Trouble::Other(format!("this machine gives no chance numbers: {e}")))?;
    Ok(bytes)
}
