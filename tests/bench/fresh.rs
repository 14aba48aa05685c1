//! Empty folders to write into.
//!
//! All of them go at the end only: a file system that has just taken thousands of files away is slow to make new ones,
//! and a round would be timed for what the one before left behind.

use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use tempfile::TempDir;

/// Where they lie.
pub struct Fresh(TempDir, AtomicU32);

impl Fresh {
    pub fn new() -> Self {
        Self(tempfile::tempdir().unwrap(), AtomicU32::new(0))
    }

    /// One that nothing was written into.
    pub fn folder(&self) -> PathBuf {
        let folder = self.0.path().join(self.1.fetch_add(1, Ordering::Relaxed).to_string());
        std::fs::create_dir(&folder).unwrap();
        folder
    }
}
