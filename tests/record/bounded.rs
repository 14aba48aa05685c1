//! What repeats from page to page is cut, counted and told of elsewhere; what is on hold never is.

use std::fmt::Write as _;

use crate::written::{Book, texts};

fn main_of(book: &Book, page: &str) -> String {
    texts(book.pages().page(page), "main").join(" ")
}

/// A log for each day, as the day has it.
fn book(days: usize, log: impl Fn(usize) -> String) -> Book {
    let logs: Vec<(String, String)> = (1..=days)
        .map(|day| {
            (
                format!("days/day-{day:03}.md"),
                format!("---\nday: {day}\n---\n{}", log(day)),
            )
        })
        .collect();
    Book::of(
        &logs
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str()))
            .collect::<Vec<_>>(),
    )
}

#[test]
fn a_day_lists_thirty_jobs_that_were_only_carried_and_counts_the_rest_and_all_that_something_was_said_of()
 {
    let first = (1..=50).fold(String::new(), |mut text, job| {
        let _ = writeln!(text, "- [ ] Job number {job} {{job{job}, takes 1 h}}");
        text
    });
    let book = book(2, |day| {
        if day == 1 {
            first.clone()
        } else {
            "- [ ] {job50, held up: no bolts}\n".to_owned()
        }
    });
    let (first, second) = (
        main_of(&book, "days/day-001.html"),
        main_of(&book, "days/day-002.html"),
    );
    assert!(
        (1..=50).all(|job| first.contains(&format!("Job number {job}"))),
        "{first}"
    );
    assert!(
        second.contains("Job number 30") && !second.contains("Job number 31"),
        "{second}"
    );
    assert!(
        second.contains("Job number 50") && second.contains("no bolts"),
        "{second}"
    );
    assert!(
        second.contains(
            "and 19 more, carried through the day with nothing said about them: all jobs"
        ),
        "{second}"
    );
}

#[test]
fn the_sheet_tells_every_reading_and_the_last_thirty_times_a_sum_was_worked_out_again() {
    let book = book(50, |day| {
        let sum = if day == 1 { "play = gap * 2\n" } else { "" };
        format!("```sums\ngap measured {day}.5 ± 0.5 mm\n{sum}```\n")
    });
    let sheet = main_of(&book, "as-built.html");
    assert!(
        (1..=50).all(|day| sheet.contains(&format!("{day}.5 ± 0.5"))),
        "{sheet}"
    );
    // 49 times again: the first and the last thirty are told.
    assert!(
        sheet.contains("3 ± 1") && !sheet.contains("41 ± 1") && sheet.contains("43 ± 1"),
        "{sheet}"
    );
    assert!(
        sheet.contains(
            "and 19 more in between, worked out again from the same line: shimbook workings play"
        ),
        "{sheet}"
    );
}

#[test]
fn however_many_stopgaps_there_are_each_stands_on_the_hold_list() {
    let book = book(60, |day| {
        format!("- [x] Strap {day} {{strap_{day}x, temp: strap number {day}, caution lifting}}\n")
    });
    let (hold, handed) = (
        main_of(&book, "hold.html"),
        main_of(&book, "days/day-060.html"),
    );
    assert!(
        (1..=60).all(|day| hold.contains(&format!("strap number {day}"))),
        "{hold}"
    );
    assert!(
        handed.contains("Do not move it, run it or go under it"),
        "{handed}"
    );
}
