//! What the record shows, as the format promises it.

use crate::written::{Book, attributes, texts};

const STANDING: &str = "A record of work and sums. It approves nothing. Local codes, the event’s rule book, the makers’ \
                        instructions and licensed practice come first.";

fn main_of(book: &Book, page: &str) -> String {
    texts(book.pages().page(page), "main").join(" ")
}

#[test]
fn every_page_says_that_the_record_approves_nothing_at_least_in_print() {
    let pages = Book::example().pages();
    assert!(
        texts(pages.page("index.html"), "body")
            .join(" ")
            .contains(STANDING)
    );
    for (path, page) in &pages.pages {
        assert!(texts(page, "body").join(" ").contains(STANDING), "{path}");
    }
}

#[test]
fn code_that_is_exactly_an_id_shows_what_it_was_that_evening_with_a_link() {
    let book = Book::of(&[
        (
            "days/day-01.md",
            "---\nday: 1\n---\n```sums\ngap measured 14 ± 1 mm\n```\n\nIt was `gap`, `gap + 1` and `other`.\n",
        ),
        (
            "days/day-02.md",
            "---\nday: 2\n---\n```sums\ngap measured 15 ± 1 mm\n```\n\nIt is `gap`.\n",
        ),
    ]);
    let (first, second) = (
        main_of(&book, "days/day-01.html"),
        main_of(&book, "days/day-02.html"),
    );
    assert!(
        first.contains("It was gap 14 ± 1 mm, gap + 1 and other."),
        "{first}"
    );
    assert!(second.contains("It is gap 15 ± 1 mm."), "{second}");
    let links = attributes(book.pages().page("days/day-01.html"), "main p a", "href");
    assert!(
        links
            .iter()
            .any(|href| href.starts_with("../as-built.html#")),
        "{links:?}"
    );
}

#[test]
fn an_id_stands_for_the_value_else_the_job_else_the_part() {
    let log = "---\nday: 1\n---\n- [x] Ream the plate {plate, took 1 h}\n\n```sums\narm measured 3 mm\n```\n\nSay `arm`, `plate`, `bolts`.\n";
    let parts = "arm: {what: Arm}\nplate: {what: Plate}\nbolts: {what: Bolts}\n";
    let page = main_of(
        &Book::of(&[("days/day-01.md", log), ("parts.yaml", parts)]),
        "days/day-01.html",
    );
    let said = page.split("Say ").nth(1).expect("the sentence").to_owned();
    assert!(
        said.starts_with("arm 3 mm, Ream the plate done, Bolts needed."),
        "{said}"
    );
}

#[test]
fn a_day_lists_what_moved_and_which_verdicts_turned() {
    let book = Book::of(&[
        (
            "days/day-01.md",
            "---\nday: 1\n---\n```sums\na measured 10 ± 1 mm\nb = 2 * a\nb at most 22 mm\n```\n",
        ),
        (
            "days/day-02.md",
            "---\nday: 2\n---\n```sums\na measured 13 ± 1 mm\n```\n",
        ),
    ]);
    let page = main_of(&book, "days/day-02.html");
    for shown in [
        "20 ± 2",
        "26 ± 2",
        "now out of limits",
        "over by 6 mm (4 mm as read)",
    ] {
        assert!(page.contains(shown), "{shown}: {page}");
    }
}

#[test]
fn the_hold_list_and_its_tag_stand_on_the_cover() {
    let log = "---\nday: 1\n---\n- [x] Motor on a stand {stand, temp: stand and blocks, caution lifting}\n";
    let page = main_of(&Book::of(&[("days/day-01.md", log)]), "index.html");
    assert!(
        page.contains("Do not move it, run it or go under it."),
        "{page}"
    );
    assert!(page.contains("stand and blocks"), "{page}");
}

#[test]
fn an_altered_parts_ratings_say_that_they_do_not_stand() {
    let log = "---\nday: 1\n---\n```parts\narm: in\narm: altered, drilled for a nipple\n```\n";
    let parts = "arm: {what: Steering arm, ratings: {force: 8 kN}}\n";
    let page = main_of(
        &Book::of(&[("days/day-01.md", log), ("parts.yaml", parts)]),
        "ledger.html",
    );
    assert!(
        page.contains("drilled for a nipple") && page.contains("no longer stand"),
        "{page}"
    );
}

