//! The build sheet: what it may say, and what is refused.

use super::*;

#[test]
fn a_sheet_is_read_with_its_defaults_and_its_targets_at_their_places() {
    let text = format!(
        "{SHEET}targets: |\n  mass  at most 1300 kg   # all in\n\n  share between 47 % and 53 %\n"
    );
    let desk = sheet(&text);
    assert_eq!(desk.said(), []);
    let sheet = &desk.book.sheet;
    assert_eq!(
        (sheet.title.as_str(), sheet.days, sheet.start),
        ("Kittiwake", Some(8), Some(jiff::civil::date(2031, 5, 2)))
    );
    assert_eq!(
        sheet.crew[1],
        CrewMember {
            name: "Bashir".into(),
            hours: 8.0
        }
    );
    assert_eq!(
        (sheet.units, sheet.judge, sheet.money.as_str()),
        (UnitSystem::Metric, Judge::WorstCase, "EUR")
    );
    let lines: Vec<&str> = sheet
        .targets
        .iter()
        .map(|line| desk.files.sources.slice(line.span))
        .collect();
    assert_eq!(
        lines,
        [
            "mass  at most 1300 kg   # all in",
            "share between 47 % and 53 %"
        ]
    );
    assert_eq!(sheet.targets[1].text, lines[1]);
}

#[test]
fn what_a_sheet_may_choose_is_read() {
    let desk = sheet(&format!(
        "{SHEET}units: us\njudge: rss\nmoney: USD\ntargets: mass at most 3 kg\n"
    ));
    let sheet = &desk.book.sheet;
    assert_eq!(
        (sheet.units, sheet.judge, sheet.money.as_str()),
        (UnitSystem::Us, Judge::Rss, "USD")
    );
    assert_eq!(sheet.targets[0].text, "mass at most 3 kg");
    assert_eq!(desk.said(), []);
}

#[test]
fn an_unknown_key_names_the_nearest() {
    let desk = sheet(&format!("{SHEET}untis: us\n"));
    assert_eq!(
        desk.only(),
        (
            "unknown-key",
            7,
            1,
            "`untis` is not a key Shimbook knows",
            Some("units")
        )
    );
}

#[test]
fn a_key_written_twice_is_said_at_the_second() {
    let desk = sheet(&format!("{SHEET}title: Other\n"));
    assert_eq!(
        desk.only(),
        (
            "duplicate-key",
            7,
            1,
            "`title` is written twice; only the first counts",
            None
        )
    );
    assert_eq!(desk.book.sheet.title, "Kittiwake");
}

#[test]
fn needed_keys_are_missed_and_wrong_values_underlined() {
    let desk = sheet(
        "start: 2031-13-02\ndays: 0\ncrew: [{name: Ines, hours: 30}, {name: Ines, hours: 8}, {hours: 2}]\nmoney: euro\n",
    );
    assert_eq!(
        desk.said(),
        [
            ("missing", 1, 1, "`title` is missing"),
            ("bad-date", 1, 8, "`2031-13-02` is not a date"),
            ("bad-value", 2, 7, "this value is of the wrong kind"),
            ("bad-value", 3, 28, "this value is of the wrong kind"),
            ("missing", 3, 58, "`name` is missing"),
            ("bad-value", 3, 40, "two crew members are called `Ines`"),
            ("bad-value", 4, 8, "this value is of the wrong kind"),
        ]
        .into_iter()
        .sorted_by_place()
    );
    assert_eq!(desk.book.sheet.title, "Title not known");
    assert_eq!(desk.book.sheet.money, "EUR");
}

/// Orders expected findings as the program does.
trait SortedByPlace {
    fn sorted_by_place(self) -> Vec<(&'static str, usize, usize, &'static str)>;
}

impl<I: Iterator<Item = (&'static str, usize, usize, &'static str)>> SortedByPlace for I {
    fn sorted_by_place(self) -> Vec<(&'static str, usize, usize, &'static str)> {
        let mut all: Vec<_> = self.collect();
        all.sort_by_key(|(_, line, column, _)| (*line, *column));
        all
    }
}

#[test]
fn a_broken_sheet_still_gives_a_book() {
    let desk = sheet("title: [x\n");
    assert_eq!(desk.only().0, "bad-yaml");
    assert_eq!(desk.book.sheet.title, "Title not known");
    assert_eq!(desk.book.sheet.start, None);
    assert_eq!(desk.book.days.len(), 1);
}

#[test]
fn a_missing_sheet_and_a_missing_log_are_said() {
    let desk = books(&[]);
    assert_eq!(
        desk.said(),
        [
            ("missing", 1, 1, "build-sheet.yaml is missing"),
            ("missing", 1, 1, "the book has no day log yet"),
        ]
    );
}

#[test]
fn names_for_values_are_refused() {
    let desk = sheet(&format!("{SHEET}units: &u us\n"));
    assert_eq!(
        desk.only(),
        (
            "bad-yaml",
            7,
            8,
            "anchors (`&`), aliases (`*`) and tags (`!`) are not read",
            None
        )
    );
}
