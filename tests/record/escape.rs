//! Nothing that a book says is ever read as a page's own code.

use crate::written::{Book, Pages, attributes, texts};

const CANARY: &str = "<script>canary()</script>";

/// A book that says a text wherever it can say something.
fn says(canary: &str) -> Book {
    let yaml = serde_json::to_string(canary).expect("a YAML text");
    let sheet = format!(
        "title: {yaml}\nstart: 2031-05-02\ndays: 3\ncrew: [{{name: {yaml}, hours: 8}}]\nmoney: {yaml}\n{yaml}: 1\n"
    );
    let parts = format!(
        "arm:\n  what: {yaml}\n  from: {yaml}\n  number: {yaml}\n  serial: {yaml}\n  supplied: {yaml}\n  ratings: {{{yaml}: 3 kg}}\n"
    );
    let plan = format!("## Day 1\n\n- [ ] {canary} {{job_1, by {canary}, caution {canary}}}\n");
    let log = format!(
        "---\nday: 1\ncrew: [{yaml}]\n---\n# {canary}\n\n{canary}\n\n<div onclick=\"canary()\">{canary}</div>\n\n\
         [{canary}]({canary}) [x](javascript:canary()) <javascript:canary()> ![{canary}]({canary} \"{canary}\")\n\n\
         | {canary} |\n| --- |\n| {canary} |\n\nA note[^1] ~~{canary}~~ `{canary}`\n\n[^1]: {canary}\n\n\
         - [ ] {canary} {{job_2, temp: {canary}, held up: {canary}, {canary}}}\n- [x] {canary} {{job_1, again: {canary}, dropped: {canary}}}\n\n\
         ```parts\narm: ordered, {canary}\narm: in, {canary}   # {canary}\narm: altered, {canary}\n{canary}: in\narm: {canary}\n```\n\n\
         ```sums\ngap measured 3 ± 1 mm, by {canary}\ngap measured 3 ± 1 mm   # {canary}\n{canary} = 3\nx = {canary}\ngap at most 4 mm  # {canary}\ngap at most {canary}\n```\n\n\
         ```drawing\n{canary}\nband {canary}\nband gap  # {canary}\n```\n\n```html\n{canary}\n```\n\n```{canary}\ncode\n```\n"
    );
    Book::of(&[
        ("build-sheet.yaml", &sheet),
        ("parts.yaml", &parts),
        ("plan.md", &plan),
        ("days/day-01.md", &log),
        ("days/<script>canary()<x>.md", "---\nday: 2\n---\n"),
    ])
}

fn elements(pages: &Pages, selector: &str) -> usize {
    pages
        .pages
        .values()
        .map(|page| texts(page, selector).len())
        .sum()
}

/// The program's own scripts, which no book can add to.
fn scripts(pages: &Pages) -> Vec<Vec<String>> {
    pages
        .pages
        .values()
        .map(|page| [texts(page, "script"), attributes(page, "script", "src")].concat())
        .collect()
}

#[test]
fn a_script_in_a_book_never_becomes_one() {
    let pages = says(CANARY).pages();
    assert!(
        pages
            .texts
            .values()
            .any(|text| text.contains("&lt;script&gt;canary()")),
        "the canary is shown"
    );
    for (path, text) in &pages.texts {
        assert!(!text.contains(CANARY), "{path}");
    }
    assert!(
        scripts(&pages)
            .iter()
            .flatten()
            .all(|script| !script.contains("canary"))
    );
}

#[test]
fn a_quote_in_a_book_never_ends_an_attribute() {
    for canary in [
        "\" onmouseover=\"canary()",
        "' onmouseover='canary()",
        "\"><img src=x onerror=canary()>",
        "</title></style></svg><img src=x onerror=canary()>",
    ] {
        let pages = says(canary).pages();
        let selector = "[onmouseover], [onerror], [onclick], [onload], img[src=x]";
        assert_eq!(elements(&pages, selector), 0, "{canary}");
        let one_of_each = |selector| {
            pages
                .pages
                .values()
                .all(|page| texts(page, selector).len() == 1)
        };
        assert!(
            one_of_each("head > title") && one_of_each("body") && one_of_each("h1"),
            "{canary}"
        );
    }
}

#[test]
fn templates_and_markup_of_the_press_mean_nothing_in_a_book() {
    for canary in [
        "{{ frame.title }}",
        "{% include \"x\" %}",
        "{# gone #}",
        "<!-- gone",
        "]]>",
        "&lt;b&gt;",
        "&#x3c;b>",
    ] {
        let pages = says(canary).pages();
        let title = texts(pages.page("index.html"), "h1").join("");
        let shown = canary.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(title.contains(&shown), "{canary}: {title}");
    }
}

#[test]
fn no_link_runs_code_or_leaves_by_a_path() {
    let pages = says(CANARY).pages();
    for (path, page) in &pages.pages {
        for href in attributes(page, "[href], [src]", "href") {
            let scheme = href.trim_start().to_lowercase();
            assert!(
                !["javascript:", "data:", "vbscript:", "file:"]
                    .iter()
                    .any(|bad| scheme.starts_with(bad)),
                "{path}: {href}"
            );
        }
    }
}
