//! Killed at any moment, without a chance to clean up.

use std::time::{Duration, Instant};

use crate::shop::{Book, Files};

/// The kills of a full run.
const KILLS: u64 = 100;
/// So many kills are mended at once.
const MENDED: u32 = 5;

/// Starts a run and kills it after a share of the time that a whole one takes.
fn kill_after(book: &Book, wait: Duration) {
    let mut run = book
        .command("writeup")
        .stdout(std::process::Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(wait);
    run.kill().unwrap();
    run.wait().unwrap();
}

/// Every page of the record, as it is before or as it is after; what else lies there has no name
/// yet.
fn assert_whole(record: &Files, before: &Files, after: &Files) {
    for (path, bytes) in record
        .iter()
        .filter(|(path, _)| !path.contains(".shimbook-"))
    {
        let whole = [before, after]
            .iter()
            .any(|version| version.get(path) == Some(bytes));
        assert!(whole, "{path} is neither as before nor as after");
    }
}

#[test]
fn after_each_kill_every_page_was_whole_and_the_next_run_mends_the_record() {
    let book = Book::new();
    let versions = [1, 2].map(|version| {
        book.turn(version);
        assert!(book.write_up().status.code().is_some_and(|code| code < 2));
        book.record()
    });
    let begun = Instant::now();
    book.turn(1);
    book.write_up();
    let whole_run = begun.elapsed();
    for kill in 0..crate::cases::count(KILLS) as u32 {
        let version = kill as usize % 2;
        book.turn(2 - version);
        let sources = book.sources();
        // Fractions of the golden section fall evenly over the run.
        let share = f64::from(kill) * 0.618_034 % 1.0 * 1.1;
        kill_after(&book, whole_run.mul_f64(share));
        assert_whole(&book.record(), &versions[0], &versions[1]);
        assert_eq!(
            book.sources(),
            sources,
            "kill {kill} touched the crew's files"
        );
        if kill % MENDED == MENDED - 1 {
            book.write_up();
            assert_eq!(
                book.record(),
                versions[1 - version],
                "after kill {kill} the next run did not mend the record"
            );
        }
    }
}

#[test]
fn a_first_run_that_was_killed_is_taken_up_again() {
    let reference = Book::new();
    let begun = Instant::now();
    reference.write_up();
    let whole_run = begun.elapsed();
    for kill in 1..=20 {
        let book = Book::new();
        kill_after(&book, whole_run.mul_f64(f64::from(kill) / 20.0));
        let again = book.write_up();
        assert!(
            again.status.code().is_some_and(|code| code < 2),
            "{again:?}"
        );
        assert_eq!(book.record(), reference.record());
    }
}
