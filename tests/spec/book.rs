//! The book that a case describes.
//!
//! In: its fences. Out: texts by path: a build sheet, and a log of day 1 where the case has none.

use std::collections::BTreeMap;

use shimbook::io::BookFiles;

use crate::case::{Case, Fence};

const SHEET: &str = "\
title: The book of a case
start: 2031-05-02
days: 5
crew:
  - {name: Ines, hours: 9}
  - {name: Bashir, hours: 8}
";

/// The files of the book.
pub(crate) fn files(case: &Case) -> BookFiles {
    let texts = texts(case);
    let earlier = case.fences().filter(|fence| fence.word() == "earlier");
    let earlier = earlier.map(|fence| {
        (
            fence.info.trim_start_matches("earlier "),
            fence.body.as_str(),
        )
    });
    BookFiles::from_texts(
        texts
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str())),
    )
    .after(earlier)
}

fn texts(case: &Case) -> BTreeMap<String, String> {
    let mut texts = BTreeMap::from([("build-sheet.yaml".to_owned(), SHEET.to_owned())]);
    for fence in case.fences() {
        add(&mut texts, fence);
    }
    if !texts.keys().any(|path| path.starts_with("days/")) {
        texts.insert(log_path(1), front(1));
    }
    let without = case
        .fences()
        .filter(|fence| fence.word() == "without")
        .flat_map(|fence| fence.body.lines());
    for path in without {
        texts.remove(path);
    }
    texts
}

fn add(texts: &mut BTreeMap<String, String>, fence: &Fence) {
    match (fence.word(), fence.day()) {
        ("file", _) => {
            let path = fence.info.trim_start_matches("file ").to_owned();
            texts.insert(path, fence.body.clone());
        }
        ("sheet", _) => texts
            .entry("build-sheet.yaml".into())
            .or_default()
            .push_str(&fence.body),
        ("log", Some(day)) => log(texts, day).push_str(&fence.body),
        (word @ ("sums" | "parts" | "drawing"), Some(day)) => {
            log(texts, day).push_str(&format!("```{word}\n{}```\n", fence.body));
        }
        _ => {}
    }
}

/// A day's log so far, a blank line at its end.
fn log(texts: &mut BTreeMap<String, String>, day: u32) -> &mut String {
    let log = texts.entry(log_path(day)).or_insert_with(|| front(day));
    log.push('\n');
    log
}

fn log_path(day: u32) -> String {
    format!("days/day-{day:02}.md")
}

fn front(day: u32) -> String {
    format!("---\nday: {day}\n---\n")
}
