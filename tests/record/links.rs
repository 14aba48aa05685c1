//! Every link of every page leads somewhere, and nothing is fetched from elsewhere.

use std::collections::BTreeSet;

use scraper::Html;

use crate::written::{Book, Pages, attributes, has_ending, texts};

/// Attributes that name ids of the same page.
const ID_LISTS: [&str; 5] = [
    "aria-labelledby",
    "aria-describedby",
    "aria-controls",
    "for",
    "headers",
];

fn ids(page: &Html) -> Vec<String> {
    attributes(page, "[id]", "id")
}

/// The path in the record that an address on a page means; `None` where it leads out.
fn resolved(page: &str, address: &str) -> Option<String> {
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in address.split('/') {
        match part {
            "." | "" => {}
            ".." => drop(parts.pop()?),
            name => parts.push(name),
        }
    }
    Some(unpercent(&parts.join("/")))
}

fn unpercent(path: &str) -> String {
    let mut bytes = Vec::new();
    let mut rest = path.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        let code = (*first == b'%')
            .then(|| std::str::from_utf8(after.get(..2)?).ok())
            .flatten();
        let byte = code.and_then(|code| u8::from_str_radix(code, 16).ok());
        bytes.push(byte.unwrap_or(*first));
        rest = if byte.is_some() { &after[2..] } else { after };
    }
    String::from_utf8(bytes).expect("UTF-8")
}

fn is_elsewhere(address: &str) -> bool {
    address.starts_with("//")
        || address
            .split(['/', '#', '?'])
            .next()
            .is_some_and(|first| first.contains(':'))
}

/// What is wrong with an address on a page.
fn astray(pages: &Pages, page: &str, address: &str) -> Option<String> {
    let address = address.split_once('?').map_or(address, |(path, _)| path);
    let (path, fragment) = address
        .split_once('#')
        .map_or((address, None), |(path, id)| (path, Some(id)));
    let target = if path.is_empty() {
        Some(page.to_owned())
    } else {
        resolved(page, path)
    };
    let wrong = |why: &str| Some(format!("{page}: {address} {why}"));
    let Some(target) = target.filter(|target| pages.paths.contains(target)) else {
        return wrong("leads to no file");
    };
    match fragment {
        Some(id) if !ids(pages.page(&target)).contains(&unpercent(id)) => {
            wrong("leads to no place")
        }
        _ => None,
    }
}

fn all_astray(pages: &Pages) -> Vec<String> {
    let mut wrong = Vec::new();
    for (path, page) in &pages.pages {
        let addresses = [
            ("[href]", "href"),
            ("[src]", "src"),
            ("use", "xlink:href"),
            ("[poster]", "poster"),
        ];
        let addresses = addresses
            .iter()
            .flat_map(|(selector, attribute)| attributes(page, selector, attribute));
        let addresses: BTreeSet<String> =
            addresses.filter(|address| !is_elsewhere(address)).collect();
        wrong.extend(
            addresses
                .iter()
                .filter_map(|address| astray(pages, path, address)),
        );
    }
    wrong
}

fn example() -> Pages {
    Book::example().pages()
}

#[test]
fn every_link_anchor_and_picture_of_the_example_resolves() {
    assert_eq!(all_astray(&example()), Vec::<String>::new());
}

#[test]
fn the_example_has_links_enough_to_be_a_test() {
    let pages = example();
    let links: usize = pages
        .pages
        .values()
        .map(|page| attributes(page, "a[href]", "href").len())
        .sum();
    let with_place: usize = pages
        .pages
        .values()
        .flat_map(|page| attributes(page, "a[href]", "href"))
        .filter(|href| href.contains('#'))
        .count();
    assert!(
        links > 300 && with_place > 100,
        "{links} links, {with_place} to a place"
    );
}

#[test]
fn every_id_that_is_named_on_a_page_is_there() {
    let pages = example();
    for (path, page) in &pages.pages {
        let ids = ids(page);
        for list in ID_LISTS {
            for named in attributes(page, &format!("[{list}]"), list) {
                assert!(
                    named
                        .split_whitespace()
                        .all(|id| ids.iter().any(|known| known == id)),
                    "{path}: {list}={named}"
                );
            }
        }
        for (_, after) in pages.texts[path]
            .match_indices("url(#")
            .map(|(at, mark)| (at, &pages.texts[path][at + mark.len()..]))
        {
            let id = after.split(')').next().unwrap_or_default();
            assert!(ids.iter().any(|known| known == id), "{path}: url(#{id})");
        }
    }
}

