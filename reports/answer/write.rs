//! All results of a command, written together.
//!
//! A command writes nothing itself: it hands over [`Output`]s, which only the options of the
//! command line make ([`OutFile`], [`OutFolder`]). They are checked together and then written.

use crate::answer::door;
use crate::input::files;
use clap::ArgMatches;
use std::ffi::OsString;
use std::ops::Deref;
use std::path::{Path, PathBuf};

/// A file for a result, as the command line names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutFile(PathBuf);

/// A folder for results, as the command line names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutFolder(PathBuf);

/// A result to be written, or a folder to be made, once the whole answer is there.
#[derive(Clone, Debug)]
pub struct Output {
    path: PathBuf,
    /// None for a folder.
    bytes: Option<Vec<u8>>,
}

impl OutFile {
    /// This file.
    pub fn new(path: impl Into<PathBuf>) -> Self {
        Self(path.into())
    }

    /// This result in the file.
    pub fn holding(&self, bytes: impl Into<Vec<u8>>) -> Output {
        self.beside(self.0.clone(), bytes)
    }

    /// This result in a file that belongs to this one.
    pub fn beside(&self, path: PathBuf, bytes: impl Into<Vec<u8>>) -> Output {
        let bytes = Some(bytes.into());
        Output { path, bytes }
    }
}

impl OutFolder {
    /// The folder itself, made where it is missing.
    pub fn made(&self) -> Output {
        let (path, bytes) = (self.0.clone(), None);
        Output { path, bytes }
    }

    /// A folder in this one.
    #[must_use]
    pub fn within(&self, name: impl AsRef<Path>) -> Self {
        Self(self.0.join(name))
    }

    /// This result in a file of the folder.
    pub fn holding(&self, name: impl AsRef<Path>, bytes: impl Into<Vec<u8>>) -> Output {
        let (path, bytes) = (self.0.join(name), Some(bytes.into()));
        Output { path, bytes }
    }
}

impl From<OsString> for OutFile {
    fn from(path: OsString) -> Self {
        Self(path.into())
    }
}

impl From<OsString> for OutFolder {
    fn from(path: OsString) -> Self {
        Self(path.into())
    }
}

impl Deref for OutFile {
    type Target = Path;

    fn deref(&self) -> &Path {
        &self.0
    }
}

impl Deref for OutFolder {
    type Target = Path;

    fn deref(&self) -> &Path {
        &self.0
    }
}

impl Output {
    /// Where.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// How much, bytes; none for a folder.
    pub fn size(&self) -> Option<usize> {
        self.bytes.as_ref().map(Vec::len)
    }

    /// Its text; none for a folder or what is no text.
    pub fn text(&self) -> Option<String> {
        String::from_utf8(self.bytes.clone()?).ok()
    }
}

/// Checks what the command line names for results, before anything is read.
///
/// # Errors
/// Two results would meet, or one is there already and nobody said `--force`, in words.
pub fn named(matches: &ArgMatches) -> Result<(), String> {
    let force = matches.get_flag("force");
    let (mut files, mut folders) = (Vec::new(), Vec::new());
    let mut level = Some(matches);
    while let Some(matches) = level {
        for id in matches.ids() {
            // An option of another type is no place for a result.
            let file = matches.try_get_many::<OutFile>(id.as_str());
            files.extend(file.ok().flatten().into_iter().flatten().map(Deref::deref));
            let folder = matches.try_get_many::<OutFolder>(id.as_str());
            folders.extend(
                folder
                    .ok()
                    .flatten()
                    .into_iter()
                    .flatten()
                    .map(Deref::deref),
            );
        }
        level = matches.subcommand().map(|(_, matches)| matches);
    }
    files::claim(&files, &folders, force)
}

/// Writes all results of a command, none of them if one would replace what was read or what
/// is there, or meet another.
///
/// # Errors
/// That, or what the file system objects to, in words.
pub fn write_all(outputs: &[Output]) -> Result<(), String> {
    let (files, folders): (Vec<&Output>, Vec<&Output>) =
        outputs.iter().partition(|output| output.bytes.is_some());
    fn paths<'a>(all: &[&'a Output]) -> Vec<&'a Path> {
        all.iter().map(|output| output.path()).collect()
    }
    files::apart(&paths(&files), &paths(&folders))?;
    files::free(&paths(&files))?;
    for folder in paths(&folders) {
        door::folder(folder)
            .map_err(|e| format!("cannot make the folder `{}`: {e}", folder.display()))?;
    }
    let files: Vec<(&Path, &[u8])> = files
        .iter()
        .map(|output| (output.path(), output.bytes.as_deref().unwrap_or_default()))
        .collect();
    door::write_together(&files).map_err(|e| e.to_string())
}
