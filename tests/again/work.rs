//! What a save costs follows what it touches: counted, not timed.

use std::collections::BTreeMap;

use shimbook::open_book::OpenBook;

use crate::big_book::{Scale, book};
use crate::folders::{put, write_up};

/// An open book of so many days, written up once.
fn opened(days: u32) -> (tempfile::TempDir, OpenBook, BTreeMap<String, String>) {
    let home = tempfile::tempdir().unwrap();
    let texts = book(
        Scale {
            days,
            sums: 4 * days,
            jobs: days,
            parts: 10,
        },
        7,
    );
    put(&home.path().join("book"), &texts);
    let mut open = OpenBook::new(&home.path().join("book"));
    let mut worked = open.look().unwrap().unwrap();
    write_up(
        &mut worked,
        &home.path().join("book"),
        &home.path().join("out"),
    );
    (home, open, texts)
}

/// Writes one more reading into the log of a day, and looks again; how many days' sums and jobs
/// were worked through, how many pages written.
fn one_line(days: u32, on: u32) -> ((usize, usize), usize) {
    let (home, mut open, texts) = opened(days);
    let folder = home.path().join("book");
    let path = format!("days/day-{on:03}.md");
    std::fs::write(
        folder.join(&path),
        format!("{}\n```sums\nextra measured 3 ± 1 mm\n```\n", texts[&path]),
    )
    .unwrap();
    let mut worked = open.look().unwrap().unwrap();
    let written = write_up(&mut worked, &folder, &home.path().join("out"));
    (open.days_worked(), written.written)
}

#[test]
fn a_line_in_the_latest_log_works_out_one_day_however_long_the_book_is() {
    let (short, long) = (one_line(10, 10), one_line(40, 40));
    assert_eq!((short.0, long.0), ((1, 1), (1, 1)));
    // The log's page, the as-built sheet, record.json: whatever the length of the book.
    assert_eq!(short.1, long.1);
    assert!(long.1 <= 5, "{} pages written", long.1);
}

#[test]
fn a_line_in_an_earlier_log_works_out_what_comes_after_it_and_no_page_that_is_as_it_was() {
    let (days_worked, written) = one_line(40, 30);
    assert!((11..=41).contains(&days_worked.0), "{days_worked:?}");
    assert_eq!(days_worked.0, days_worked.1);
    assert!(written <= 5, "{written} pages written");
}

#[test]
fn nothing_is_done_while_nobody_saves_and_nothing_is_written_when_a_save_changes_nothing() {
    let (home, mut open, texts) = opened(10);
    assert!(open.look().unwrap().is_none());
    let folder = home.path().join("book");
    std::fs::write(folder.join("days/day-003.md"), &texts["days/day-003.md"]).unwrap();
    assert!(open.look().unwrap().is_none());
    std::fs::write(
        folder.join("days/day-003.md"),
        format!("{}\n", texts["days/day-003.md"]),
    )
    .unwrap();
    let mut worked = open.look().unwrap().unwrap();
    let written = write_up(&mut worked, &folder, &home.path().join("out"));
    assert_eq!((written.written, written.removed), (0, 0));
}

#[test]
fn a_folder_that_vanishes_and_comes_back_is_read_again() {
    let (home, mut open, _) = opened(5);
    let (folder, away) = (home.path().join("book"), home.path().join("away"));
    std::fs::rename(&folder, &away).unwrap();
    assert!(open.look().is_err());
    std::fs::rename(&away, &folder).unwrap();
    assert!(open.look().unwrap().is_some());
}