#[test]
fn no_id_stands_twice_on_a_page() {
    for (path, page) in &example().pages {
        let mut once = BTreeSet::new();
        let twice: Vec<String> = ids(page)
            .into_iter()
            .filter(|id| !once.insert(id.clone()))
            .collect();
        assert!(twice.is_empty(), "{path}: {twice:?}");
    }
}

#[test]
fn every_page_says_its_language_its_title_and_one_heading() {
    let pages = example();
    let mut titles = BTreeSet::new();
    for (path, page) in &pages.pages {
        assert_eq!(attributes(page, "html", "lang"), ["en"], "{path}");
        assert_eq!(
            attributes(page, "meta[charset]", "charset"),
            ["utf-8"],
            "{path}"
        );
        let title = texts(page, "head > title");
        assert!(
            title.len() == 1 && !title[0].is_empty(),
            "{path}: {title:?}"
        );
        assert!(
            titles.insert(title[0].clone()),
            "{path}: another page is called {}",
            title[0]
        );
        let heading = texts(page, "h1");
        assert!(
            heading.len() == 1 && !heading[0].is_empty(),
            "{path}: {heading:?}"
        );
        assert!(pages.texts[path].starts_with("<!doctype html>\n"), "{path}");
    }
}

#[test]
fn every_page_is_whole_html() {
    for (path, page) in &example().pages {
        let wrong: Vec<&str> = page.errors.iter().map(AsRef::as_ref).collect();
        assert!(wrong.is_empty(), "{path}: {wrong:?}");
    }
}

#[test]
fn every_picture_says_what_it_shows() {
    for (path, page) in &example().pages {
        assert_eq!(
            attributes(page, "img", "src").len(),
            attributes(page, "img[alt]", "alt").len(),
            "{path}"
        );
        let drawings = texts(page, "svg:not([aria-hidden]):not([role])");
        assert!(
            drawings.is_empty(),
            "{path}: {} drawings are neither named nor hidden",
            drawings.len()
        );
    }
}

#[test]
fn nothing_is_loaded_from_elsewhere() {
    let book = Book::example();
    let pages = book.pages();
    for (path, page) in &pages.pages {
        for (selector, attribute) in [
            ("[src]", "src"),
            ("link", "href"),
            ("use", "href"),
            ("[srcset]", "srcset"),
            ("object", "data"),
            ("form", "action"),
        ] {
            let loaded = attributes(page, selector, attribute);
            assert!(
                loaded.iter().all(|address| !is_elsewhere(address)),
                "{path}: {loaded:?}"
            );
        }
        assert!(
            texts(page, "base, iframe, meta[http-equiv=refresh]").is_empty(),
            "{path}"
        );
    }
    for (path, bytes) in book
        .record()
        .iter()
        .filter(|(path, _)| has_ending(path, &["css", "js"]))
    {
        let text = String::from_utf8(bytes.clone()).expect("UTF-8");
        assert!(
            !text.contains("@import") && !text.contains("://") && !text.contains("url(//"),
            "{path}"
        );
    }
}

#[test]
fn every_page_can_be_reached_from_the_cover() {
    let pages = example();
    let mut reached = BTreeSet::from(["index.html".to_owned()]);
    let mut open = vec!["index.html".to_owned()];
    while let Some(page) = open.pop() {
        for href in attributes(pages.page(&page), "a[href]", "href")
            .iter()
            .filter(|href| !is_elsewhere(href))
        {
            let path = href.split('#').next().unwrap_or_default();
            let target = resolved(&page, path).filter(|target| pages.pages.contains_key(target));
            open.extend(target.filter(|target| reached.insert(target.clone())));
        }
    }
    assert_eq!(reached, pages.pages.keys().cloned().collect());
}

#[test]
fn links_resolve_in_a_book_full_of_odd_names_too() {
    let log = "---\nday: 1\n---\n# A day, 50 % done?\n\n## A heading: with # and `gap`\n\nSee [next](day-02%20late%3F.md), \
               [above](#a-heading-with--and-gap) and ![x](../photos/a%20b%23c.png).\n\n- [x] Do {job_1, took 1 h}\n\n\
               ```sums\ngap measured 3 ± 1 mm\ngap at most 5 mm\n```\n\n`gap` and `job_1`.\n";
    let book = Book::of(&[
        ("days/day-01.md", log),
        ("days/day-02 late?.md", "---\nday: 2\n---\nLater; `gap`.\n"),
        (
            "photos/a b#c.png",
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"/>",
        ),
    ]);
    assert_eq!(all_astray(&book.pages()), Vec::<String>::new());
}
