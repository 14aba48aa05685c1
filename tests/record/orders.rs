//! Cover, day page and ledger name the same parts: what is late, what has to be ordered.

use crate::written::{Book, texts};

const PLAN: &str = "## Day 1\n\n- [ ] Fit the strap {strapped, takes 2 h, needs strap}\n\n\
                    ## Day 4\n\n- [ ] Fit the rails {railed, takes 2 h, needs rails}\n\n\
                    ## Day 7\n\n- [ ] Fit the bolts {bolted, takes 2 h, needs bolts}\n";

const PARTS: &str = "pump: {what: Water pump}\nstrap: {what: Leather strap}\nrails: {what: Pair of rails, lead: 2 days}\n\
                     bolts: {what: Box of bolts}\n";

fn book(logs: &[&str]) -> Book {
    let logs: Vec<(String, String)> = logs
        .iter()
        .zip(1..)
        .map(|(log, day)| {
            (
                format!("days/day-0{day}.md"),
                format!("---\nday: {day}\n---\n\n{log}\n"),
            )
        })
        .collect();
    let mut files: Vec<(&str, &str)> = vec![("plan.md", PLAN), ("parts.yaml", PARTS)];
    files.extend(
        logs.iter()
            .map(|(path, text)| (path.as_str(), text.as_str())),
    );
    Book::of(&files)
}

fn text(book: &Book, page: &str) -> String {
    texts(book.pages().page(page), "body").join(" ")
}

/// The text of the orders on the pages that speak of an evening.
fn orders(book: &Book, day: u32) -> [(String, String); 2] {
    let part = |page: &str, title: &str| {
        let text = text(book, page);
        let orders = text.split(title).nth(1).unwrap_or_default().to_owned();
        (page.to_owned(), orders.chars().take(600).collect())
    };
    [
        part("index.html", "To order"),
        part(&format!("days/day-0{day}.html"), "To order that evening"),
    ]
}

#[test]
fn a_late_part_that_no_open_job_needs_is_late_on_every_page() {
    let book = book(&[
        "```parts\npump: ordered, due day 2\n```",
        "Nothing.",
        "Nothing.",
    ]);
    for (page, orders) in orders(&book, 3) {
        assert!(
            orders.contains("Water pump") && orders.contains("due on day 2"),
            "{page}: {orders}"
        );
    }
    assert!(text(&book, "ledger.html").contains("was due day 2, late"));
}

#[test]
fn a_job_done_with_a_stopgap_still_wants_its_part() {
    let book = book(&["- [x] {strapped, took 2 h, temp: a rope}", "Nothing."]);
    for (page, orders) in orders(&book, 2) {
        assert!(
            orders.contains("Leather strap") && orders.contains("lead time not known"),
            "{page}: {orders}"
        );
    }
}

#[test]
fn a_part_without_a_lead_time_is_listed_and_never_simply_missing() {
    let book = book(&["Nothing."]);
    for (page, orders) in orders(&book, 1) {
        assert!(
            orders.contains("Box of bolts") && orders.contains("lead time not known"),
            "{page}: {orders}"
        );
    }
    assert!(text(&book, "ledger.html").contains("lead time not known"));
}

#[test]
fn the_part_of_a_dropped_job_has_not_to_be_ordered_on_any_page() {
    let book = book(&[
        "- [ ] {railed, dropped: no time}\n- [ ] {bolted, dropped: no time}\n- [x] {strapped, took 2 h}\n",
    ]);
    for (page, orders) in orders(&book, 1) {
        assert!(
            !orders.contains("rails") && !orders.contains("bolts"),
            "{page}: {orders}"
        );
    }
    assert!(
        text(&book, "index.html").contains("Nothing has to be ordered today, and nothing is late.")
    );
    assert!(!text(&book, "ledger.html").contains("order by"));
}
