//! What the tests need and a machine may lack.
//!
//! In: a tool's name. Out: where it is, or the word that a test is skipped; with
//! `SHIMBOOK_NEEDS_TOOLS=1` a missing tool is a failure instead.

use std::path::{Path, PathBuf};

/// Where a program stands on the `PATH`.
pub fn program(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .map(|folder| folder.join(name))
        .find(|file| file.is_file())
}

/// A file of an npm package, put here by `npm ci`: `npm("axe-core/axe.min.js")`.
pub fn npm(file: &str) -> Option<PathBuf> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("node_modules")
        .join(file);
    path.is_file().then_some(path)
}

/// Says that a test is skipped, and why.
///
/// # Panics
/// Where `SHIMBOOK_NEEDS_TOOLS=1` says that all tools must be there.
pub fn skipped(why: &str) {
    let needed = std::env::var_os("SHIMBOOK_NEEDS_TOOLS").is_some_and(|value| value == "1");
    assert!(!needed, "{why}, and SHIMBOOK_NEEDS_TOOLS=1 asks for it");
    eprintln!("skipped: {why}");
}
