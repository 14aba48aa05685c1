//! Day logs: their day, date, crew and entries.

use super::*;

#[test]
fn a_log_knows_its_day_its_date_and_its_crew() {
    let desk = days(&[
        (
            "days/day-02.md",
            "---\nday: 2\ncrew: [Ines]\n---\n# On *it*\n",
        ),
        (
            "days/day-01.md",
            "---\nday: 1\ndate: 2031-05-01, we could not wait\n---\n",
        ),
    ]);
    assert_eq!(desk.said(), []);
    let [one, two] = &desk.book.days[..] else {
        panic!()
    };
    assert_eq!(
        (
            one.day,
            one.date.unwrap().to_string().as_str(),
            one.crew.len()
        ),
        (1, "2031-05-01", 2)
    );
    assert_eq!(
        (one.date_why.as_deref(), two.date_why.as_deref()),
        (Some("we could not wait"), None)
    );
    assert_eq!(
        (two.stem.as_str(), two.date.unwrap().to_string().as_str()),
        ("day-02", "2031-05-03")
    );
    assert_eq!(
        (two.crew.join(" ").as_str(), two.title.as_deref()),
        ("Ines", Some("On it"))
    );
}

#[test]
fn days_are_ordered_by_their_number_not_by_their_name() {
    let desk = days(&[
        ("days/b.md", "---\nday: 1\n---\n"),
        ("days/a.md", "---\nday: 10\n---\n"),
        ("days/c.md", "---\nday: 9\n---\n"),
    ]);
    assert_eq!(
        desk.book.days.iter().map(|log| log.day).collect::<Vec<_>>(),
        [1, 9, 10]
    );
}

#[test]
fn a_log_that_does_not_say_its_day_takes_it_from_its_name() {
    let desk = days(&[("days/day-03.md", "# x\n")]);
    assert_eq!(
        desk.only(),
        (
            "missing",
            1,
            1,
            "this log does not give its day number",
            Some("---\nday: 3\n---")
        )
    );
    assert_eq!(desk.book.days[0].day, 3);
}

#[test]
fn a_log_whose_name_says_another_day_is_an_error() {
    let desk = days(&[("days/day-03.md", "---\nday: 2\n---\n")]);
    assert_eq!(
        desk.only(),
        (
            "day-number",
            2,
            6,
            "this log gives day 2, but its file name gives day 3",
            None
        )
    );
}

#[test]
fn the_second_log_of_a_day_is_not_read() {
    let desk = days(&[
        ("days/a.md", "---\nday: 2\n---\n"),
        ("days/b.md", "---\nday: 2\n---\n"),
    ]);
    assert_eq!(
        desk.only(),
        (
            "day-number",
            2,
            6,
            "days/a.md already has day 2, so this log is not read",
            None
        )
    );
    assert_eq!(desk.found[0].also[0].1, "the log that counts");
    assert_eq!(desk.book.days.len(), 1);
}

#[test]
fn broken_front_matter_is_said_once_and_the_text_still_read() {
    let desk = days(&[("days/day-01.md", "---\nday: [\n---\n# Title\n")]);
    assert_eq!(desk.only().0, "bad-yaml");
    assert_eq!(desk.book.days[0].title.as_deref(), Some("Title"));
    let desk = days(&[("days/day-01.md", "---\nday: 1\n# Title\n")]);
    assert_eq!(
        desk.only(),
        ("bad-yaml", 1, 1, "the front matter is not closed", None)
    );
}

#[test]
fn a_ruled_pair_in_the_middle_is_no_front_matter() {
    let desk = log("x\n\n---\nday: 9\n\n---\n");
    assert_eq!(desk.said(), []);
    assert_eq!(desk.book.days[0].day, 1);
}

#[test]
fn somebody_who_is_not_in_the_crew_is_named_with_the_nearest() {
    let desk = days(&[("days/day-01.md", "---\nday: 1\ncrew: [Ines, Bashri]\n---\n")]);
    assert_eq!(
        desk.only(),
        (
            "unknown-person",
            3,
            14,
            "no crew member is called `Bashri`",
            Some("Bashir")
        )
    );
    assert_eq!(desk.book.days[0].crew, ["Ines"]);
}

#[test]
fn entries_stand_in_the_order_of_the_log_and_the_text_points_at_them() {
    let desk = log(
        "- [x] One {one}\n- [ ] Bad {2x}\n\n```sums\na = 1 mm\n```\n\n```drawing\nband a\n```\n",
    );
    assert_eq!(desk.only().0, "bad-id");
    let day = &desk.book.days[0];
    assert!(matches!(
        day.entries[..],
        [Entry::Mention(_), Entry::Sums(_), Entry::Drawing(_)]
    ));
    let holes: Vec<String> = day
        .prose
        .pieces
        .iter()
        .filter(|piece| !matches!(piece, Piece::Html(_)))
        .map(|piece| match piece {
            Piece::Entry(n) => n.to_string(),
            Piece::Unread { text, .. } => text.clone(),
            piece => format!("{piece:?}"),
        })
        .collect();
    assert_eq!(holes, ["0", "[ ] Bad {2x}", "1", "2"]);
}

#[test]
fn a_link_to_a_heading_that_another_log_does_not_have_is_warned_of() {
    let desk = days(&[
        (
            "days/day-01.md",
            "---\nday: 1\n---\n[a](day-02.md#tail-on) [b](day-02.md#tial-on)\n",
        ),
        ("days/day-02.md", "---\nday: 2\n---\n# Tail on\n"),
    ]);
    assert_eq!(
        desk.only(),
        (
            "bad-link",
            4,
            24,
            "days/day-02.md has no heading `#tial-on`",
            Some("#tail-on")
        )
    );
}

#[test]
fn a_log_without_any_number_is_not_read() {
    let desk = days(&[("days/monday.md", "x\n")]);
    assert_eq!(
        desk.only().3,
        "neither this log nor its file name gives its day number, so it is not read"
    );
    assert!(desk.book.days.is_empty());
}
