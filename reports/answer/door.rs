//! The one door to the disk: a file is written beside its place and renamed into it, so that a
//! reader sees the old content or the new, never a part.
//!
//! Nothing else in the program makes, opens for writing, renames or removes a file or folder.

use std::ffi::OsString;
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
    fn new(path: &Path, why: &io::Error) -> Self {
        Self {
            path: path.into(),
            message: reason(path, why),
        }
    }

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

/// Writes a file whole, or leaves what was there.
///
/// A path that is a device or a pipe is written to directly. A link to a file in the same
/// folder or below it is followed.
///
/// # Errors
/// The folder is missing or may not be written, the path is a folder or a link that leads out
/// of its folder, the disk is full, or another fault of the file system; the old content, if
/// any, is untouched.
pub fn write_beside(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    write_together(&[(path, bytes)])
}

/// The same for several files: each is written beside its place before the first is put there.
///
/// # Errors
/// As [`write_beside`]; what is found out before the first is put in its place leaves all as they were.
pub fn write_together(all: &[(&Path, &[u8])]) -> Result<(), WriteError> {
    let told = |path: &Path, why| WriteError::new(path, &why);
    let parts = all.iter().map(|(path, bytes)| {
        let part = match fs::metadata(path) {
            Ok(about) if about.is_dir() => Err(ErrorKind::IsADirectory.into()),
            Ok(about) if !about.is_file() => Ok(None),
            _ => Part::beside(path).and_then(|mut part| {
                part.write_all(bytes)?;
                Ok(Some(part))
            }),
        };
        part.map_err(|why| told(path, why))
    });
    let parts = parts.collect::<Result<Vec<_>, _>>()?;
    for ((path, bytes), part) in all.iter().zip(parts) {
        let placed = match part {
            Some(part) => part.place(),
            None => {
                let device = OpenOptions::new().write(true).open(path);
                device.and_then(|mut device| device.write_all(bytes))
            }
        };
        placed.map_err(|why| told(path, why))?;
    }
    Ok(())
}

/// A file that is being written beside its place; dropped before it is placed, it is gone.
#[derive(Debug)]
pub struct Part {
    file: File,
    hidden: PathBuf,
    target: PathBuf,
    placed: bool,
}

impl Part {
    /// An empty one, for a path that need not be there.
    ///
    /// # Errors
    /// As [`write_beside`].
    pub fn beside(path: &Path) -> io::Result<Self> {
        static COUNT: AtomicU32 = AtomicU32::new(0);
        let target = followed(path)?;
        let name = target.file_name().ok_or(ErrorKind::IsADirectory)?;
        let mut hidden = OsString::from(".");
        hidden.push(name);
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        hidden.push(format!(".{}-{count}.part", std::process::id()));
        let hidden = target.with_file_name(hidden);
        Ok(Self {
            file: scratch(&hidden)?,
            hidden,
            target,
            placed: false,
        })
    }

    /// Puts it in its place, kept over a loss of power.
    ///
    /// # Errors
    /// The disk is full, or another fault of the file system; the old content is untouched.
    pub fn place(mut self) -> io::Result<()> {
        self.file.sync_all()?;
        fs::rename(&self.hidden, &self.target)?;
        self.placed = true;
        synced(parent(&self.target));
        Ok(())
    }
}

impl Write for Part {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        if !self.placed {
            // The first fault is the one to report; a leftover is all that can remain.
            let _ = fs::remove_file(&self.hidden);
        }
    }
}

/// An empty file to write and read back, in place of a leftover of that name.
///
/// # Errors
/// The file system's.
pub fn scratch(path: &Path) -> io::Result<File> {
    // A link is removed, not followed.
    let _ = fs::remove_file(path);
    let mut new = File::options();
    new.read(true).write(true).create_new(true).open(path)
}

/// Removes such a file, if it is there.
pub fn unscratch(path: &Path) {
    let _ = fs::remove_file(path);
}

/// Takes a file that one process has at a time, as long as it is open; or says what the one that
/// has it wrote there: its number. A process that is gone has none.
///
/// # Errors
/// The file system's.
#[cfg(feature = "program")]
pub fn lock(path: &Path) -> io::Result<Result<File, String>> {
    if fs::symlink_metadata(path).is_ok_and(|about| about.is_symlink()) {
        return Err(io::Error::other(LINK));
    }
    let mut options = File::options();
    options.read(true).write(true).create(true).truncate(false);
    let mut file = options.open(path)?;
    match fs4::FileExt::try_lock(&file) {
        Ok(()) => {
            file.set_len(0)?;
            file.write_all(std::process::id().to_string().as_bytes())?;
            Ok(Ok(file))
        }
        Err(fs4::TryLockError::WouldBlock) => {
            // Where reading waits for the lock too, nobody is named.
            let who = fs::read_to_string(path).unwrap_or_default();
            Ok(Err(who.trim().to_string()))
        }
        Err(fs4::TryLockError::Error(e)) => Err(e),
    }
}

const LINK: &str = "it is a link; the program writes only into what is its own here";

/// Makes a folder where it is missing, and those above it.
///
/// # Errors
/// The file system's.
pub fn folder(path: &Path) -> io::Result<()> {
    fs::create_dir_all(path)
}

/// The same for a folder of the program's own in one that the user gave: no link out of it.
///
/// # Errors
/// It is a link, or the file system's.
pub fn own_folder(path: &Path) -> io::Result<()> {
    match fs::symlink_metadata(path) {
        Ok(about) if about.is_symlink() => Err(io::Error::other(LINK)),
        _ => fs::create_dir_all(path),
    }
}

/// Removes a folder of the program's own with all that is in it.
///
/// # Errors
/// The file system's.
pub fn clear(path: &Path) -> io::Result<()> {
    fs::remove_dir_all(path)
}

/// The file that a path means: itself, or what a link within its folder points at.
fn followed(path: &Path) -> io::Result<PathBuf> {
    let is_link = fs::symlink_metadata(path).is_ok_and(|about| about.is_symlink());
    if !is_link {
        return Ok(path.into());
    }
    let target = fs::canonicalize(path)
        .map_err(|_| io::Error::other("it is a link that leads nowhere; remove the link"))?;
    match target.starts_with(fs::canonicalize(parent(path))?) {
        true => Ok(target),
        false => Err(io::Error::other(format!(
            "it is a link to `{}`, out of its folder; give that file itself",
            target.display()
        ))),
    }
}

/// A renamed file is there for good only when its folder is on the disk.
fn synced(folder: &Path) {
    if cfg!(unix) {
        // Some file systems have no such thing, and some folders may be written and not read.
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}

fn parent(path: &Path) -> &Path {
    let folder = path.parent().filter(|f| !f.as_os_str().is_empty());
    folder.unwrap_or(Path::new("."))
}

/// Why a file could not be written, in words.
pub fn reason(path: &Path, why: &io::Error) -> String {
    let folder = parent(path).display();
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
