//! The folder of a sweep: whose it is, who is at work in it.

use crate::answer::Trouble;
use crate::answer::door;
use crate::commands::sweep::manifest::{Manifest, other};
use crate::commands::sweep::{CHUNKS, ResultFormat, assemble};
use std::fs::{self, File};
use std::path::Path;

/// The file that the one at work in a folder holds.
const LOCK: &str = ".lock";

/// A folder that nobody else works in while this is kept.
pub struct Held {
    _lock: File,
}

impl Held {
    /// Makes the folder where it is missing, and takes it.
    ///
    /// # Errors
    /// Another process is at work in it; it cannot be used.
    pub fn take(out: &Path) -> Result<Self, Trouble> {
        door::folder(out).map_err(|e| unusable(out, &e))?;
        ours_or_empty(out)?;
        let taken = door::lock(&out.join(LOCK)).map_err(|e| unusable(out, &e))?;
        let _lock = taken.map_err(|who| {
            let who = match who.as_str() {
                "" => String::new(),
                who => format!(" (process {who})"),
            };
            other(format!(
                "another sweep is at work in `{}`{who}: wait for it, or take another folder\n\
                 several share one study with `--part K/N`, each in a folder of its own",
                out.display()
            ))
        })?;
        Ok(Self { _lock })
    }
}

/// Checks that a folder is one of a sweep, has nothing in it, or is not there.
///
/// # Errors
/// It is another's; what it holds.
pub fn ours_or_empty(out: &Path) -> Result<(), Trouble> {
    if !out.is_dir() || Manifest::read(out)?.is_some() {
        return Ok(());
    }
    let entries = fs::read_dir(out).map_err(|e| unusable(out, &e))?;
    let mut names = entries.flatten().map(|entry| entry.file_name());
    // A hidden one may be what is left of a manifest that was being written.
    match names.find(|name| !name.to_string_lossy().starts_with('.')) {
        // One that began in between has written its manifest first.
        Some(name) if Manifest::read(out)?.is_none() => Err(other(format!(
            "the folder `{}` is not one of a sweep and holds `{}`; take an empty one",
            out.display(),
            name.to_string_lossy()
        ))),
        _ => Ok(()),
    }
}

/// Makes `out`, which is held, a folder of the wanted study; none if that study is finished in it.
///
/// # Errors
/// It is a folder of another study, or of other things.
pub fn enter(
    out: &Path,
    wanted: Manifest,
    formats: &[ResultFormat],
) -> Result<Option<Manifest>, Trouble> {
    let shown = out.display();
    if let Some(found) = Manifest::read(out)? {
        if found.version != wanted.version {
            return Err(other(format!(
                "the folder `{shown}` was begun by version {} of this program, which may compute \
                 other numbers; take another folder",
                found.version
            )));
        }
        if found.study() != wanted.study() {
            return Err(other(format!(
                "the folder `{shown}` belongs to another study (`{}`), or the study file or its \
                 vehicle file has changed since; take another folder",
                found.title
            )));
        }
        if found.part != wanted.part {
            return Err(other(format!(
                "the folder `{shown}` holds the share {} of this study, not {}; every share needs \
                 a folder of its own",
                found.part, wanted.part
            )));
        }
        let there = |format: &ResultFormat| {
            let hash = found.files.get(format.file());
            hash.is_some() && assemble::hash_of(&out.join(format.file())).as_ref() == hash
        };
        if found.complete && found.part == "1/1" && formats.iter().all(there) {
            let leftover = out.join(CHUNKS);
            if leftover.is_dir() {
                door::clear(&leftover).map_err(|e| unusable(&leftover, &e))?;
            }
            return Ok(None);
        }
    }
    wanted.write(out)?;
    Ok(Some(wanted))
}

/// That a file or folder cannot be used, in words.
pub fn unusable(path: &Path, why: &std::io::Error) -> Trouble {
    let reason = door::reason(path, why);
    other(format!("cannot use `{}`: {reason}", path.display()))
}
