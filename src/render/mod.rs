//! A page set and a theme become pages.
//!
//! In: a [`PageSet`] and a [`Theme`]. Out: bytes by path, relative to the record's folder. Knows
//! how a page looks, and nothing of how a figure came about.

mod breaks;
mod clean;
mod search;
mod theme;

use std::collections::BTreeMap;

use rayon::prelude::*;
use serde::Serialize;
use tera::Context;

pub use search::SEARCH;
pub use theme::{Theme, ThemeError};

use crate::pages::{Message, PageId, PageSet, SHEETS, WallPage};
use crate::redaction::Redactor;
use crate::{shop_model, view_model};

/// Bytes by path: `days/day-01.html`.
pub type Pages = BTreeMap<String, Vec<u8>>;

view_model! {
    /// A sheet that every page links to.
    pub struct Way {
        /// Its address in the record.
        pub href: &'static str => Public,
        /// What it is called.
        pub text: &'static str => Public,
        /// Is this page that sheet?
        pub here: bool => Public,
    }
}

/// The name of the style sheet in a record.
pub const STYLE: &str = "style.css";
/// The name of the style sheet of the whole book on paper.
pub const PRINT_STYLE: &str = "print.css";

/// The script that every page of a record brings: the search line, and long tables sifted and
/// ordered.
pub const SCRIPT: &str = "record.js";
/// Its text. Themes say how a page looks, not what it does.
pub const SCRIPT_TEXT: &str = include_str!("record.js");

/// Lays out and presses every page of a record.
pub fn press(page_set: &PageSet, theme: &Theme) -> Result<Pages, ThemeError> {
    let press = Press::new(page_set, theme);
    let pages = page_set
        .page_ids()
        .into_par_iter()
        .with_max_len(1)
        .map(|page_id| {
            let page = press.page(page_id, &page_set.lay_out(page_id))?;
            Ok((page_set.path(page_id), page))
        });
    let mut pages: Pages = pages.collect::<Result<_, ThemeError>>()?;
    pages.insert(STYLE.to_owned(), theme.style().as_bytes().to_vec());
    pages.insert(SCRIPT.to_owned(), SCRIPT_TEXT.as_bytes().to_vec());
    pages.insert(SEARCH.to_owned(), press.search()?);
    Ok(pages)
}

shop_model! {
    /// What a page on the wall carries besides, since it is looked at while the crew writes.
    pub struct Live {
        /// `2 errors in the book`
        pub count: String,
        /// The same as a number.
        pub all: usize,
        /// What is wrong with the book, the first few.
        pub errors: Vec<Message>,
        /// Why the page is not current; empty where it is.
        pub not_current: String,
    }
}

/// A page set and the theme it is rendered with.
pub struct Press<'a> {
    page_set: &'a PageSet<'a>,
    theme: &'a Theme,
    live: Option<Live>,
    redactor: Option<&'a Redactor>,
}

impl<'a> Press<'a> {
    /// Prepares to render pages of a page set.
    pub fn new(page_set: &'a PageSet<'a>, theme: &'a Theme) -> Self {
        Self {
            page_set,
            theme,
            live: None,
            redactor: None,
        }
    }

    /// The same for the wall.
    pub fn live(page_set: &'a PageSet<'a>, theme: &'a Theme, live: Live) -> Self {
        Self {
            live: Some(live),
            ..Self::new(page_set, theme)
        }
    }

    /// The same for somebody outside: what every page carries goes through the redactor. The pages
    /// come redacted already.
    pub fn redacted(page_set: &'a PageSet<'a>, theme: &'a Theme, redactor: &'a Redactor) -> Self {
        Self {
            redactor: Some(redactor),
            ..Self::new(page_set, theme)
        }
    }

    /// Presses the shop screen.
    pub fn wall(&self, page: &WallPage) -> Result<Vec<u8>, ThemeError> {
        self.theme
            .render("wall.html", &self.context(PageId::Cover, page)?)
    }

    /// Presses a page.
    pub fn page(&self, page_id: PageId, page: &impl Serialize) -> Result<Vec<u8>, ThemeError> {
        self.theme
            .render(template(page_id), &self.context(page_id, page)?)
    }

    /// Presses the cover of a handover.
    pub fn handed(
        &self,
        cover: &impl Serialize,
        handed: &impl Serialize,
    ) -> Result<Vec<u8>, ThemeError> {
        self.with_handed("handed.html", cover, handed)
    }

    /// Presses the whole book as one page.
    pub fn book(
        &self,
        book: &impl Serialize,
        handed: &impl Serialize,
    ) -> Result<Vec<u8>, ThemeError> {
        self.with_handed("book.html", book, handed)
    }

    /// A page that says of the handover what its cover says.
    fn with_handed(
        &self,
        template: &str,
        page: &impl Serialize,
        handed: &impl Serialize,
    ) -> Result<Vec<u8>, ThemeError> {
        let mut context = self.context(PageId::Cover, page)?;
        context.insert_value("handed", data(handed)?);
        self.theme.render(template, &context)
    }

    /// What the search line finds, as a script.
    pub fn search(&self) -> Result<Vec<u8>, ThemeError> {
        let data = self.page_set.search();
        let seen = match self.redactor {
            Some(redactor) => redactor.page(data),
            None => data,
        };
        Ok(search::script(&seen)?)
    }

    /// What every page carries.
    fn frame(&self, page_id: PageId) -> Result<tera::Value, ThemeError> {
        let frame = self.page_set.frame(page_id);
        match self.redactor {
            Some(redactor) => data(&redactor.page(frame)),
            None => data(&frame),
        }
    }

    fn context(&self, page_id: PageId, page: &impl Serialize) -> Result<Context, ThemeError> {
        let way = |(to, href, text): &(PageId, &'static str, &'static str)| Way {
            href,
            text,
            here: *to == page_id,
        };
        let ways: Vec<Way> = SHEETS.iter().map(way).collect();
        let mut context = Context::new();
        context.insert_value("frame", self.frame(page_id)?);
        context.insert_value("page", data(page)?);
        context.insert("live", &self.live);
        context.insert("ways", &ways);
        context.insert(
            "root",
            if self.page_set.path(page_id).contains('/') {
                "../"
            } else {
                ""
            },
        );
        Ok(context)
    }
}

fn template(page_id: PageId) -> &'static str {
    match page_id {
        PageId::Cover => "cover.html",
        PageId::Jobs => "jobs.html",
        PageId::Ledger => "ledger.html",
        PageId::AsBuilt => "as-built.html",
        PageId::Hold => "hold.html",
        PageId::Methods => "methods.html",
        PageId::Day(_) => "day.html",
    }
}

fn data<T: Serialize>(what: &T) -> Result<tera::Value, ThemeError> {
    Ok(tera::Value::try_from_serializable(what)?)
}
