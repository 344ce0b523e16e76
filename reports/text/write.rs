//! Writing a file whole or not at all.

use std::fmt;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};

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
        ErrorKind::IsADirectory => "it is a folder".into(),
        _ => why.to_string(),
    }
}
