//! Files that are handed over as texts, by a page in a browser that has no disk: they are read like
//! those of a folder, before it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// By the path that names them.
type Files = BTreeMap<PathBuf, Arc<[u8]>>;

static SHELF: Mutex<Files> = Mutex::new(BTreeMap::new());

/// Puts these there, and nothing else.
pub fn hold(files: impl IntoIterator<Item = (PathBuf, Vec<u8>)>) {
    let files = files.into_iter();
    let files = files.map(|(path, bytes)| (path, Arc::from(bytes)));
    *SHELF.lock().unwrap_or_else(PoisonError::into_inner) = files.collect();
}

/// The bytes of this file, if it is there.
pub(crate) fn held(path: &Path) -> Option<Arc<[u8]>> {
    let shelf = SHELF.lock().unwrap_or_else(PoisonError::into_inner);
    shelf.get(path).cloned()
}

/// Whether there is such a file, here or on the disk.
pub fn is_file(path: &Path) -> bool {
    held(path).is_some() || path.is_file()
}
