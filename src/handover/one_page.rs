//! The whole book as one page, to be printed.
//!
//! In: the pages for an audience, as data. Out: one view model that holds them all, in which every
//! link leads to a place of the same page: on paper there is no other page to go to, and a printed
//! link must not tell a folder of this machine.

use std::collections::BTreeMap;

use crate::markdown::unpercent;
use crate::pages::view_model::{Rewriter, Sensitivity, ViewModel};
use crate::pages::{
    AsBuilt, Cover, DayPage, HoldPage, Inspection, JobsPage, Leaf, LedgerPage, Methods, Page,
    SHEETS, Strip,
};
use crate::redaction::through_html;
use crate::view_model;

/// The page's path.
pub(super) const PATH: &str = "book.html";

view_model! {
    /// `book.html`: the whole book, to be printed.
    #[derive(Default)]
    pub struct WholeBook {
        /// The days, as the cover shows them.
        pub strip: Option<Strip> => View,
        /// The cover.
        pub cover: Option<Box<Cover>> => View,
        /// Every day.
        pub days: Vec<DayPage> => View,
        /// The jobs.
        pub jobs: Option<Box<JobsPage>> => View,
        /// The parts ledger.
        pub ledger: Option<Box<LedgerPage>> => View,
        /// The as-built sheet.
        pub as_built: Option<Box<AsBuilt>> => View,
        /// The hold list.
        pub hold: Option<Box<HoldPage>> => View,
        /// The methods.
        pub methods: Option<Box<Methods>> => View,
        /// The inspection sheet.
        pub inspection: Option<Inspection> => View,
    }
}

/// The pages as one.
pub(super) fn whole(pages: Vec<(Leaf, Page)>, inspection: Inspection) -> WholeBook {
    let places = Places::of(&pages);
    let mut whole = WholeBook {
        inspection: Some(places.put_in(inspection, None)),
        ..WholeBook::default()
    };
    for (_, page) in pages {
        let here = match &page {
            Page::Day(day) => Some(day.day),
            _ => None,
        };
        match places.put_in(page, here) {
            Page::Cover(page) => whole.cover = Some(page),
            Page::Jobs(page) => whole.jobs = Some(page),
            Page::Ledger(page) => whole.ledger = Some(page),
            Page::AsBuilt(page) => whole.as_built = Some(page),
            Page::Hold(page) => whole.hold = Some(page),
            Page::Methods(page) => whole.methods = Some(page),
            Page::Day(page) => whole.days.push(*page),
        }
    }
    whole.days.sort_by_key(|page| page.day);
    whole.strip = whole.cover.as_ref().map(|cover| cover.strip.clone());
    whole
}

/// Where a sheet begins in the whole.
fn sheet(leaf: Leaf) -> &'static str {
    match leaf {
        Leaf::Cover => "cover",
        Leaf::Jobs => "jobs",
        Leaf::Ledger => "ledger",
        Leaf::AsBuilt => "as_built",
        Leaf::Hold => "hold",
        Leaf::Methods => "methods",
        Leaf::Day(_) => "day",
    }
}

/// Where each page begins in the whole, by its path.
struct Places {
    begins: BTreeMap<String, String>,
}

impl Places {
    fn of(pages: &[(Leaf, Page)]) -> Self {
        let sheets = SHEETS
            .iter()
            .map(|(leaf, path, _)| ((*path).to_owned(), sheet(*leaf).to_owned()));
        let days = pages.iter().filter_map(|(_, page)| match page {
            Page::Day(page) => Some((page.href.clone(), day(page.day))),
            _ => None,
        });
        Self {
            begins: sheets.chain(days).collect(),
        }
    }

    /// A page with every address as it is in the whole; `here` is the day whose page it is.
    fn put_in<T: ViewModel>(&self, page: T, here: Option<u32>) -> T {
        page.rewrite(&Readdress { places: self, here })
    }

    /// An address as it is in the whole.
    fn address(&self, text: &str, here: Option<u32>) -> String {
        if let Some(number) = here.filter(|_| text.starts_with("line-")) {
            return format!("{}-{text}", day(number));
        }
        let (page, anchor) = text
            .split_once('#')
            .map_or((text, None), |(page, anchor)| (page, Some(anchor)));
        let begins = match (page, here) {
            ("", Some(number)) => Some(day(number)),
            _ => self.begins(page, here.is_some()),
        };
        match (begins, anchor) {
            (None, _) => text.to_owned(),
            (Some(begins), None) => format!("#{begins}"),
            (Some(begins), Some(anchor)) if begins.starts_with("day-") => {
                format!("#{begins}-{anchor}")
            }
            (Some(_), Some(anchor)) => format!("#{anchor}"),
        }
    }

    /// Where a page begins: its path from the record's folder, or from a day's page.
    fn begins(&self, page: &str, from_a_day: bool) -> Option<String> {
        let page = unpercent(page);
        let beside = || {
            self.begins
                .get(&format!("days/{page}"))
                .filter(|_| from_a_day)
        };
        let found = self
            .begins
            .get(page.trim_start_matches("../"))
            .or_else(beside);
        found.cloned()
    }
}

fn day(number: u32) -> String {
    format!("day-{number}")
}

/// Puts the addresses of the whole in the place of those of one page.
struct Readdress<'a> {
    places: &'a Places,
    here: Option<u32>,
}

impl Readdress<'_> {
    fn attribute(&self, name: &str, value: &str) -> String {
        match (name, self.here) {
            ("href", _) => self.places.address(value, self.here),
            ("id", Some(number)) => format!("{}-{value}", day(number)),
            _ => value.to_owned(),
        }
    }
}

impl Rewriter for Readdress<'_> {
    fn text(&self, sensitivity: Sensitivity, text: String) -> String {
        match sensitivity {
            Sensitivity::Address => self.places.address(&text, self.here),
            Sensitivity::Html => through_html(&text, &str::to_owned, &|name, value| {
                self.attribute(name, value)
            }),
            _ => text,
        }
    }

    fn shows_rows(&self, _: Sensitivity) -> bool {
        true
    }
}