#[test]
fn remarks_of_sums_are_printed() {
    let log = "---\nday: 1\n---\n```sums\n# the tightest of four\ngap measured 3 mm  # feeler gauge\n```\n";
    let page = main_of(&Book::of(&[("days/day-01.md", log)]), "days/day-01.html");
    assert!(
        page.contains("the tightest of four") && page.contains("feeler gauge"),
        "{page}"
    );
}

#[test]
fn a_date_left_out_is_the_start_and_as_many_days() {
    let page = main_of(
        &Book::of(&[("days/day-03.md", "---\nday: 3\n---\nWords.\n")]),
        "days/day-03.html",
    );
    assert!(
        page.contains("2031-05-04") || page.contains("4 May 2031"),
        "{page}"
    );
}

#[test]
fn a_block_that_is_not_closed_shows_its_lines_and_its_message() {
    let page = main_of(
        &Book::of(&[(
            "days/day-01.md",
            "---\nday: 1\n---\n```sums\ngap measured 3 mm\n",
        )]),
        "days/day-01.html",
    );
    assert!(
        page.contains("gap measured 3 mm") && page.contains("this block is not closed"),
        "{page}"
    );
}

#[test]
fn every_drawing_of_a_drawing_block_is_on_the_page() {
    let log = "---\nday: 1\n---\n```sums\na measured 3 ± 0.1 deg\nb measured 1 ± 0.1 deg\nc measured 3 ± 0.1 deg\na within 3 ± 1 deg\n```\n\n\
               ```drawing\ndriveline a b c\nband a\nsources a\nhistory a\n```\n";
    let pages = Book::of(&[("days/day-01.md", log)]).pages();
    let drawings = attributes(pages.page("days/day-01.html"), "main svg[role=img]", "role").len();
    assert!(drawings >= 4, "{drawings}");
}

#[test]
fn what_is_wrong_with_front_matter_and_prose_stands_on_the_days_page() {
    let log = "---\nday: 1\nweather: rain\n---\nSee [that](nowhere.md).\n\n- [x] Do {a_job, takes 2,5 h}\n";
    let page = main_of(&Book::of(&[("days/day-01.md", log)]), "days/day-01.html");
    for message in [
        "`weather` is not a key Shimbook knows",
        "nowhere.md` is not in the book",
        "use a decimal point, not a comma",
    ] {
        assert_eq!(page.matches(message).count(), 1, "{message}: {page}");
    }
}

#[test]
fn every_finding_is_shown_on_the_page_of_its_day_once() {
    let log = "---\nday: 1\ncrew: [Nobody]\n---\n[a](b) ![c](d.png)\n\n```shop\n- [x] Secret {s, took 1 h}\n```\n\n```parts\narm: fitted\nleg: in\nwhat\n```\n\n\
               ```sums\na = 3 mm + 1 kg\na at most 3 mm\nb = \nc at least 2 kg\nc = 3 mm\n2d = 3\n```\n\n```drawing\nband nothing\nbands a\n```\n\n\
               - [x] Ream {r, by Odd, follows nothing_here, caution teeth}\n- [x] {who}\n\n> ```sums\n> open\n";
    let book = Book::of(&[
        ("days/day-01.md", log),
        ("parts.yaml", "arm: {what: Arm}\n"),
    ]);
    let pages = book.pages();
    let both: serde_json::Value =
        serde_json::from_slice(&book.record()["record.json"]).expect("JSON");
    let found = both["check"]["diagnostics"]
        .as_array()
        .expect("a list")
        .clone();
    assert!(found.len() >= 14, "{found:#?}");
    let page = texts(pages.page("days/day-01.html"), ".message").join("\n");
    for message in found
        .iter()
        .map(|found| found["message"].as_str().expect("text"))
    {
        let message = message.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            page.contains(&message),
            "{message} is not on the page:\n{page}"
        );
    }
    assert_eq!(page.lines().count(), found.len(), "{page}\n{found:#?}");
}
