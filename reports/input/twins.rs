//! Healthy cars beside a readings file: those that it names, and a folder that grows, of which this
//! car's own records are taken, else those of its sisters.

use crate::readings::{Readings, record};
use crate::{InputError, Source, files, shelf};
use sim::spelling::nearest;
use sim::study::judging::diagnose::beside::Beside;
use sim::study::judging::diagnose::file::{HealthyTwin, ReadingsFile};
use sim::study::judging::diagnose::twin::Of;
use sim::study::judging::diagnose::whose::ThisCar;
use sim::study::knowing::doubt::CarDoubt;
use sim::study::running::dangers::{Danger, Driven};
use std::path::{Path, PathBuf};

/// Records of sisters taken at most, the newest of each car first (own choice: the tenth hardly
/// narrows what nine leave open).
const SISTERS: usize = 10;
/// Folders in a folder that are looked into: makes, and cars in them.
const DEPTH: usize = 2;

/// A record in a folder of healthy cars.
#[derive(Clone, Debug)]
pub struct Kept {
    /// Its file.
    pub path: PathBuf,
    /// What the car is called.
    pub name: String,
    /// Its make.
    pub make: String,
    /// When it was read; may be empty.
    pub date: String,
    /// What was read.
    pub file: ReadingsFile,
}

/// A record that is judged beside.
#[derive(Clone, Debug)]
pub struct Taken {
    /// Whose.
    pub of: Of,
    /// Its file.
    pub path: PathBuf,
    /// The car, where the record says.
    pub car: Option<ThisCar>,
}

/// Why a record is not taken.
#[derive(Clone, Debug)]
pub enum Aside {
    /// It cannot be read, or says not whose it is.
    Unreadable(InputError),
    /// The healthy car of the vehicle file cannot be driven so.
    NotDriven(PathBuf, String),
}

/// Dangers that a record shows.
#[derive(Clone, Debug)]
pub struct InRecord {
    /// Whose.
    pub of: Of,
    /// Its file.
    pub path: PathBuf,
    /// Those found.
    pub dangers: Vec<Danger>,
    /// Why it is judged beside all the same; none where it is not.
    pub although: Option<String>,
}

/// What stands beside a readings file.
#[derive(Default)]
pub struct Twins {
    /// For the diagnosis.
    pub beside: Beside,
    /// Records judged beside.
    pub taken: Vec<Taken>,
    /// Records of the folder that cannot be used.
    pub aside: Vec<Aside>,
    /// Records that show dangers.
    pub dangers: Vec<InRecord>,
    /// Where the folder knows this car's name only nearly: as it is called there.
    pub nearest: Option<String>,
    /// The folder asked, and whether it had anything of this car or its make.
    pub folder: Option<(PathBuf, bool)>,
}

impl Twins {
    /// Those that the file names, this car's at `given`, and of the folder (`given` or named in the
    /// file) this car's own records, else its sisters'.
    ///
    /// # Errors
    /// A record that is named cannot be used, or a folder cannot be listed.
    pub fn read(
        readings: &mut Readings,
        doubt: &CarDoubt,
        twin: Option<&Path>,
        folder: Option<&Path>,
    ) -> Result<Self, InputError> {
        let mut all = Self::default();
        let here = readings.source.path().parent().unwrap_or(Path::new(""));
        let here = here.to_path_buf();
        for (i, baseline) in readings.file.baseline.clone().into_iter().enumerate() {
            let refused = |message: String| {
                let key = format!("baseline.{i}.readings");
                readings.source.error_at(&key, message)
            };
            for path in listed(&here.join(&baseline.readings), refused)? {
                all.named(readings, i, &baseline, &path)?;
            }
        }
        if let Some(given) = twin {
            let number = readings.file.baseline.len();
            let told = HealthyTwin {
                readings: given.display().to_string(),
                of: Of::ThisCar,
                holds: 1.0,
            };
            readings.file.baseline.push(told.clone());
            for path in listed(given, |message| InputError::new(given, message))? {
                all.named(readings, number, &told, &path)?;
            }
        }
        let named = readings.file.twins.as_ref().map(|named| here.join(named));
        if let Some(folder) = folder.map(PathBuf::from).or(named) {
            all.found(readings, doubt, folder)?;
        }
        Ok(all)
    }

    /// A record that a person named: it must be of use.
    fn named(
        &mut self,
        readings: &Readings,
        number: usize,
        told: &HealthyTwin,
        path: &Path,
    ) -> Result<(), InputError> {
        let (file, passed) = record(path, &readings.vehicle)?;
        if self.healthy(readings, (told.of, path), &file, &passed)? {
            self.took(told.of, path, &file);
            self.beside.twins.push((number, file));
        }
        Ok(())
    }

