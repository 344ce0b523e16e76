//! What a folder of a sweep says about itself.

use crate::answer::Trouble;
use crate::answer::door::write_beside;
use crate::commands::sweep::columns::Column;
use crate::input::read_at_most;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::ErrorKind;
use std::path::Path;

/// Its file in the folder.
pub const NAME: &str = "manifest.json";

/// What was read: the study and the car, to the byte, so that the results stand alone.
pub const TEXTS: [&str; 2] = ["study.toml", "vehicle.toml"];

/// Largest, bytes.
const LONGEST: u64 = 64_000_000;

/// The study a folder belongs to, and what became of it. No times and no counts of
/// threads: it is the same however the study was run.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Title of the study.
    pub title: String,
    /// Version of the program; another one may compute other numbers.
    pub version: String,
    /// SHA-256 of the study file and the vehicle file.
    pub input_sha256: String,
    /// How the cases are chosen.
    pub sampling: String,
    /// What a sample's chance numbers come from.
    pub seed: u64,
    /// Cases of the whole study.
    pub cases: u64,
    /// Rows of the whole study.
    pub rows: u64,
    /// Cases of a chunk.
    pub chunk_cases: u64,
    /// Chunks of the whole study.
    pub chunks: u64,
    /// The share this folder holds, `1/1` for all.
    pub part: String,
    /// Whether it is finished.
    pub complete: bool,
    /// Rows with an answer; none while unfinished, and in a share.
    pub answered: Option<u64>,
    /// Rows without an answer, by kind of reason.
    pub failures: BTreeMap<String, u64>,
    /// Rows with a danger, by kind; a folder of an older version has none counted.
    #[serde(default)]
    pub dangers: BTreeMap<String, u64>,
    /// SHA-256 of each result.
    pub files: BTreeMap<String, String>,
    /// The columns of the results.
    pub columns: Vec<Column>,
}

impl Manifest {
    /// Reads a folder's; none where there is none.
    ///
    /// # Errors
    /// It cannot be read, or is none of ours.
    pub fn read(folder: &Path) -> Result<Option<Self>, Trouble> {
        let path = folder.join(NAME);
        let read = File::open(&path).and_then(|file| read_at_most(file, LONGEST));
        let text = match read {
            Err(e) if matches!(e.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => {
                return Ok(None);
            }
            Err(e) => return Err(other(format!("cannot read `{}`: {e}", path.display()))),
            Ok(text) => text,
        };
        let read = serde_json::from_slice(&text);
        read.map(Some).map_err(|e| {
            let path = path.display();
            other(format!("`{path}` is not the manifest of a sweep: {e}"))
        })
    }

    /// Writes it.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn write(&self, folder: &Path) -> Result<(), Trouble> {
        let text = serde_json::to_string_pretty(self).map_err(|e| other(e.to_string()))? + "\n";
        write_beside(&folder.join(NAME), text.as_bytes()).map_err(|e| other(e.to_string()))
    }

    /// Number of cases of a chunk.
    pub fn cases_of(&self, chunk: u64) -> u64 {
        let from = chunk * self.chunk_cases;
        self.cases.saturating_sub(from).min(self.chunk_cases)
    }

    /// Number of rows of a chunk.
    pub fn rows_of(&self, chunk: u64) -> u64 {
        self.cases_of(chunk) * (self.rows / self.cases.max(1))
    }

    /// Which share this is, of how many.
    pub fn part_of(&self) -> Option<(u64, u64)> {
        part(&self.part)
    }

    /// What makes a study: whoever agrees in this computes the same rows.
    pub fn study(&self) -> String {
        let Self {
            version,
            input_sha256,
            chunk_cases,
            chunks,
            ..
        } = self;
        format!("{version}-{input_sha256}-{chunk_cases}-{chunks}")
    }
}

/// Keeps the texts of study and car in the folder.
///
/// # Errors
/// They cannot be written.
pub fn keep(out: &Path, texts: &[String; 2]) -> Result<(), Trouble> {
    for (name, text) in TEXTS.iter().zip(texts) {
        let path = out.join(name);
        // A text that is there already was checked with the manifest's hash.
        if fs::read(&path).ok().as_deref() != Some(text.as_bytes()) {
            write_beside(&path, text.as_bytes()).map_err(|e| other(e.to_string()))?;
        }
    }
    Ok(())
}

/// The texts that a folder was made from; nothing where a file is not there.
pub fn texts(folder: &Path) -> [String; 2] {
    TEXTS.map(|name| fs::read_to_string(folder.join(name)).unwrap_or_default())
}

/// A share as it is written: `2/8`, the second of eight.
pub(super) fn part(text: &str) -> Option<(u64, u64)> {
    let (k, n) = text.split_once('/')?;
    let (k, n) = (k.parse().ok()?, n.parse().ok()?);
    (1..=n).contains(&k).then_some((k, n))
}

pub(super) fn other(message: String) -> Trouble {
    Trouble::Other(message)
}
