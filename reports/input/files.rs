//! Which files one call of the program reads and which it writes: none is both, and no two
//! results meet in one.
//!
//! Whatever opens an input says so here ([`reading`]); whatever writes a result is checked
//! here first ([`apart`]). What the command line itself names is known before anything is
//! read ([`claim`]), so that nobody waits for an answer that has no place.

use std::fs::{self, Metadata};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Which file a path leads to, through links and by whatever spelling.
#[derive(Clone, Debug)]
struct Identity {
    place: PathBuf,
    /// What the file system itself tells it by, where it is there: device and number.
    number: Option<(u64, u64)>,
}

/// A path as it was spelled, and the file it leads to.
type Known = (PathBuf, Identity);

/// Files read so far; of a folder, whether all that is in it is read.
static READ: Mutex<Vec<(Known, bool)>> = Mutex::new(Vec::new());
/// Files that the command line names for results.
static CLAIMED: Mutex<Vec<Known>> = Mutex::new(Vec::new());
/// Whether results may replace what is there.
static FORCE: AtomicBool = AtomicBool::new(false);

fn locked<T>(list: &Mutex<T>) -> MutexGuard<'_, T> {
    // A list of paths is whole after any panic.
    list.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(unix)]
fn number(about: &Metadata) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    Some((about.dev(), about.ino()))
}

#[cfg(not(unix))]
fn number(_: &Metadata) -> Option<(u64, u64)> {
    None
}

/// The whole path of a file that may not be there yet, nor all the folders above it.
fn place(path: &Path) -> PathBuf {
    if let Ok(whole) = fs::canonicalize(path) {
        return whole;
    }
    let mut above = match path.parent() {
        None => return path.into(),
        Some(folder) if folder.as_os_str().is_empty() => fs::canonicalize(".").unwrap_or_default(),
        Some(folder) => place(folder),
    };
    match path.file_name() {
        Some(name) => above.push(name),
        // `missing/..`
        None => {
            above.pop();
        }
    }
    above
}

/// A path as file systems compare it: those of some systems take both cases for one.
fn folded(place: &Path) -> PathBuf {
    match cfg!(any(windows, target_vendor = "apple")) {
        true => place.to_string_lossy().to_lowercase().into(),
        false => place.into(),
    }
}

impl Identity {
    /// None for a device or a pipe: nothing in it is replaced.
    fn of(path: &Path) -> Option<Self> {
        let about = fs::metadata(path).ok();
        let plain = |about: &Metadata| about.is_file() || about.is_dir();
        about.as_ref().is_none_or(plain).then(|| Self {
            place: place(path),
            number: about.as_ref().and_then(number),
        })
    }

    fn is(&self, other: &Self) -> bool {
        match (self.number, other.number) {
            // A file that was replaced since it was read has its place still.
            (Some(a), Some(b)) => a == b || self.place == other.place,
            _ => folded(&self.place) == folded(&other.place),
        }
    }

    /// Whether it is the other, or lies in it as in a folder.
    fn within(&self, other: &Self) -> bool {
        self.is(other) || folded(&self.place).starts_with(folded(&other.place))
    }
}

fn known(paths: &[&Path]) -> Vec<Known> {
    let known = paths
        .iter()
        .filter_map(|path| Some((path.to_path_buf(), Identity::of(path)?)));
    known.collect()
}

/// Says that an input is read.
///
/// # Errors
/// The command line names the same file for a result, in words.
pub fn reading(path: &Path) -> Result<(), String> {
    let Some(file) = Identity::of(path) else {
        return Ok(());
    };
    if let Some((out, _)) = locked(&CLAIMED).iter().find(|(_, out)| out.is(&file)) {
        return Err(replaced(out, path));
    }
    locked(&READ).push(((path.into(), file), false));
    Ok(())
}

/// Says that all files in a folder are read.
pub fn reading_all_in(folder: &Path) {
    let folder = known(&[folder]).into_iter().map(|folder| (folder, true));
    locked(&READ).extend(folder);
}

/// Checks the files that results go to, and the folders that results go into: none is a file
/// that was read so far, no two are one, none lies in a file as in a folder.
///
/// # Errors
/// The first that is or does, in words; both are named.
pub fn apart(files: &[&Path], folders: &[&Path]) -> Result<(), String> {
    let (files, folders) = (known(files), known(folders));
    for (i, (path, file)) in files.iter().enumerate() {
        let read = locked(&READ);
        let input = read.iter().find(|((_, input), whole)| match whole {
            true => file.within(input),
            false => input.is(file),
        });
        if let Some(((input, _), _)) = input {
            return Err(replaced(path, input));
        }
        for (other, second) in &files[i + 1..] {
            if file.is(second) {
                return Err(met(path, other));
            }
            if file.within(second) || second.within(file) {
                return Err(nested(path, other));
            }
        }
        if let Some((folder, _)) = folders.iter().find(|(_, folder)| folder.within(file)) {
            return Err(nested(path, folder));
        }
    }
    Ok(())
}

/// Checks that no result is there already, or that this was said to be well.
///
/// # Errors
/// The first that is, in words.
pub fn free(files: &[&Path]) -> Result<(), String> {
    if FORCE.load(Ordering::Relaxed) {
        return Ok(());
    }
    let there = |path: &&&Path| match fs::symlink_metadata(path) {
        // A folder in the place of a file is for the file system to refuse; what a device is
        // given is not kept.
        Ok(_) => !path.is_dir() && Identity::of(path).is_some(),
        Err(_) => false,
    };
    match files.iter().find(there) {
        Some(path) => Err(kept(path)),
        None => Ok(()),
    }
}

/// The same for what the command line names, which inputs are then held against as they are
/// read; from now on results may replace what is there, or not.
///
/// # Errors
/// As [`apart`] and [`free`].
pub fn claim(files: &[&Path], folders: &[&Path], force: bool) -> Result<(), String> {
    FORCE.store(force, Ordering::Relaxed);
    apart(files, folders)?;
    free(files)?;
    *locked(&CLAIMED) = known(files);
    Ok(())
}

fn replaced(out: &Path, input: &Path) -> String {
    let (out, input) = (out.display(), input.display());
    format!(
        "a result for `{out}` would replace `{input}`, which this command reads; nothing was \
         written\ngive the result another file"
    )
}

fn kept(path: &Path) -> String {
    let path = path.display();
    format!("`{path}` is there already; nothing was written\nto write over it, add --force")
}

fn met(a: &Path, b: &Path) -> String {
    let (a, b) = (a.display(), b.display());
    format!(
        "results for `{a}` and `{b}` would meet in one file; nothing was written\ngive each a file \
         of its own"
    )
}

fn nested(a: &Path, b: &Path) -> String {
    let (a, b) = (a.display(), b.display());
    format!(
        "of `{a}` and `{b}`, one would be a file and the other lie in it as in a folder; nothing \
         was written\ngive each a place of its own"
    )
}
