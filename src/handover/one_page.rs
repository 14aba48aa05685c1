//! The whole book as one page, to be printed.
//!
//! In: the pages for an audience, as data. Out: one view model that holds them all, in which every
//! link leads to a place of the same page: on paper there is no other page to go to, and a printed
//! link must not tell a folder of this machine.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

use crate::markdown::unpercent;
use crate::pages::{Leaf, SHEETS};
use crate::redaction::{readdress, through_html};

/// The page's path.
pub(super) const PATH: &str = "book.html";

/// The pages as one.
pub(super) fn whole(pages: Vec<(Leaf, Value)>, inspection: Value) -> Value {
    let places = Places::of(&pages);
    let mut whole = Map::new();
    let mut days = Vec::new();
    for (leaf, mut page) in pages {
        let (name, kind) = sheet(leaf);
        let here = page
            .get("day")
            .filter(|_| matches!(leaf, Leaf::Day(_)))
            .and_then(Value::as_u64);
        places.put_in(kind, &mut page, here);
        match leaf {
            Leaf::Day(index) => days.push((index, page)),
            _ => drop(whole.insert(name.to_owned(), page)),
        }
    }
    days.sort_by_key(|(index, _)| *index);
    let strip = whole
        .get("cover")
        .and_then(|cover| cover.get("strip"))
        .cloned();
    whole.insert("strip".to_owned(), strip.unwrap_or_default());
    whole.insert(
        "days".to_owned(),
        days.into_iter().map(|(_, page)| page).collect(),
    );
    let mut inspection = inspection;
    places.put_in("Inspection", &mut inspection, None);
    whole.insert("inspection".to_owned(), inspection);
    Value::Object(whole)
}

/// What a page is called in the whole, and its type.
fn sheet(leaf: Leaf) -> (&'static str, &'static str) {
    match leaf {
        Leaf::Cover => ("cover", "Cover"),
        Leaf::Jobs => ("jobs", "JobsPage"),
        Leaf::Ledger => ("ledger", "LedgerPage"),
        Leaf::AsBuilt => ("as_built", "AsBuilt"),
        Leaf::Hold => ("hold", "HoldPage"),
        Leaf::Methods => ("methods", "Methods"),
        Leaf::Day(_) => ("day", "DayPage"),
    }
}

/// Where each page begins in the whole, by its path.
struct Places {
    begins: BTreeMap<String, String>,
}

impl Places {
    fn of(pages: &[(Leaf, Value)]) -> Self {
        let sheets = SHEETS
            .iter()
            .map(|(leaf, path, _)| ((*path).to_owned(), sheet(*leaf).0.to_owned()));
        let days = pages
            .iter()
            .filter(|(leaf, _)| matches!(leaf, Leaf::Day(_)));
        let days = days.filter_map(|(_, page)| {
            Some((
                page.get("href")?.as_str()?.to_owned(),
                day(page.get("day")?.as_u64()?),
            ))
        });
        Self {
            begins: sheets.chain(days).collect(),
        }
    }

    fn put_in(&self, kind: &str, page: &mut Value, here: Option<u64>) {
        let address = |text: &str| self.address(text, here);
        let attribute = |name: &str, value: &str| match (name, here) {
            ("href", _) => self.address(value, here),
            ("id", Some(number)) => format!("{}-{value}", day(number)),
            _ => value.to_owned(),
        };
        readdress(kind, page, &address, &|html| {
            through_html(html, &str::to_owned, &attribute)
        });
    }

    /// An address as it is in the whole.
    fn address(&self, text: &str, here: Option<u64>) -> String {
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

fn day(number: u64) -> String {
    format!("day-{number}")
}
