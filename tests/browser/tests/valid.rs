//! HTML that a validator has nothing to say about, whatever the book.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]

// As the workspace's other tests are written; this crate's own lints are for its own files.
#[path = "../../hostile/books.rs"]
#[allow(clippy::cast_precision_loss, clippy::format_push_string)]
mod books;

use std::path::PathBuf;
use std::process::Command;

use shimbook_in_a_browser::{folder, html_pages, npm, record, skipped, write_up};

/// Every so many of the thousand hostile books, one is looked at.
const EVERY: u64 = 23;

/// What the validator says of pages: everything, or errors only.
fn what_is_said_of(pages: &[PathBuf], of: &[&str]) -> Option<String> {
    let Some(validator) = npm("vnu-jar/build/dist/vnu.jar") else {
        skipped("vnu-jar is not there: npm ci in tests/browser");
        return None;
    };
    // One call for all pages: it takes longer to start than to read them.
    let Ok(said) = Command::new("java")
        .arg("-jar")
        .arg(validator)
        .args(of)
        .args(pages)
        .output()
    else {
        skipped("java is not installed");
        return None;
    };
    Some(String::from_utf8_lossy(&said.stderr).into_owned())
}

fn what_the_validator_says(theme: &str) -> Option<String> {
    what_is_said_of(&html_pages(&record(theme)), &[])
}

#[test]
fn every_page_is_valid_html_in_paper() {
    assert_eq!(what_the_validator_says("paper").unwrap_or_default(), "");
}

#[test]
fn every_page_is_valid_html_in_apron() {
    assert_eq!(what_the_validator_says("apron").unwrap_or_default(), "");
}

/// Books that cannot be written up at all are passed over: `tests/hostile/` holds that they say
/// why.
fn hostile_record(seed: u64) -> Option<PathBuf> {
    let place = folder().join(format!("hostile-{seed}"));
    let _ = std::fs::remove_dir_all(&place);
    std::fs::create_dir_all(place.join("a/book")).expect("made");
    books::lay_down(&books::book(seed), &place);
    let book = place.join("a/book");
    let sheet = std::fs::symlink_metadata(book.join("build-sheet.yaml"));
    if !sheet.is_ok_and(|sheet| sheet.is_file()) || !book.join("days").is_dir() {
        return None;
    }
    write_up(&book, "paper", &place.join("record"));
    Some(place.join("record"))
}

#[test]
fn pages_of_hostile_books_are_valid_html_too() {
    let records = (0..1000).step_by(EVERY as usize).filter_map(hostile_record);
    let pages: Vec<PathBuf> = records.flat_map(|record| html_pages(&record)).collect();
    assert!(pages.len() > 250, "only {} pages", pages.len());
    // Advice on their headings and their language is for whoever wrote them.
    let said = what_is_said_of(&pages, &["--errors-only"]).unwrap_or_default();
    let first: Vec<&str> = said.lines().take(20).collect();
    assert!(
        said.is_empty(),
        "{} findings:\n{}",
        said.lines().count(),
        first.join("\n")
    );
}
