//! Empty folders to write into.
//!
//! All of them go at the very end only: a file system that has just taken thousands of files away
//! is slow to make new ones, and a round would be timed for what the one before left behind.

use std::path::PathBuf;
use std::sync::Mutex;

use tempfile::TempDir;

static ALL: Mutex<Vec<TempDir>> = Mutex::new(Vec::new());

/// One that nothing was written into.
pub fn folder() -> PathBuf {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().to_owned();
    ALL.lock().unwrap().push(folder);
    path
}

/// Takes all of them away.
pub fn remove_all() {
    ALL.lock().unwrap().clear();
}
