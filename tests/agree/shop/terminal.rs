//! The tally in the terminal lists the same parts and the same people.
//!
//! In: some of the random books, as folders. Out: a test on what the program prints.
#![allow(
    clippy::disallowed_methods,
    reason = "the test writes books to a folder and runs the program"
)]

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use super::book::{story, texts};
use super::facts::Facts;
use super::{NOTHING, listed, over};

/// The books of a full run; each is a run of the program.
const BOOKS: u64 = 60;

fn told(seed: u64, texts: &[(String, String)]) -> String {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("agree-tally-{seed}"));
    for (path, text) in texts {
        let path = folder.join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    let ran = Command::new(env!("CARGO_BIN_EXE_shimbook"))
        .arg("tally")
        .arg(&folder)
        .output()
        .unwrap();
    std::fs::remove_dir_all(&folder).unwrap();
    assert!(
        ran.status.success(),
        "{}",
        String::from_utf8_lossy(&ran.stderr)
    );
    String::from_utf8(ran.stdout).unwrap()
}

/// The lines below a title, up to the next blank line.
fn section<'t>(told: &'t str, title: &str) -> BTreeSet<&'t str> {
    let below = told.lines().skip_while(|line| *line != title).skip(1);
    below
        .take_while(|line| !line.is_empty())
        .map(str::trim)
        .collect()
}

#[test]
fn the_tally_in_the_terminal_lists_the_same_parts_and_people() {
    crate::cases::of_each("agree-shop", BOOKS, |seed| {
        let story = story(seed);
        let told = told(seed, &texts(&story));
        let facts = Facts::at(&story, story.logs.len());
        let parts = listed(&facts, facts.day);
        let mut expected: BTreeSet<String> = parts
            .iter()
            .map(|(part, words)| format!("{part}    {words}"))
            .collect();
        if expected.is_empty() {
            expected.insert(NOTHING.to_owned());
        }
        assert_eq!(
            section(&told, "Order"),
            expected.iter().map(String::as_str).collect(),
            "seed {seed}\n{told}"
        );
        let over = over(&facts.people);
        let people = section(&told, "More work than hours");
        assert_eq!(
            people,
            over.iter().map(String::as_str).collect(),
            "seed {seed}\n{told}"
        );
    });
}
