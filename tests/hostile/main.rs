//! Random books that mean harm: each gives messages and a record, and nothing leaves its
//! folder.
//!
//! Every book is written into a folder, and the program itself writes it up there with 500 MB of
//! memory and two seconds of reckoning, and no more. What it wrote is then read as a browser would.
//! The records of a share of them go through an HTML validator in `tests/browser/`.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]

mod books;
#[path = "../cases/mod.rs"]
mod cases;
#[path = "../fuzz/feed/mod.rs"]
mod feed;
mod found;
mod html;
mod sound;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use books::lay_down;

/// The books of a full run.
const BOOKS: u64 = 1000;
/// The memory the program is given, in KiB.
const MEMORY: u32 = 500_000;
/// The seconds of a core it is given: two; built for tests, which makes it several times slower,
/// four.
const SECONDS: u32 = if cfg!(debug_assertions) { 4 } else { 2 };

/// What lies in a folder by path, links and pipes unopened; the record left out.
fn lies_in(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut todo = vec![folder.to_owned()];
    while let Some(next) = todo.pop() {
        for entry in fs::read_dir(&next)
            .unwrap()
            .flatten()
            .filter(|entry| entry.file_name() != "record")
        {
            let kind = entry.file_type().unwrap();
            if kind.is_dir() {
                todo.push(entry.path());
            }
            let bytes = if kind.is_file() {
                fs::read(entry.path()).unwrap()
            } else {
                Vec::new()
            };
            found.insert(entry.path().display().to_string(), bytes);
        }
    }
    found
}

fn write_up(book: &Path) -> Output {
    let limited = format!("ulimit -v {MEMORY} -t {SECONDS}; exec \"$0\" \"$@\"");
    let mut command = Command::new("sh");
    command
        .args(["-c", &limited, env!("CARGO_BIN_EXE_shimbook"), "writeup"])
        .arg(book)
        .env("RAYON_NUM_THREADS", "2");
    command.output().unwrap()
}

/// What is wrong with the way a book was written up.
fn trouble(seed: u64) -> Option<String> {
    let folder = tempfile::tempdir().unwrap();
    lay_down(&books::book(seed), folder.path());
    let book = folder.path().join("a/book");
    let before = lies_in(folder.path());
    let wrote = write_up(&book);
    let (said, complained) = (
        String::from_utf8_lossy(&wrote.stdout),
        String::from_utf8_lossy(&wrote.stderr),
    );
    let wrong = match wrote.status.code() {
        Some(0 | 1) => sound::record(&book.join("record")),
        Some(2) if !complained.contains("panicked") && complained.lines().count() >= 1 => {
            Err(format!("no record: {complained}"))
        }
        _ => Err(format!("it fell over: {:?} {complained}", wrote.status)),
    };
    let steered = said
        .chars()
        .any(|c| c.is_control() && c != '\n')
        .then(|| "it steers the terminal".to_owned());
    let outside =
        (lies_in(folder.path()) != before).then(|| "it wrote outside the record".to_owned());
    let first = wrong.err().or(steered).or(outside)?;
    Some(format!("book {seed}: {first}"))
}

#[test]
fn each_hostile_book_gives_a_record_or_says_why_not_and_harms_nothing() {
    let tried = cases::of_each("hostile", BOOKS, trouble);
    let wrong: Vec<&String> = tried.iter().flatten().collect();
    assert!(
        wrong.is_empty(),
        "{} of {} books; add `hostile SEED` to tests/cases/failed.txt for each:\n{wrong:#?}",
        wrong.len(),
        tried.len(),
    );
}
