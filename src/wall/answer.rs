//! What is answered to a path: a page, a style sheet, or that it is not here.
//!
//! In: a path inside the record and the book. Out: status, kind and bytes. Only what the book is
//! known to have is ever answered: no path of a request becomes a path on the disk.

use std::sync::Arc;

use crate::open_book::WorkedBook;
use crate::pages::PageSet;
use crate::render::{
    Live, Press, SCRIPT as RECORD_SCRIPT, SCRIPT_TEXT, SEARCH, STYLE, Theme, ThemeError,
};
use crate::writeup::record_json;

/// The script that keeps a page current.
const SCRIPT: &str = include_str!("wall.js");
/// The script that shows the shop screen leaf by leaf.
const SCREEN_SCRIPT: &str = include_str!("screen.js");
const HTML: &str = "text/html; charset=utf-8";
const JAVASCRIPT: &str = "text/javascript; charset=utf-8";
/// At most so many errors are shown on every page; the cover has them all.
const MOST_ERRORS: usize = 4;

/// An answer.
#[derive(Clone, Debug)]
pub struct Answer {
    /// 200, 404, 500, 503.
    pub status: u16,
    /// Its media type.
    pub kind: &'static str,
    /// Its bytes.
    pub bytes: Arc<[u8]>,
    /// Tells one content from another.
    pub tag: String,
}

impl Answer {
    pub(super) fn new(status: u16, kind: &'static str, bytes: impl Into<Arc<[u8]>>) -> Self {
        let bytes = bytes.into();
        let tag = format!("\"{}\"", &blake3::hash(&bytes).to_hex()[..32]);
        Self {
            status,
            kind,
            bytes,
            tag,
        }
    }

    fn words(status: u16, words: &str) -> Self {
        Self::new(status, "text/plain; charset=utf-8", words.as_bytes())
    }

    /// There is no such page.
    pub fn not_here() -> Self {
        Self::words(404, "This book has no such page.\n")
    }

    /// The book has not been read yet; a browser asks again by itself.
    pub fn not_yet() -> Self {
        Self::words(
            503,
            "The book has not been read yet: treat the vehicle as on hold. This page asks again by itself.\n",
        )
    }
}

/// Can this path be answered from the book?
pub(super) fn is_there(book: &WorkedBook, path: &str) -> bool {
    matches!(
        path,
        "wall.html"
            | "wall.js"
            | "screen.js"
            | "wall.css"
            | "record.json"
            | STYLE
            | RECORD_SCRIPT
            | SEARCH
    ) || book.page_set().find(path).is_some()
}

/// What the wall shows.
pub(super) struct Hung<'a> {
    pub(super) book: &'a WorkedBook,
    /// The book before the latest save.
    pub(super) before: Option<&'a WorkedBook>,
    /// Why it is not current; empty where it is.
    pub(super) not_current: &'a str,
}

/// The answer to a path.
pub(super) fn answer(path: &str, hung: &Hung, theme: &Theme) -> Answer {
    let book = hung.book;
    match path {
        "wall.js" => Answer::new(200, JAVASCRIPT, SCRIPT.as_bytes()),
        "screen.js" => Answer::new(200, JAVASCRIPT, SCREEN_SCRIPT.as_bytes()),
        RECORD_SCRIPT => Answer::new(200, JAVASCRIPT, SCRIPT_TEXT.as_bytes()),
        SEARCH => pressed(JAVASCRIPT, Press::new(&book.page_set(), theme).search()),
        "wall.css" => Answer::new(
            200,
            "text/css; charset=utf-8",
            theme.wall_style().as_bytes(),
        ),
        STYLE => Answer::new(200, "text/css; charset=utf-8", theme.style().as_bytes()),
        "record.json" => record_json(&book.build).map_or_else(
            |error| Answer::words(500, &error.to_string()),
            |json| Answer::new(200, "application/json", json),
        ),
        _ => page(path, hung, theme),
    }
}

fn page(path: &str, hung: &Hung, theme: &Theme) -> Answer {
    let page_set = hung.book.page_set();
    let press = Press::live(&page_set, theme, live(&page_set, hung.not_current));
    let page = match (path, page_set.find(path)) {
        ("wall.html", _) => press.wall(&page_set.wall(hung.before.map(|before| &before.build))),
        (_, Some(page_id)) => press.page(page_id, &page_set.lay_out(page_id)),
        (_, None) => return Answer::not_here(),
    };
    pressed(HTML, page)
}

fn pressed(kind: &'static str, bytes: Result<Vec<u8>, ThemeError>) -> Answer {
    bytes.map_or_else(
        |error| Answer::words(500, &error.to_string()),
        |bytes| Answer::new(200, kind, bytes),
    )
}

/// What every page says of the book's errors, and of its not being current.
fn live(page_set: &PageSet, not_current: &str) -> Live {
    let mut errors = page_set.errors();
    let all = errors.len();
    let count = match all {
        1 => "1 error in the book".to_owned(),
        count => format!("{count} errors in the book"),
    };
    errors.truncate(MOST_ERRORS);
    Live {
        count,
        all,
        errors,
        not_current: not_current.to_owned(),
    }
}
