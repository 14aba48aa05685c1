//! Run by Cargo before the program is built: hashes the program's own sources, so that a page
//! written by another version of the program is never taken for one of this version.
//!
//! In: `src/`, `themes/` and `Cargo.lock`. Out: `SHIMBOOK_SOURCES` and, of `src/photos/`,
//! `SHIMBOOK_PHOTOS` for the compiler; the same sources give the same.

#![allow(
    clippy::disallowed_methods,
    reason = "it runs before the program is built"
)]

use std::path::{Path, PathBuf};

fn main() {
    let mut files = vec![PathBuf::from("Cargo.lock")];
    println!("cargo::rerun-if-changed=Cargo.lock");
    for folder in ["src", "themes"] {
        println!("cargo::rerun-if-changed={folder}");
        files_in(Path::new(folder), &mut files);
    }
    files.sort();
    println!("cargo::rustc-env=SHIMBOOK_SOURCES={}", hash(&files));
    // Pictures take long to make: they are made again only where the room that makes them, or a
    // library, is another.
    files.retain(|file| file.starts_with("src/photos") || file.ends_with("Cargo.lock"));
    println!("cargo::rustc-env=SHIMBOOK_PHOTOS={}", hash(&files));
}

fn hash(files: &[PathBuf]) -> String {
    let mut hasher = blake3::Hasher::new();
    for file in files {
        hasher.update(file.to_string_lossy().replace('\\', "/").as_bytes());
        hasher.update(&std::fs::read(file).unwrap_or_default());
    }
    hasher.finalize().to_hex().to_string()
}

fn files_in(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            files_in(&path, files);
        } else {
            files.push(path);
        }
    }
}
