//! From which files an answer is made: their names, and what tells their bytes from others'.

use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// A file that was read, with the SHA-256 of its bytes in hexadecimal digits (FIPS 180-4), as the
/// usual tools print it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MadeFrom {
    /// Its name, without the folders above it.
    pub file: String,
    /// 64 digits.
    pub sha256: String,
}

/// By path, so that a log that is followed is there once, as it was last.
static READ: Mutex<BTreeMap<PathBuf, String>> = Mutex::new(BTreeMap::new());

fn read() -> MutexGuard<'static, BTreeMap<PathBuf, String>> {
    // A list of texts is whole after any panic.
    READ.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Forgets what was read for an earlier answer.
pub fn begin() {
    read().clear();
}

/// The files read so far, by name: the same whatever the order in which threads read them.
pub fn all() -> Vec<MadeFrom> {
    let read = read();
    let files = read.iter().map(|(path, sha256)| MadeFrom {
        file: path.file_name().map_or_else(
            || path.display().to_string(),
            |name| name.to_string_lossy().into_owned(),
        ),
        sha256: sha256.clone(),
    });
    let mut files: Vec<MadeFrom> = files.collect();
    files.sort();
    files.dedup();
    files
}

/// What is read of a file, noted when it is put away.
pub(crate) struct Noted<R> {
    file: R,
    path: PathBuf,
    hash: Sha256,
}

impl<R: Read> Noted<R> {
    pub(crate) fn new(file: R, path: &Path) -> Self {
        Self {
            file,
            path: path.into(),
            hash: Sha256::new(),
        }
    }
}

impl<R: Read> Read for Noted<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let count = self.file.read(into)?;
        self.hash.update(&into[..count]);
        Ok(count)
    }
}

impl<R> Drop for Noted<R> {
    fn drop(&mut self) {
        let digits = std::mem::take(&mut self.hash).finalize();
        let digits = digits.iter().map(|byte| format!("{byte:02x}")).collect();
        read().insert(std::mem::take(&mut self.path), digits);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The digest of "abc": FIPS 180-4's example.
    #[test]
    fn a_file_is_told_by_the_bytes_that_were_read() {
        let mut text = String::new();
        let path = Path::new("folder/abc.toml");
        (Noted::new(&b"abc"[..], path).read_to_string(&mut text)).expect("reads");
        let found = all().into_iter().find(|made| made.file == "abc.toml");
        let found = found.expect("noted");
        assert!(found.sha256.starts_with("ba7816bf8f01cfea414140de5dae2223"));
    }
}