    /// What a folder has of this car, else of its sisters.
    fn found(
        &mut self,
        readings: &Readings,
        doubt: &CarDoubt,
        folder: PathBuf,
    ) -> Result<(), InputError> {
        let (kept, unreadable) = folder_of(&folder)?;
        self.aside
            .extend(unreadable.into_iter().map(Aside::Unreadable));
        let who = readings.file.this_car.as_ref();
        let name = who.and_then(|who| who.name.as_deref());
        let make = who.and_then(|who| who.make.as_deref());
        let make = make.unwrap_or(&readings.vehicle.name);
        let of_make: Vec<&Kept> = kept.iter().filter(|kept| alike(&kept.make, make)).collect();
        let is_own = |kept: &&&Kept| name.is_some_and(|name| alike(&kept.name, name));
        let own: Vec<&Kept> = of_make.iter().filter(is_own).copied().collect();
        if let (true, Some(name)) = (own.is_empty(), name) {
            let names = of_make.iter().map(|kept| kept.name.as_str());
            self.nearest = nearest(name, names).map(String::from);
        }
        let (of, records) = match own.is_empty() {
            true => (Of::Sister, newest(of_make)),
            false => (Of::ThisCar, own),
        };
        self.folder = Some((folder, !records.is_empty()));
        for kept in records {
            let from = (of, kept.path.as_path());
            if !self.healthy(readings, from, &kept.file, &[])? {
                continue;
            }
            let holds = kept.file.this_car.as_ref().map_or(1.0, |car| car.holds);
            match kept
                .file
                .record((of, holds), readings.vehicle.clone(), doubt)
            {
                Ok(record) => {
                    self.took(of, &kept.path, &kept.file);
                    self.beside.records.push(record);
                }
                Err(why) => {
                    let why = Aside::NotDriven(kept.path.clone(), why.message);
                    self.aside.push(why);
                }
            }
        }
        Ok(())
    }

    fn took(&mut self, of: Of, path: &Path, file: &ReadingsFile) {
        self.taken.push(Taken {
            of,
            path: path.into(),
            car: file.this_car.clone(),
        });
    }

    /// Whether a record is judged beside: one that shows a danger is that of no healthy car unless
    /// somebody says why. What this very car showed then may be so still.
    fn healthy(
        &mut self,
        readings: &Readings,
        (of, path): (Of, &Path),
        file: &ReadingsFile,
        passed: &[Driven],
    ) -> Result<bool, InputError> {
        let found = file.endangered(&readings.vehicle, passed);
        let found =
            found.map_err(|m| InputError::new(path, format!("{}: {}", m.key, m.message)))?;
        if found.is_empty() {
            return Ok(true);
        }
        let although = file.this_car.as_ref().and_then(|car| car.although.clone());
        if of == Of::ThisCar && although.is_none() {
            let there = found.iter().filter_map(|(driven, _)| driven.clone());
            self.beside.passed.extend(there.map(|driven| Driven {
                name: format!("{} ({})", driven.name, path.display()),
                ..driven
            }));
        }
        let healthy = although.is_some();
        self.dangers.push(InRecord {
            of,
            path: path.into(),
            dangers: Danger::worst(found.into_iter().map(|(_, danger)| danger)),
            although,
        });
        Ok(healthy)
    }
}

/// Whether two names mean one thing.
fn alike(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// The newest record of each car, the newest first.
fn newest(mut records: Vec<&Kept>) -> Vec<&Kept> {
    records.sort_by(|a, b| b.date.cmp(&a.date).then(a.path.cmp(&b.path)));
    let mut cars: Vec<&Kept> = Vec::new();
    for record in records {
        if !cars.iter().any(|car| alike(&car.name, &record.name)) {
            cars.push(record);
        }
    }
    cars.truncate(SISTERS);
    cars
}

/// The records in a folder of healthy cars, by path, and what in it is none.
///
/// # Errors
/// It cannot be listed.
pub fn folder_of(folder: &Path) -> Result<(Vec<Kept>, Vec<InputError>), InputError> {
    let mut found = Vec::new();
    let mut todo = vec![(folder.to_path_buf(), 0)];
    while let Some((folder, depth)) = todo.pop() {
        for path in entries(&folder)? {
            match path.is_dir() {
                true if depth < DEPTH => todo.push((path, depth + 1)),
                false if path.extension().is_some_and(|kind| kind == "toml") => found.push(path),
                _ => {}
            }
        }
    }
    found.sort();
    let (mut kept, mut wrong) = (Vec::new(), Vec::new());
    for path in found {
        // A record that a result would replace is no mere faulty file.
        files::reading(&path).map_err(|message| InputError::new(&path, message))?;
        match Kept::read(&path) {
            Ok(one) => kept.push(one),
            Err(why) => wrong.push(why),
        }
    }
    Ok((kept, wrong))
}

impl Kept {
    fn read(path: &Path) -> Result<Self, InputError> {
        let source = Source::read(path)?;
        let file: ReadingsFile = source.parse()?;
        let who = file.this_car.clone();
        let whose = who.and_then(|who| Some((who.name?, who.make?, who.date)));
        let Some((name, make, date)) = whose else {
            let message = "whose readings? a record has `name` and `make` in `[this_car]`";
            return Err(source.error_at("this_car", message));
        };
        Ok(Self {
            path: path.into(),
            name,
            make,
            date: date.unwrap_or_default(),
            file,
        })
    }
}

fn entries(folder: &Path) -> Result<Vec<PathBuf>, InputError> {
    let failed = |why: std::io::Error| InputError::new(folder, format!("cannot be listed: {why}"));
    let entries = std::fs::read_dir(folder).map_err(failed)?;
    let mut paths: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .collect();
    paths.sort();
    Ok(paths)
}

/// A file, or those of a folder.
fn listed(path: &Path, refused: impl Fn(String) -> InputError) -> Result<Vec<PathBuf>, InputError> {
    if shelf::is_file(path) {
        return Ok(vec![path.into()]);
    }
    if !path.exists() {
        return Err(refused(format!("there is no `{}`", path.display())));
    }
    if !path.is_dir() {
        return Ok(vec![path.into()]);
    }
    let found = entries(path).map_err(|why| refused(why.message().into()))?;
    let mut found: Vec<PathBuf> = found
        .into_iter()
        .filter(|file| file.extension().is_some_and(|kind| kind == "toml"))
        .collect();
    if found.is_empty() {
        let message = format!("no readings file (`.toml`) in `{}`", path.display());
        return Err(refused(message));
    }
    found.sort();
    Ok(found)
}
