//! HTML of our own making, gone through piece by piece.
//!
//! In: HTML or SVG that the program wrote. Out: the same tags, with texts and attributes as somebody may see them. Only
//! what the program itself writes is read here: quoted attributes, escaped text.

use super::Veil;

/// Attributes that hold an address or an anchor.
const ADDRESSES: [&str; 3] = ["href", "src", "id"];

/// The HTML as the audience may see it; `words` is the veil's way with texts.
pub(super) fn seen(veil: &Veil, html: &str, words: fn(&Veil, &str) -> String) -> String {
    let attribute = |name: &str, value: &str| match name {
        name if ADDRESSES.contains(&name) => veil.address(value),
        "class" | "alt" | "aria-label" | "title" => words(veil, value),
        _ => value.to_owned(),
    };
    through(html, &|text| words(veil, text), &attribute)
}

/// Goes through HTML: `text` with what stands between tags, `attribute` with names and values as they stand there.
pub fn through(html: &str, text: &dyn Fn(&str) -> String, attribute: &dyn Fn(&str, &str) -> String) -> String {
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
        out.push_str(&attribute(name.rsplit(' ').next().unwrap_or_default(), &value[..end]));
        rest = &value[end..];
    }
    out.push_str(rest);
}
