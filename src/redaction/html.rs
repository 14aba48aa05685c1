//! HTML of our own making, gone through piece by piece.
//!
//! In: HTML or SVG that the program wrote. Out: the same tags, with texts and attributes as
//! somebody may see them. Only what the program itself writes is read here: quoted attributes,
//! escaped text.

use std::cell::RefCell;

use super::Redactor;

/// Stands for a tag within a stretch of words.
pub(super) const WITHIN: char = '\u{1}';
/// Stands for a tag at which one stretch of words ends.
const BETWEEN_BLOCKS: char = '\u{2}';
const MARKS: [char; 2] = [WITHIN, BETWEEN_BLOCKS];
/// Tags between which words do not belong together. A table's cells do: `| cost | 12 |`.
const BLOCKS: [&str; 13] = [
    "p",
    "li",
    "ul",
    "ol",
    "tr",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "blockquote",
    "pre",
];

/// Attributes that hold an address or an anchor.
const ADDRESSES: [&str; 3] = ["href", "src", "id"];

/// The HTML as the audience may see it; `words` is the redactor's way with texts.
pub(super) fn seen(
    redactor: &Redactor,
    html: &str,
    words: fn(&Redactor, &str) -> String,
) -> String {
    let attribute = |name: &str, value: &str| match name {
        name if ADDRESSES.contains(&name) => redactor.address(value),
        "class" | "alt" | "aria-label" | "title" => words(redactor, value),
        _ => value.to_owned(),
    };
    let told = texts(html);
    let seen = words(redactor, &told);
    // The marks between the texts are still there, so that each piece finds its own place.
    let whole = seen.matches(MARKS).eq(told.matches(MARKS));
    let pieces = RefCell::new(seen.split(MARKS));
    let next = |text: &str| {
        pieces
            .borrow_mut()
            .next()
            .filter(|_| whole)
            .map_or_else(|| words(redactor, text), str::to_owned)
    };
    through(html, &next, &attribute)
}

/// What stands between the tags as one text, so that `paid **12**` is read as `paid 12` is.
fn texts(html: &str) -> String {
    let mut out = String::with_capacity(html.len());
    let mut rest = html;
    while let Some(open) = rest.find('<') {
        let (before, tag) = rest.split_at(open);
        out.extend(before.chars().filter(|c| !MARKS.contains(c)));
        let end = tag.find('>').map_or(tag.len(), |end| end + 1);
        let name = tag
            .trim_start_matches(['<', '/'])
            .split(|c: char| !c.is_alphanumeric())
            .next()
            .unwrap_or_default();
        out.push(if BLOCKS.contains(&name) {
            BETWEEN_BLOCKS
        } else {
            WITHIN
        });
        rest = &tag[end..];
    }
    out.extend(rest.chars().filter(|c| !MARKS.contains(c)));
    out
}

/// Goes through HTML: `text` with what stands between tags, `attribute` with names and values as
/// they stand there.
pub fn through(
    html: &str,
    text: &dyn Fn(&str) -> String,
    attribute: &dyn Fn(&str, &str) -> String,
) -> String {
    let mut out = String::with_capacity(html.len());
    let mut rest = html;
    while let Some(open) = rest.find('<') {
        let (before, tag) = rest.split_at(open);
        out.push_str(&text(before));
        let end = tag.find('>').map_or(tag.len(), |end| end + 1);
        attributes(&tag[..end], attribute, &mut out);
        rest = &tag[end..];
    }
    out.push_str(&text(rest));
    out
}

fn attributes(tag: &str, attribute: &dyn Fn(&str, &str) -> String, out: &mut String) {
    let mut rest = tag;
    while let Some(at) = rest.find("=\"") {
        let (name, value) = (&rest[..at], &rest[at + 2..]);
        let end = value.find('"').unwrap_or(value.len());
        out.push_str(name);
        out.push_str("=\"");
        out.push_str(&attribute(
            name.rsplit(' ').next().unwrap_or_default(),
            &value[..end],
        ));
        rest = &value[end..];
    }
    out.push_str(rest);
}
