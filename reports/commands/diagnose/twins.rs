//! Readings of healthy cars that stand beside a readings file.

use super::read_log;
use crate::answer::Trouble;
use crate::input::{InputError, Source, shelf};
use sim::Vehicle;
use sim::scenario::Mistake;
use sim::study::judging::diagnose::file::{HealthyTwin, ReadingsFile};
use sim::study::judging::diagnose::twin::Of;
use std::path::{Path, PathBuf};

/// The readings of healthy cars that the file names, and this car's at `given`; of a folder
/// those in it, by name.
pub(super) fn read(
    source: &Source,
    file: &mut ReadingsFile,
    given: Option<&Path>,
    vehicle: &Vehicle,
) -> Result<Vec<(usize, ReadingsFile)>, Trouble> {
    let folder = source.path().parent().unwrap_or(Path::new(""));
    let mut all = Vec::new();
    for (i, baseline) in file.baseline.iter().enumerate() {
        let refused = |message: String| {
            let key = format!("baseline.{i}.readings");
            source.error_at(&key, message)
        };
        for path in files(&folder.join(&baseline.readings), refused)? {
            all.push((i, one(&path, vehicle)?));
        }
    }
    if let Some(given) = given {
        let number = file.baseline.len();
        file.baseline.push(HealthyTwin {
            readings: given.display().to_string(),
            of: Of::ThisCar,
            holds: 1.0,
        });
        for path in files(given, |message| InputError::new(given, message))? {
            all.push((number, one(&path, vehicle)?));
        }
    }
    Ok(all)
}

/// A file, or those of a folder.
fn files(path: &Path, refused: impl Fn(String) -> InputError) -> Result<Vec<PathBuf>, InputError> {
    if shelf::is_file(path) {
        return Ok(vec![path.into()]);
    }
    if !path.exists() {
        return Err(refused(format!("there is no `{}`", path.display())));
    }
    if !path.is_dir() {
        return Ok(vec![path.into()]);
    }
    let failed = |why: std::io::Error| refused(format!("cannot list `{}`: {why}", path.display()));
    let entries = std::fs::read_dir(path).map_err(failed)?;
    let entries = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let mut found: Vec<PathBuf> = entries
        .filter(|file| file.extension().is_some_and(|kind| kind == "toml"))
        .collect();
    if found.is_empty() {
        let message = format!("no readings file (`.toml`) in `{}`", path.display());
        return Err(refused(message));
    }
    found.sort();
    Ok(found)
}

fn one(path: &Path, vehicle: &Vehicle) -> Result<ReadingsFile, Trouble> {
    let source = Source::read(path)?;
    let mut file: ReadingsFile = source.parse()?;
    if let Some(log) = read_log(&source, file.log.as_ref(), (None, None))? {
        let own = file.condition.len();
        file.condition.extend(log.drive().judged().conditions);
        file.ambient.pressure = file.ambient.pressure.or(Some(log.ambient));
        let all = file.condition.len();
        let at = |m: Mistake| Trouble::from(source.error_at(&m.key, m.message));
        file.drivable(vehicle, own..all).map_err(at)?;
    }
    if file.title.is_empty() {
        file.title = path.display().to_string();
    }
    Ok(file)
}
