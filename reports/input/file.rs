//! Getting a file's text, or a plain reason why not.

use crate::InputError;
use crate::made_from::Noted;
use crate::{files, shelf};
use sim::spelling::nearest;
use std::fs::{self, File};
use std::io::{self, Cursor, ErrorKind, Read};
use std::path::Path;

/// The largest input read, bytes.
const LIMIT: u64 = 4_000_000;

/// Opens a file for reading: the one way to any input.
///
/// # Errors
/// It is missing, a folder, or not to be read.
pub fn open(path: &Path) -> Result<Box<dyn Read>, InputError> {
    if let Some(bytes) = shelf::held(path) {
        return Ok(Box::new(Noted::new(Cursor::new(bytes), path)));
    }
    let error = |message: String| InputError::new(path, message);
    let about = fs::metadata(path).map_err(|e| error(unopened(path, &e)))?;
    if about.is_dir() {
        return Err(error("this is a folder, not a file".into()));
    }
    files::reading(path).map_err(error)?;
    match File::open(path) {
        Ok(file) => Ok(Box::new(Noted::new(file, path))),
        Err(e) => Err(error(unopened(path, &e))),
    }
}

/// All bytes of a file, which may be a device without an end.
///
/// # Errors
/// There are more than so many (`FileTooLarge`), or they cannot be read.
pub fn read_at_most(file: impl Read, limit: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.take(limit + 1).read_to_end(&mut bytes)?;
    match bytes.len() as u64 > limit {
        true => Err(ErrorKind::FileTooLarge.into()),
        false => Ok(bytes),
    }
}

/// The text of a file, without the byte-order mark some editors put first.
///
/// # Errors
/// The file is missing, a folder, not readable, larger than 4 MB, empty or not UTF-8.
pub fn read_text(path: &Path) -> Result<String, InputError> {
    let error = |message: String| InputError::new(path, message);
    let bytes = read_at_most(open(path)?, LIMIT).map_err(|e| match e.kind() {
        ErrorKind::FileTooLarge => error("the file is larger than 4 MB".into()),
        _ => error(format!("the file could not be read: {e}")),
    })?;
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(error("the file is UTF-16 text\nsave it as UTF-8".into()));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = good.iter().filter(|byte| **byte == b'\n').count() + 1;
        error(format!(
            "the file is not UTF-8 text: line {line}\nsave it as UTF-8"
        ))
    })?;
    let text = text
        .strip_prefix('\u{feff}')
        .map(str::to_owned)
        .unwrap_or(text);
    match text.trim().is_empty() {
        true => Err(error("the file is empty".into())),
        false => Ok(text),
    }
}

fn unopened(path: &Path, why: &io::Error) -> String {
    match why.kind() {
        ErrorKind::NotFound => missing(path),
        ErrorKind::PermissionDenied => "this file may not be read by you".into(),
        _ => format!("the file could not be opened: {why}"),
    }
}

/// That a file is missing, and the nearest name in its folder.
fn missing(path: &Path) -> String {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let Ok(list) = fs::read_dir(folder) else {
        return format!("there is no folder `{}`", folder.display());
    };
    let names: Vec<String> = (list.flatten().take(10_000))
        .map(|entry| entry.file_name().to_string_lossy().into_owned())
        .collect();
    let wanted = path.file_name().unwrap_or_default().to_string_lossy();
    let names = names.iter().map(String::as_str);
    match nearest(&wanted, names) {
        Some(near) => format!(
            "there is no such file\ndid you mean `{}`?",
            path.with_file_name(near).display()
        ),
        None => "there is no such file".into(),
    }
}
