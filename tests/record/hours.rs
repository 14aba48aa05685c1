//! Hours on the pages: shared work, who is overloaded, who was not there.

use crate::written::{Book, texts};

const SHEET: &str = "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 9}\n  - {name: Wen, hours: 7}\n";

const PLAN: &str = "## Day 1\n\n- [ ] Hang the tray {tray_in, by Ines + Wen, takes 10 h}\n- [ ] Wire the loom {loom, by Wen, takes 6 h}\n";

fn text(book: &Book, page: &str) -> String {
    texts(book.pages().page(page), "main")
        .join(" ")
        .replace('\u{202f}', " ")
}

fn book() -> Book {
    let first = "---\nday: 1\n---\n- [ ] {tray_in, took 2 h}\n";
    let second = "---\nday: 2\ncrew: [Ines]\n---\n- [x] {tray_in, took 6 h}\n";
    Book::of(&[
        ("build-sheet.yaml", SHEET),
        ("plan.md", PLAN),
        ("days/day-01.md", first),
        ("days/day-02.md", second),
    ])
}

#[test]
fn a_day_page_says_who_had_more_work_than_hours() {
    let page = text(&book(), "days/day-01.html");
    assert!(
        page.contains("More work than hours that morning: Wen: 11 h of work, 7 h available."),
        "{page}"
    );
    assert!(!text(&book(), "days/day-02.html").contains("More work than hours"));
}

#[test]
fn the_hours_of_a_shared_job_are_shown_in_all_and_for_each() {
    assert!(text(&book(), "jobs.html").contains("10 h, 5 h each"));
    assert!(text(&book(), "days/day-01.html").contains("10 h, 5 h each"));
    let second = text(&book(), "days/day-02.html");
    assert!(
        second.contains("8 h") && !second.contains("each"),
        "Wen is away, Ines has it alone: {second}"
    );
}

#[test]
fn nobody_has_hours_of_a_day_on_which_they_were_away() {
    let people = texts(book().pages().page("jobs.html"), "table.hours")
        .join(" ")
        .replace('\u{202f}', " ");
    // The tray was done on day 2, when Wen was away: 10 h planned for Ines; 1 h of day 1 and 6 h of
    // day 2 are hers.
    assert!(people.contains("Ines10 h7 hWen6 h1 h"), "{people}");
}
