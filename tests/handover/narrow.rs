//! Single ways a secret could get out, and what stays although it comes near one.
//!
//! In: small books. Out: tests that name the way.

use shimbook::build::compile;
use shimbook::handover::{Order, hand_over};
use shimbook::io::BookFiles;
use shimbook::open_book::WorkedBook;
use shimbook::pages::Evenings;
use shimbook::render::{Pages, Theme};

use crate::decode::{is_page, unescaped};

const SHEET: &str = "title: A truck\nstart: 2031-05-02\ndays: 3\ncrew:\n  - {name: Ines Duarte, hours: 9}\n  - {name: Ivo, hours: 8}\n";

/// The pages that `audience` gets of a book with one log.
fn pages(audience: &str, parts: &str, log: &str) -> Pages {
    let log = format!("---\nday: 1\n---\n# The day\n\n{log}");
    let files = BookFiles::from_texts([
        ("build-sheet.yaml", SHEET),
        ("parts.yaml", parts),
        ("days/day-01.md", log.as_str()),
    ]);
    let build = compile(files);
    let permissions = build.book.sheet.audiences[audience];
    let book = WorkedBook {
        evenings: Evenings::of(&build),
        build,
        photos: std::collections::BTreeMap::new(),
    };
    let order = Order {
        audience,
        permissions,
        as_is: Some("The signer"),
        sources: String::new(),
    };
    hand_over(
        &book,
        &Pages::new(),
        &Theme::built_in().expect("the theme"),
        &order,
    )
    .expect("made")
    .files
}

/// All text of the pages.
fn told(pages: &Pages) -> String {
    let html = pages.iter().filter(|(path, _)| is_page(path));
    html.map(|(_, bytes)| unescaped(&String::from_utf8_lossy(bytes)))
        .collect()
}

#[test]
fn a_name_that_a_drawing_would_cut_short_goes_before_it_is_cut() {
    let log = "- [x] Weld the long cross member under the seat of Duarte {one, by Ines Duarte, took 1 h}\n\
               - [x] Paint it {two, follows one, by Ivo, took 1 h}\n";
    let pages = pages("audience", "", log);
    let jobs = String::from_utf8_lossy(&pages["jobs.html"]).into_owned();
    assert!(
        jobs.contains("what follows what"),
        "the chain of jobs is drawn"
    );
    assert!(
        !jobs.contains("Duar") && !jobs.contains("Ines") && jobs.contains("I. D."),
        "{jobs}"
    );
}

#[test]
fn a_hold_check_on_a_cost_keeps_its_figures_and_a_value_between_does_not() {
    let parts = "jack: {what: Jack, cost: 7318.37}\n";
    let log = "```parts\njack: in\n```\n\n```sums\nmidway = jack.cost / 1000 EUR * 1 mm\ngap = midway * 2\ngap at least 9 mm, hold\n```\n";
    let told = told(&pages("audience", parts, log));
    assert!(
        told.contains("14.6"),
        "the figure of the hold check is there"
    );
    assert!(
        !told.contains("7.318") && !told.contains("7318"),
        "the value between is not"
    );
}

#[test]
fn a_withheld_check_that_is_out_of_limits_is_counted_and_not_named() {
    let parts = "jack: {what: Jack, cost: 7318.37}\n";
    let log = "```parts\njack: in\n```\n\n```sums\nshare = jack.cost / 1000 EUR\nshare at most 0.3\n```\n";
    let cover = |audience| {
        let pages = pages(audience, parts, log);
        unescaped(&String::from_utf8_lossy(&pages["index.html"]))
    };
    let seen = cover("audience");
    assert!(
        seen.contains("1 check on a value left out: out of limits")
            && !seen.contains("at most 0.3"),
        "{seen}"
    );
    assert!(cover("customer").contains("share at most 0.3: out of limits"));
}

#[test]
fn the_customer_sees_costs_serials_and_names_and_nothing_of_the_shop() {
    let parts = "jack: {what: Jack, from: Tern Works, serial: \"J-0417\", cost: 7318.37}\n";
    let told = told(&pages(
        "customer",
        parts,
        "Ines Duarte had it.\n\n```shop\nUnspoken words\n```\n",
    ));
    for seen in ["7318.37", "J-0417", "Tern Works", "Ines Duarte"] {
        assert!(told.contains(seen), "{seen}");
    }
    assert!(!told.contains("Unspoken"));
}

#[test]
fn every_link_of_a_handover_leads_to_a_page_that_is_handed_over() {
    let log = "- [ ] Do it {one, by Ivo, caution lifting}\n\nSee [below](#the-day) and `gap`.\n\n```sums\ngap = 3 mm\ngap at least 2 mm\n```\n";
    let pages = pages("audience", "", log);
    for (path, bytes) in pages.iter().filter(|(path, _)| is_page(path)) {
        let text = String::from_utf8_lossy(bytes);
        for href in text
            .split("href=\"")
            .skip(1)
            .filter_map(|rest| rest.split('"').next())
        {
            let (page, anchor) = href.split_once('#').unwrap_or((href, ""));
            let folder = path.rsplit_once('/').map_or("", |(folder, _)| folder);
            let target = match page.strip_prefix("../") {
                Some(above) => above.to_owned(),
                None if page.is_empty() => path.clone(),
                None if folder.is_empty() => page.to_owned(),
                None => format!("{folder}/{page}"),
            };
            let there = pages
                .get(&target)
                .unwrap_or_else(|| panic!("{path} links to {href}"));
            let id = format!("id=\"{anchor}\"");
            assert!(
                anchor.is_empty() || String::from_utf8_lossy(there).contains(&id),
                "{path}: no place {href}"
            );
        }
    }
}
