//! What the record keeps of limits that changed.

use shimbook::build::compile;
use shimbook::export::document;
use shimbook::io::BookFiles;
use shimbook::pages::workings;

use crate::written::{Book, texts};

const SHEET: &str = "title: T\nstart: 2031-05-02\ndays: 5\ncrew:\n  - {name: Ines, hours: 9}\n  - {name: Odd, hours: 8}\n";
const FIRST: &str = "---\nday: 1\n---\n```sums\ngap measured 23 ± 0.5 mm\ngap at least 25 mm, hold\n\
                     tail measured 3.6 ± 0.1 deg\ntail within 3.5 ± 0.3 deg\nduct measured 30 mm\nduct at most 40 mm\n```\n";
const SECOND: &str = "---\nday: 2\n---\n```sums\n\
                      gap at least 20 mm, hold, eased by Ines + Odd: the tyre is narrower\n\
                      tail within 4.1 ± 0.4 deg\nduct at most 40 mm, withdrawn by Ines: the duct is gone\n```\n";

fn files() -> [(&'static str, &'static str); 3] {
    [
        ("build-sheet.yaml", SHEET),
        ("days/day-01.md", FIRST),
        ("days/day-02.md", SECOND),
    ]
}

#[test]
fn pages_tell_what_became_of_a_limit_and_who_eased_it() {
    let book = Book::of(&files());
    let main_of = |page: &str| texts(book.pages().page(page), "main").join(" ");
    let as_built = main_of("as-built.html");
    assert!(
        as_built.contains("within 3.5 ± 0.3 deg") && as_built.contains("within 4.1 ± 0.4 deg"),
        "{as_built}"
    );
    assert!(
        as_built.contains("at least 20 mm, eased by Ines + Odd: the tyre is narrower"),
        "{as_built}"
    );
    assert!(
        as_built.contains("at most 40 mm, withdrawn by Ines: the duct is gone"),
        "{as_built}"
    );
    for page in ["index.html", "hold.html"] {
        let text = main_of(page);
        assert!(
            text.contains("eased on day 2, from at least 25 mm to at least 20 mm, by Ines and Odd"),
            "{page}: {text}"
        );
    }
}

#[test]
fn a_reading_without_a_tolerance_says_so_beside_its_value() {
    let book = Book::of(&files());
    let main_of = |page: &str| texts(book.pages().page(page), "main").join(" ");
    let said = "measured, no tolerance given: treated as exact";
    assert_eq!(main_of("days/day-01.html").matches(said).count(), 1);
    assert!(main_of("as-built.html").contains(said));
    assert!(!main_of("days/day-02.html").contains(said));
}

#[test]
fn scripts_are_told_the_limits_by_day_and_withdrawn_checks_by_themselves() {
    let build = compile(BookFiles::from_texts(files()));
    let checks = document::check(&build);
    let limits = |name: &str| {
        let check = checks
            .checks
            .iter()
            .find(|check| check.name == name)
            .unwrap();
        check
            .limits
            .iter()
            .map(|line| (line.day, line.rule.as_str(), line.change))
            .collect::<Vec<_>>()
    };
    assert_eq!(
        limits("tail"),
        [
            (1, "within 3.5 ± 0.3 deg", "set"),
            (2, "within 4.1 ± 0.4 deg", "set")
        ]
    );
    assert_eq!(
        limits("gap"),
        [(1, "at least 25 mm", "set"), (2, "at least 20 mm", "eased")]
    );
    assert!(checks.checks.iter().all(|check| check.name != "duct"));
    let gone = &checks.withdrawn[0];
    assert_eq!(
        (
            gone.name.as_str(),
            gone.hold,
            gone.limit.day,
            gone.limit.line
        ),
        ("duct", false, 2, 7)
    );
    let told = workings::workings(&build, "tail", 2).unwrap();
    assert_eq!(told.checks[0].limits.len(), 2);
    let history = document::tally(&build).hold_history;
    assert_eq!(
        history
            .iter()
            .map(|event| (event.kind, event.id.as_str()))
            .collect::<Vec<_>>(),
        [("eased", "gap")]
    );
}
