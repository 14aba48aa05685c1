//! What the shop screen tells somebody who stands at the vehicle.

use scraper::{Html, Selector};

use crate::standing::Standing;

/// The rows under a heading.
fn under(wall: &Standing, heading: &str) -> Vec<String> {
    let page = Html::parse_document(&wall.get("wall.html").text());
    let (sections, rows) = (
        Selector::parse("section.turn").unwrap(),
        Selector::parse("li, .none").unwrap(),
    );
    let section = page
        .select(&sections)
        .find(|section| section.text().next() == Some(heading));
    let words = |row: scraper::ElementRef| {
        row.text()
            .map(str::trim)
            .filter(|text| !text.is_empty())
            .collect::<Vec<_>>()
            .join(" | ")
    };
    section.map_or_else(Vec::new, |section| {
        section.select(&rows).map(words).collect()
    })
}

#[test]
fn it_tells_what_is_still_to_do_today_and_who_has_it() {
    let mut wall = Standing::with(&[]);
    assert_eq!(
        under(&wall, "Still to do today"),
        ["Hang the tray | Ines, 3\u{202f}h | open"]
    );
    let text = wall
        .read("days/day-02.md")
        .replace("{tray_in, by Ines", "{tray_in, held up: no bolts, by Ines");
    wall.save("days/day-02.md", &text);
    assert_eq!(
        under(&wall, "Still to do today"),
        ["Hang the tray | Ines, 3\u{202f}h | held up: no bolts"]
    );
    wall.save(
        "days/day-02.md",
        &text
            .replace("[ ]", "[x]")
            .replace("held up: no bolts, ", ""),
    );
    assert_eq!(
        under(&wall, "Still to do today"),
        ["No job of today’s list is open."]
    );
}

#[test]
fn it_tells_what_the_latest_save_changed_the_gravest_first_and_each_once() {
    let mut wall = Standing::with(&[]);
    let limit = "other = arch_gap * 2\nplay = 6 ± 0.1 mm\nplay at most 7 mm\n```";
    let text = wall
        .read("days/day-01.md")
        .trim_end_matches("```\n")
        .to_owned()
        + limit;
    wall.save("days/day-01.md", &text);
    let text = text
        .replace("27 ± 1 mm", "21 ± 1 mm")
        .replace("at most 7 mm", "at most 5 mm");
    wall.save("days/day-01.md", &text);
    let plain = |rows: Vec<String>| {
        rows.iter()
            .map(|row| row.replace('\u{202f}', " "))
            .collect::<Vec<_>>()
    };
    let changed = plain(under(&wall, "Changed with the last save"));
    assert_eq!(
        changed,
        [
            "play | 6.0 ± 0.1 mm, out of limits, was in limits",
            "other | 42 ± 2 mm, was 54 ± 2 mm"
        ]
    );
    let on_hold = "arch_gap | out of limits, short by 5 mm (4 mm as read), needs at least 25 mm | now 21 ± 1 mm | \
                   just changed, was in limits";
    assert_eq!(
        plain(under(&wall, "On hold")),
        [on_hold],
        "a line on hold says by itself what changed"
    );
}

#[test]
fn it_tells_the_days_left_the_hold_list_and_the_checks_that_are_not_in_limits() {
    let mut wall = Standing::with(&[]);
    let page = wall.get("wall.html").text();
    assert!(
        page.contains("6 days left") && page.contains("Nothing is on the hold list."),
        "{page}"
    );
    assert_eq!(
        under(&wall, "Checks not in limits"),
        ["Every check is in limits."]
    );
    let text = wall
        .read("days/day-01.md")
        .replace("27 ± 1 mm", "21 ± 1 mm");
    wall.save("days/day-01.md", &text);
    let page = wall.get("wall.html").text();
    assert!(
        page.contains("Do not move or run it.") && page.contains("1 on the hold list"),
        "{page}"
    );
    assert_eq!(under(&wall, "On hold").len(), 1);
    assert_eq!(
        under(&wall, "Other checks not in limits"),
        ["Every other check is in limits."]
    );
}

#[test]
fn with_errors_in_the_book_it_never_says_that_nothing_is_on_hold() {
    let mut wall = Standing::with(&[]);
    let text = wall
        .read("days/day-01.md")
        .replace("at least 25 mm", "at least 25 bananas");
    wall.save("days/day-01.md", &text);
    let page = wall.get("wall.html").text();
    assert!(
        page.contains("treat the vehicle as on hold")
            && !page.contains("Nothing is on the hold list."),
        "{page}"
    );
}

#[test]
fn it_shows_the_whole_hold_list_however_long_and_says_how_many_changes_it_does_not_name() {
    let mut wall = Standing::with(&[]);
    let hold = |n: usize| format!("gap_{n} measured 21 ± 1 mm\ngap_{n} at least 25 mm, hold\n");
    let lines: Vec<String> = (1..=60).map(hold).collect();
    let values: Vec<String> = (1..=20).map(|n| format!("length_{n} = {n} mm\n")).collect();
    let text = format!(
        "{}\n```sums\n{}{}```\n",
        wall.read("days/day-02.md"),
        lines.concat(),
        values.concat()
    );
    wall.save("days/day-02.md", &text);
    assert_eq!(under(&wall, "On hold").len(), 60);
    assert!(wall.get("wall.html").text().contains("60 on the hold list"));
    let changed = under(&wall, "Changed with the last save");
    assert_eq!(
        changed.last().map(String::as_str),
        Some("and 8 more"),
        "{changed:?}"
    );
    assert!(
        wall.get("days/day-02.html")
            .text()
            .contains("and 20 more</a>, on the hold list")
    );
}

#[test]
fn with_errors_in_the_book_no_list_is_called_complete() {
    let mut wall = Standing::with(&[]);
    let text = wall.read("days/day-02.md") + "\n```sums\nlength_1 measured 3 bananas\n```\n";
    wall.save("days/day-02.md", &text);
    assert_eq!(
        under(&wall, "Checks not in limits"),
        ["Every check that could be read is in limits."]
    );
    let text = text.replace(
        "```sums\n",
        "```sums\ngap_1 measured 21 ± 1 mm\ngap_1 at least 25 mm, hold\n",
    );
    wall.save("days/day-02.md", &text);
    assert!(
        wall.get("wall.html")
            .text()
            .contains("1 on the hold list, perhaps more")
    );
}
