//! A log's prose without what is kept in the shop.
//!
//! In: the prose of all logs. Out: the same without `shop` blocks, without the values of names that
//! are withheld, and without links to places that went with a `shop` block: such a link would tell
//! the heading it led to.

use std::collections::{BTreeMap, BTreeSet};

use super::WITHHELD;
use crate::book::Book;
use crate::markdown::{Piece, Prose, escape, unescape, unpercent};

/// The anchors that are left on the page of each log, by the page's file name.
pub(super) type Anchors = BTreeMap<String, BTreeSet<String>>;

/// The anchors outside `shop` blocks.
pub(super) fn anchors(book: &Book) -> Anchors {
    let page = |log: &crate::book::DayLog| (format!("{}.html", log.stem), anchors_of(&log.prose));
    book.days.iter().map(|log| page(log)).collect()
}

fn anchors_of(prose: &Prose) -> BTreeSet<String> {
    let html = prose.pieces.iter().filter_map(|piece| match piece {
        Piece::Html(html) => Some(html.as_str()),
        _ => None,
    });
    html.flat_map(|html| html.split(" id=\"").skip(1))
        .filter_map(|rest| rest.split('"').next())
        .map(plain)
        .collect()
}

/// The prose of one log for somebody outside; `withheld` tells which references show nothing.
pub(super) fn outside(
    prose: &Prose,
    page: &str,
    anchors: &Anchors,
    withheld: impl Fn(&str) -> bool,
) -> Prose {
    let mut links = Links {
        page,
        anchors,
        lost: false,
    };
    let pieces = prose.pieces.iter().filter_map(|piece| match piece {
        Piece::Shop(_) => None,
        Piece::Html(html) => Some(Piece::Html(links.kept(html))),
        Piece::Reference(reference) if withheld(&reference.text) => Some(Piece::Html(format!(
            "<code>{}</code> {WITHHELD}",
            escape(&reference.text)
        ))),
        other => Some(other.clone()),
    });
    Prose {
        pieces: pieces.collect(),
    }
}

/// Follows links through the pieces of a page.
struct Links<'a> {
    page: &'a str,
    anchors: &'a Anchors,
    /// A link that leads nowhere is open: its end goes too.
    lost: bool,
}

impl Links<'_> {
    fn kept(&mut self, html: &str) -> String {
        let mut out = String::with_capacity(html.len());
        let mut rest = html;
        while let Some(at) = rest
            .find("<a href=\"")
            .into_iter()
            .chain(rest.find("</a>"))
            .min()
        {
            out.push_str(&rest[..at]);
            let end = rest[at..].find('>').map_or(rest.len(), |end| at + end + 1);
            let tag = &rest[at..end];
            match tag
                .strip_prefix("<a href=\"")
                .and_then(|rest| rest.split('"').next())
            {
                Some(href) => self.lost = !self.leads(href),
                None if std::mem::take(&mut self.lost) => {
                    rest = &rest[end..];
                    continue;
                }
                None => {}
            }
            if !self.lost {
                out.push_str(tag);
            }
            rest = &rest[end..];
        }
        out.push_str(rest);
        out
    }

    /// Is the place there that a link leads to? A web address is none of ours.
    fn leads(&self, href: &str) -> bool {
        let Some((page, anchor)) = href.split_once('#') else {
            return true;
        };
        let page = if page.is_empty() {
            self.page.to_owned()
        } else {
            plain(page)
        };
        self.anchors
            .get(&page)
            .is_none_or(|anchors| anchors.contains(&plain(anchor)))
    }
}

/// An escaped address as it was.
fn plain(escaped: &str) -> String {
    unpercent(&unescape(escaped))
}
