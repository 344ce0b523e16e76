//! The rows of one chunk in a file of their own, with a checksum.
//!
//! The first line says which study and chunk it is, how many rows follow, and their
//! SHA-256; the rows are those of the final CSV file, to the byte.

use crate::answer::door::{WriteError, write_beside};
use crate::input::read_at_most;
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// Form of the file; another form is another number.
const FORM: &str = "falseair sweep chunk 1";

/// Largest file, bytes: a chunk's rows are held in memory.
const LONGEST: u64 = 1 << 30;

/// Where a chunk's file stands.
pub fn path(folder: &Path, chunk: u64) -> PathBuf {
    folder.join(format!("{chunk:07}.csv"))
}

/// Writes a chunk.
///
/// # Errors
/// The file cannot be written; nothing is left of it.
pub fn write(
    folder: &Path,
    study: &str,
    chunk: u64,
    rows: u64,
    body: &[u8],
) -> Result<(), WriteError> {
    let mut bytes = head(study, chunk, rows, body).into_bytes();
    bytes.extend_from_slice(body);
    write_beside(&path(folder, chunk), &bytes)
}

/// The rows of a chunk; none if its file is missing, cut short, altered, or of another study.
///
/// # Errors
/// The file is there and cannot be read.
pub fn read(folder: &Path, study: &str, chunk: u64, rows: u64) -> io::Result<Option<Vec<u8>>> {
    let file = File::open(path(folder, chunk));
    let bytes = match file.and_then(|file| read_at_most(file, LONGEST)) {
        Err(e) if e.kind() == ErrorKind::NotFound => return Ok(None),
        read => read?,
    };
    let Some(end) = bytes.iter().position(|byte| *byte == b'\n') else {
        return Ok(None);
    };
    let (first, body) = bytes.split_at(end + 1);
    Ok((first == head(study, chunk, rows, body).as_bytes()).then(|| body.to_vec()))
}

fn head(study: &str, chunk: u64, rows: u64, body: &[u8]) -> String {
    format!(
        "# {FORM} {study} {chunk} {rows} {}\n",
        hex(&Sha256::digest(body))
    )
}

/// Bytes as hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
