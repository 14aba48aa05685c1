//! What the shop screen tells somebody who stands at the vehicle.

use scraper::{Html, Selector};

use crate::standing::Standing;

/// The rows under a heading.
fn under(wall: &Standing, heading: &str) -> Vec<String> {
    let page = Html::parse_document(&wall.get("wall.html").text());
    let (sections, rows) = (Selector::parse("section.turn").unwrap(), Selector::parse("li, .none").unwrap());
    let section = page.select(&sections).find(|section| section.text().next() == Some(heading));
    let words = |row: scraper::ElementRef| {
        row.text().map(str::trim).filter(|text| !text.is_empty()).collect::<Vec<_>>().join(" | ")
    };
    section.map_or_else(Vec::new, |section| section.select(&rows).map(words).collect())
}

#[test]
fn it_tells_what_is_still_to_do_today_and_who_has_it() {
    let mut wall = Standing::with(&[]);
    assert_eq!(under(&wall, "Still to do today"), ["Hang the tray | Ines | open"]);
    let text = wall.read("days/day-02.md").replace("{tray_in, by Ines", "{tray_in, held up: no bolts, by Ines");
    wall.save("days/day-02.md", &text);
    assert_eq!(under(&wall, "Still to do today"), ["Hang the tray | Ines | held up: no bolts"]);
    wall.save("days/day-02.md", &text.replace("[ ]", "[x]").replace("held up: no bolts, ", ""));
    assert_eq!(under(&wall, "Still to do today"), ["Today’s list is done."]);
}

#[test]
fn it_tells_what_the_latest_save_changed_and_what_is_grave_first() {
    let mut wall = Standing::with(&[]);
    let text = wall.read("days/day-01.md").replace("27 ± 1 mm", "21 ± 1 mm\nother = arch_gap * 2");
    wall.save("days/day-01.md", &text);
    let changed = under(&wall, "Changed with the last save");
    let plain: Vec<String> = changed.iter().map(|row| row.replace('\u{202f}', " ")).collect();
    assert_eq!(plain, ["arch_gap | 21.0 ± 1.0 mm, out of limits, was in limits", "other | 42.0 ± 2.0 mm"]);
}

#[test]
fn it_tells_the_days_left_the_hold_list_and_the_checks_that_are_not_in_limits() {
    let mut wall = Standing::with(&[]);
    let page = wall.get("wall.html").text();
    assert!(page.contains("6 days left") && page.contains("Nothing is on the hold list."), "{page}");
    assert_eq!(under(&wall, "Checks not in limits"), ["Every check is in limits."]);
    let text = wall.read("days/day-01.md").replace("27 ± 1 mm", "21 ± 1 mm");
    wall.save("days/day-01.md", &text);
    let page = wall.get("wall.html").text();
    assert!(page.contains("Not to be moved or run.") && page.contains("1 on the hold list"), "{page}");
    assert_eq!(under(&wall, "On hold").len(), 1);
    assert!(under(&wall, "Checks not in limits")[0].contains("at least 25 mm"));
}

#[test]
fn with_errors_in_the_book_it_never_says_that_nothing_is_on_hold() {
    let mut wall = Standing::with(&[]);
    let text = wall.read("days/day-01.md").replace("at least 25 mm", "at least 25 bananas");
    wall.save("days/day-01.md", &text);
    let page = wall.get("wall.html").text();
    assert!(page.contains("treat the vehicle as on hold") && !page.contains("Nothing is on the hold list."), "{page}");
}
