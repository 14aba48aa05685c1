//! HTML of our own making as somebody outside may see it.
//!
//! In: HTML or SVG that the program wrote. Out: the same tags; texts, addresses and anchors without what may not be
//! seen. Only what the program itself writes is read here: quoted attributes, escaped text.

use super::Veil;

/// Attributes that hold an address or an anchor.
const ADDRESSES: [&str; 3] = ["href", "src", "id"];

/// The HTML as the audience may see it; `words` is the veil's way with texts.
pub(super) fn seen(veil: &Veil, html: &str, words: fn(&Veil, &str) -> String) -> String {
    let mut out = String::with_capacity(html.len());
    let mut rest = html;
    while let Some(open) = rest.find('<') {
        let (text, tag) = rest.split_at(open);
        out.push_str(&words(veil, text));
        let end = tag.find('>').map_or(tag.len(), |end| end + 1);
        attributes(veil, &tag[..end], words, &mut out);
        rest = &tag[end..];
    }
    out.push_str(&words(veil, rest));
    out
}

fn attributes(veil: &Veil, tag: &str, words: fn(&Veil, &str) -> String, out: &mut String) {
    let mut rest = tag;
    while let Some(at) = rest.find("=\"") {
        let (name, value) = (&rest[..at], &rest[at + 2..]);
        let end = value.find('"').unwrap_or(value.len());
        out.push_str(name);
        out.push_str("=\"");
        let name = name.rsplit(' ').next().unwrap_or_default();
        let value_seen = match name {
            name if ADDRESSES.contains(&name) => veil.address(&value[..end]),
            "class" | "alt" | "aria-label" | "title" => words(veil, &value[..end]),
            _ => value[..end].to_owned(),
        };
        out.push_str(&value_seen);
        rest = &value[end..];
    }
    out.push_str(rest);
}
