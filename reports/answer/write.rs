//! Writing a file whole or not at all, and all results of a command together.
//!
//! A command writes nothing itself: it hands over [`Output`]s, which only the options of the
//! command line make ([`OutFile`], [`OutFolder`]). They are checked together and then written.

use crate::input::files;
use clap::ArgMatches;
use std::ffi::OsString;
use std::fmt;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::ops::Deref;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

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
}

/// Checks what the command line names for results, before anything is read.
///
/// # Errors
/// Two results would meet, in words.
pub fn named(matches: &ArgMatches) -> Result<(), String> {
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
    files::claim(&files, &folders)
}

/// Writes all results of a command, none of them if one would replace what was read or meet
/// another.
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
    for folder in paths(&folders) {
        fs::create_dir_all(folder)
            .map_err(|e| format!("cannot make the folder `{}`: {e}", folder.display()))?;
    }
    for Output { path, bytes } in files {
        write_beside(path, bytes.as_deref().unwrap_or_default()).map_err(|e| e.to_string())?;
    }
    Ok(())
}

/// A file that could not be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WriteError {
    path: PathBuf,
    message: String,
}

impl WriteError {
    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl fmt::Display for WriteError {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        let Self { path, message } = self;
        write!(f, "cannot write `{}`: {message}", path.display())
    }
}

impl std::error::Error for WriteError {}

/// Writes a file by way of a temporary one beside it, so that a reader sees the
/// old content or the new, never a part.
///
/// A path that is a device or a pipe is written to directly.
///
/// # Errors
/// The folder is missing or may not be written, the path is a folder, the disk
/// is full, or another fault of the file system; the old content, if any, is untouched.
pub fn write_beside(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    // Through a link to the file it points at, which the renaming would else replace.
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.into());
    let written = match fs::metadata(&target) {
        Ok(about) if about.is_dir() => Err(ErrorKind::IsADirectory.into()),
        Ok(about) if !about.is_file() => {
            let device = OpenOptions::new().write(true).open(&target);
            device.and_then(|mut device| device.write_all(bytes))
        }
        _ => replace(&target, bytes),
    };
    written.map_err(|why| WriteError {
        path: path.into(),
        message: reason(path, &why),
    })
}

fn replace(target: &Path, bytes: &[u8]) -> io::Result<()> {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let Some(name) = target.file_name() else {
        return Err(ErrorKind::IsADirectory.into());
    };
    let count = COUNT.fetch_add(1, Ordering::Relaxed);
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(name);
    hidden.push(format!(".{}-{count}.part", std::process::id()));
    let part = target.with_file_name(hidden);
    let written = File::create_new(&part).and_then(|mut file| {
        file.write_all(bytes)?;
        file.sync_all()
    });
    let moved = written.and_then(|()| fs::rename(&part, target));
    if moved.is_err() {
        // The first fault is the one to report; a leftover is all that can remain.
        let _ = fs::remove_file(&part);
    }
    moved
}

/// Why a file could not be written, in words.
pub(crate) fn reason(path: &Path, why: &io::Error) -> String {
    let folder = path.parent().filter(|f| !f.as_os_str().is_empty());
    let folder = folder.unwrap_or(Path::new(".")).display();
    match why.kind() {
        ErrorKind::NotFound => format!("there is no folder `{folder}`"),
        ErrorKind::NotADirectory => format!("`{folder}` is not a folder"),
        ErrorKind::PermissionDenied => format!("the folder `{folder}` may not be written by you"),
        ErrorKind::ReadOnlyFilesystem => format!("the folder `{folder}` is read-only"),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full".into(),
        ErrorKind::FileTooLarge => "it would be larger than files may be here".into(),
        ErrorKind::IsADirectory => "it is a folder".into(),
        _ => why.to_string(),
    }
}
