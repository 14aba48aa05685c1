//! Writing up again gives what writing up anew gives, whatever the crew does to the files between.
//!
//! In: a seed. Out: a book, edited at random; after every edit the record written by the open book,
//! which reads, works out, presses and writes only what changed, is held byte for byte against the
//! record that a new program writes into an empty folder.

#![allow(
    clippy::disallowed_methods,
    reason = "a test writes books of its own and reads what was written"
)]

#[path = "../bench/big_book.rs"]
#[allow(dead_code, reason = "benches use more of it")]
mod big_book;
#[path = "../cases/mod.rs"]
mod cases;
mod edits;
mod folders;
mod work;

use big_book::Scale;
use edits::Editor;
use folders::{contents, put};
use shimbook::open_book::OpenBook;

const SMALL: Scale = Scale {
    days: 5,
    sums: 60,
    jobs: 12,
    parts: 8,
};
/// The crews of a full run.
const CREWS: u64 = 40;
const EDITS: usize = 25;

#[test]
fn after_any_edit_the_record_is_byte_for_byte_what_a_full_writeup_gives() {
    cases::of_each("again", CREWS, one_crew);
}

/// A book that is edited so many times, by editors that save in all ways.
fn one_crew(seed: u64) {
    let home = tempfile::tempdir().unwrap();
    let (folder, out) = (home.path().join("book"), home.path().join("out"));
    put(&folder, &big_book::book(SMALL, seed));
    let mut open = OpenBook::beside(&folder, &out);
    let mut editor = Editor::new(seed, folder.clone());
    for edit in 0..EDITS {
        let did = editor.edit();
        // Now and then the program is started anew: what it left in the folder must do.
        if editor.chance(6) {
            open = OpenBook::beside(&folder, &out);
        }
        if let Some(mut book) = open.look().unwrap() {
            folders::write_up(&mut book, &folder, &out);
        }
        let anew = home.path().join(format!("anew-{edit}"));
        // While a file cannot be worked with, both know its last text, and the record keeps the
        // pages that it had.
        let mut book = OpenBook::beside(&folder, &out).look().unwrap().unwrap();
        folders::write_up(&mut book, &folder, &anew);
        let (ours, theirs) = (contents(&out), contents(&anew));
        let current = book.build.current.is_current();
        let paths = theirs.keys().chain(ours.keys().filter(|_| current));
        for path in paths.filter(|path| current || *path != ".shimbook-pages") {
            assert!(
                ours.get(path) == theirs.get(path),
                "seed {seed}, edit {edit} ({did}): {path} differs"
            );
        }
        std::fs::remove_dir_all(anew).unwrap();
    }
}
