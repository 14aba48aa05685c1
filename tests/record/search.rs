//! What the search line finds, and what long tables go by.

use serde_json::Value;

use crate::written::{Book, attributes};

fn data(book: &Book) -> Value {
    book.write_up();
    let record = book.record();
    let text = String::from_utf8(record["search-data.js"].clone()).expect("UTF-8");
    let json = text
        .strip_prefix("shimbookSearch(")
        .and_then(|rest| rest.strip_suffix(");\n"))
        .expect("a call");
    serde_json::from_str(json).expect("JSON")
}

fn book() -> Book {
    Book::of(&[
        (
            "parts.yaml",
            "arm: {what: Long arm, from: Tern Works, number: TW-9, serial: \"0417\", mass: 3 lb}\n",
        ),
        (
            "plan.md",
            "## Day 1\n\n- [ ] Set the *arm* {set_arm, by Ines, takes 2 h, caution lifting}\n",
        ),
        (
            "days/day-01.md",
            "---\nday: 1\n---\n# The <b>arm</b>\n\nIt is `gap` & it\nfits.\n\n## Later\n\n| a | b |\n|---|---|\n| c | d |\n\n\
             - [ ] {set_arm, held up: glue is wet}\n  and so on\n\n```sums\ngap measured 3 ± 1 mm # cold\ngap at least 1 mm\narm.mass at most 2 kg\n```\n\n\
             ```parts\narm: in, scratched\n```\n\n```shop\nonly us\n```\n\n<details><summary>More</summary>\n\ninside\n\n</details>\n",
        ),
    ])
}

#[test]
fn values_jobs_and_parts_are_found_once_each_with_how_they_stand() {
    let data = data(&book());
    assert_eq!(data["values"][0][2], "ledger.html#part-arm");
    assert_eq!(
        data["values"][1],
        serde_json::json!(["gap", "3 ± 1\u{202f}mm; at least 1 mm: in limits"])
    );
    assert_eq!(
        data["jobs"],
        serde_json::json!([["set_arm", "Set the arm", "held up, Ines, lifting"]])
    );
    assert_eq!(
        data["parts"],
        serde_json::json!([[
            "arm",
            "Long arm",
            "in, since day 1, Tern Works, TW-9, serial 0417"
        ]])
    );
}

#[test]
fn the_words_of_a_log_are_found_by_paragraph_at_the_nearest_anchor() {
    let data = data(&book());
    let day = &data["days"][0];
    assert_eq!(
        (day[0].as_u64(), day[1].as_str(), day[2].as_str()),
        (Some(1), Some("days/day-01.html"), Some("The arm"))
    );
    assert_eq!(
        day[3],
        serde_json::json!([
            ["the-arm", "The arm", "It is gap & it fits."],
            ["later", "Later", "a b", "c d"],
            ["line-15", "Set the arm: held up: glue is wet", "and so on"],
            ["line-19", "gap: cold"],
            [
                "line-25",
                "Long arm: in, scratched",
                "only us",
                "More",
                "inside"
            ]
        ])
    );
}

#[test]
fn every_hit_leads_to_a_place_that_is_there() {
    let book = Book::example();
    let data = data(&book);
    let pages = book.pages();
    let mut count = 0;
    for day in data["days"].as_array().expect("days") {
        let ids = attributes(pages.page(day[1].as_str().expect("a page")), "[id]", "id");
        for line in day[3].as_array().expect("lines") {
            let at = line[0].as_str().expect("an anchor");
            assert!(
                at.is_empty() || ids.iter().any(|id| id == at),
                "{}: {at}",
                day[1]
            );
            count += 1;
        }
    }
    for (kind, page, prefix) in [
        ("jobs", "jobs.html", "job-"),
        ("parts", "ledger.html", "part-"),
        ("values", "as-built.html", "value-"),
    ] {
        let ids = attributes(pages.page(page), "[id]", "id");
        for row in data[kind]
            .as_array()
            .expect("rows")
            .iter()
            .filter(|row| kind != "values" || row[2].is_null())
        {
            let id = format!("{prefix}{}", row[0].as_str().expect("an id"));
            assert!(ids.contains(&id), "{page}: {id}");
            count += 1;
        }
    }
    assert!(count > 300, "{count}");
}

#[test]
fn masses_and_lengths_are_ordered_by_what_they_are_and_not_by_how_they_are_written() {
    let book = Book::of(&[
        (
            "parts.yaml",
            "a: {what: A, mass: 3 lb}\nb: {what: B, mass: 2 kg}\n",
        ),
        (
            "days/day-01.md",
            "---\nday: 1\n---\n```sums\nx measured 1 in\ny measured 20 mm\nz = 3 kg\n```\n",
        ),
    ]);
    let pages = book.pages();
    let masses = attributes(pages.page("ledger.html"), "td[data-l=mass]", "data-sort");
    assert!(
        masses[0].parse::<f64>().expect("a figure") < masses[1].parse().expect("a figure"),
        "{masses:?}"
    );
    assert_eq!(
        attributes(
            pages.page("as-built.html"),
            "td[data-l='comes to']",
            "data-sort"
        ),
        ["0.0254 m", "0.02 m", "3 kg"]
    );
}

#[test]
fn a_save_that_changes_no_word_writes_no_search_data() {
    let book = Book::example();
    book.write_up();
    let path = book.path("record/search-data.js");
    let before = std::fs::metadata(&path)
        .expect("there")
        .modified()
        .expect("a time");
    let log = std::fs::read_to_string(book.path("days/day-03.md")).expect("a log");
    book.put("days/day-03.md", format!("{log}\n<!-- a note -->\n"));
    book.write_up();
    assert_eq!(
        std::fs::metadata(&path)
            .expect("there")
            .modified()
            .expect("a time"),
        before
    );
}
