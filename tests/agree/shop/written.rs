//! A book written up, exported and told, all in one process.
//!
//! In: the texts of a book. Out: a [`Written`] record: its pages, the shop screen, the documents,
//! the next morning's log.

use std::collections::BTreeMap;

use scraper::{ElementRef, Html, Selector};
use serde_json::Value;
use shimbook::build::{Build, compile};
use shimbook::export::document as documents;
use shimbook::export::sheets::{document, sheets};
use shimbook::io::BookFiles;
use shimbook::pages::{Evenings, PageSet};
use shimbook::render::{Press, Theme};
use shimbook::{hold, morning};

/// A book written up, exported and told.
pub(super) struct Written {
    pub(super) build: Build,
    /// The pages by path.
    pub(super) pages: BTreeMap<String, Html>,
    /// The shop screen.
    pub(super) wall: Html,
    /// `tally --format json`
    pub(super) tally: Value,
    /// `book.json`
    pub(super) export: Value,
    /// The next morning's log.
    pub(super) morning: String,
}

impl Written {
    pub(super) fn of(texts: &[(String, String)], theme: &Theme) -> Self {
        let build = compile(BookFiles::from_texts(
            texts
                .iter()
                .map(|(path, text)| (path.as_str(), text.as_str())),
        ));
        let evenings = Evenings::of(&build);
        let page_set = PageSet::new(&build, &evenings);
        let press = Press::new(&page_set, theme);
        let html = |bytes: Vec<u8>| Html::parse_document(&String::from_utf8(bytes).unwrap());
        let page = |leaf| {
            (
                page_set.path(leaf),
                html(press.page(leaf, &page_set.lay_out(leaf)).unwrap()),
            )
        };
        let pages = page_set.page_ids().into_iter().map(page).collect();
        let wall = html(press.wall(&page_set.wall(None)).unwrap());
        let tally = serde_json::to_value(documents::tally(&build)).unwrap();
        let export = document(&build, &sheets(&build));
        let held = hold::on_day(&build.worked, &build.jobs, build.day());
        let morning = morning::next_day(&build.book, &build.jobs, &build.ahead.orders, &held, "");
        let morning = morning.map_or_else(String::new, |next| next.text);
        drop(evenings);
        Self {
            build,
            pages,
            wall,
            tally,
            export,
            morning,
        }
    }
}

/// The elements within an element that a selector finds.
pub(super) fn all<'h>(within: ElementRef<'h>, selector: &str) -> Vec<ElementRef<'h>> {
    within.select(&Selector::parse(selector).unwrap()).collect()
}

pub(super) fn first<'h>(within: ElementRef<'h>, selector: &str) -> Option<ElementRef<'h>> {
    all(within, selector).into_iter().next()
}

/// The words of an element.
pub(super) fn words(element: ElementRef) -> String {
    element.text().collect::<String>().trim().to_owned()
}
