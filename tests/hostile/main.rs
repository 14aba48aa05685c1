//! A thousand books that mean harm: each gives messages and a record, and nothing leaves its folder.
//!
//! Every book is written into a folder, and the program itself writes it up there with 500 MB of memory and no more. What
//! it wrote is then read as a browser would. `SHIMBOOK_KEEP=DIR cargo test --test hostile` leaves the first fifty records in
//! `DIR`, for a validator.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]

mod books;
#[path = "../fuzz/feed/mod.rs"]
mod feed;
mod found;
mod html;
mod sound;

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Output};

use books::{Thing, Things};
use rayon::prelude::*;

const BOOKS: u64 = 1000;
/// The memory the program is given, in KiB.
const MEMORY: u32 = 500_000;

/// Lays a book down, beside something that no book may reach.
fn lay_down(things: &Things, folder: &Path) {
    fs::write(folder.join("secret"), "canary of the neighbour").unwrap();
    for (path, thing) in things {
        let at = folder.join("a/book").join(path);
        fs::create_dir_all(at.parent().unwrap()).unwrap();
        match thing {
            // A name that this file system does not take is no book's fault.
            Thing::File(bytes) => drop(fs::write(&at, bytes)),
            Thing::Link(to) => symlink(to, &at).unwrap(),
            Thing::Pipe => assert!(Command::new("mkfifo").arg(&at).status().unwrap().success()),
            Thing::Folder => fs::create_dir_all(&at).unwrap(),
        }
    }
}

/// What lies in a folder by path, links and pipes unopened; the record left out.
fn lies_in(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut todo = vec![folder.to_owned()];
    while let Some(next) = todo.pop() {
        for entry in fs::read_dir(&next).unwrap().flatten().filter(|entry| entry.file_name() != "record") {
            let kind = entry.file_type().unwrap();
            if kind.is_dir() {
                todo.push(entry.path());
            }
            let bytes = if kind.is_file() { fs::read(entry.path()).unwrap() } else { Vec::new() };
            found.insert(entry.path().display().to_string(), bytes);
        }
    }
    found
}

fn write_up(book: &Path) -> Output {
    let limited = format!("ulimit -v {MEMORY}; exec \"$0\" \"$@\"");
    let mut command = Command::new("sh");
    command.args(["-c", &limited, env!("CARGO_BIN_EXE_shimbook"), "writeup"]).arg(book).env("RAYON_NUM_THREADS", "2");
    command.output().unwrap()
}

/// What is wrong with the way a book was written up.
fn trouble(seed: u64) -> Option<String> {
    let folder = tempfile::tempdir().unwrap();
    lay_down(&books::book(seed), folder.path());
    let book = folder.path().join("a/book");
    let before = lies_in(folder.path());
    let wrote = write_up(&book);
    let (said, complained) = (String::from_utf8_lossy(&wrote.stdout), String::from_utf8_lossy(&wrote.stderr));
    let wrong = match wrote.status.code() {
        Some(0 | 1) => sound::record(&book.join("record")),
        Some(2) if !complained.contains("panicked") && complained.lines().count() >= 1 => {
            Err(format!("no record: {complained}"))
        }
        _ => Err(format!("it fell over: {:?} {complained}", wrote.status)),
    };
    let steered = said.chars().any(|c| c.is_control() && c != '\n').then(|| "it steers the terminal".to_owned());
    let outside = (lies_in(folder.path()) != before).then(|| "it wrote outside the record".to_owned());
    keep(seed, &book.join("record"));
    let first = wrong.err().or(steered).or(outside)?;
    Some(format!("book {seed}: {first}"))
}

/// Leaves a record where `SHIMBOOK_KEEP` says.
fn keep(seed: u64, record: &Path) {
    if let (Ok(to), true) = (std::env::var("SHIMBOOK_KEEP"), seed < 50) {
        fs::create_dir_all(&to).unwrap();
        Command::new("cp").arg("-r").arg(record).arg(Path::new(&to).join(format!("book-{seed:02}"))).status().unwrap();
    }
}

#[test]
fn a_thousand_hostile_books_each_give_a_record_or_say_why_not_and_harm_nothing() {
    let wrong: Vec<String> = (0..BOOKS).into_par_iter().filter_map(trouble).collect();
    assert!(wrong.is_empty(), "{} of {BOOKS} books:\n{}", wrong.len(), wrong[..wrong.len().min(12)].join("\n"));
}
