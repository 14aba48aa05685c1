//! Text made safe to stand in HTML.
//!
//! In: any text. Out: text that can open no tag, no attribute and no entity.

use std::fmt::Write as _;

/// Text for an element or a quoted attribute.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 16);
    escape_into(&mut out, text);
    out
}

/// Appends `text`, made safe.
pub(super) fn escape_into(out: &mut String, text: &str) {
    let mut rest = text;
    while let Some(at) = rest.find(['&', '<', '>', '"', '\'']) {
        let (plain, special) = rest.split_at(at);
        out.push_str(plain);
        out.push_str(entity(
            special.as_bytes().first().copied().unwrap_or_default(),
        ));
        rest = special.get(1..).unwrap_or_default();
    }
    out.push_str(rest);
}

fn entity(special: u8) -> &'static str {
    match special {
        b'&' => "&amp;",
        b'<' => "&lt;",
        b'>' => "&gt;",
        b'"' => "&quot;",
        _ => "&#39;",
    }
}

/// Text as it was before it was made safe.
pub(crate) fn unescape(text: &str) -> String {
    if !text.contains('&') {
        return text.to_owned();
    }
    let entities = [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&amp;", "&"),
    ];
    entities
        .iter()
        .fold(text.to_owned(), |text, (entity, sign)| {
            text.replace(entity, sign)
        })
}

/// An address for a quoted `href` or `src`.
pub fn escape_href(address: &str) -> String {
    let mut out = String::with_capacity(address.len());
    for c in address.chars() {
        match c {
            '&' | '\'' => out.push_str(entity(c as u8)),
            '"' | '<' | '>' | '\\' | '^' | '`' | '{' | '|' | '}' => percent(&mut out, c),
            c if c.is_whitespace() || c.is_control() => percent(&mut out, c),
            c => out.push(c),
        }
    }
    out
}

/// Appends the bytes of `c` as `%20`.
fn percent(out: &mut String, c: char) {
    for byte in c.encode_utf8(&mut [0; 4]).bytes() {
        // Writing to a String cannot fail.
        let _ = write!(out, "%{byte:02X}");
    }
}

/// `%20` read back; what is no such code stays as it is.
pub(crate) fn unpercent(address: &str) -> String {
    let mut bytes = Vec::with_capacity(address.len());
    let mut rest = address.as_bytes();
    while let Some((first, after)) = rest.split_first() {
        let code = after
            .get(..2)
            .filter(|_| *first == b'%')
            .and_then(|two| std::str::from_utf8(two).ok());
        let code = code.filter(|two| two.bytes().all(|b| b.is_ascii_hexdigit()));
        let byte = code.and_then(|two| u8::from_str_radix(two, 16).ok());
        bytes.push(byte.unwrap_or(*first));
        rest = if byte.is_some() {
            after.get(2..).unwrap_or_default()
        } else {
            after
        };
    }
    String::from_utf8(bytes).unwrap_or_else(|_| address.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_could_open_a_tag_is_left() {
        assert_eq!(
            escape("a<b> & \"c\" 'd' °"),
            "a&lt;b&gt; &amp; &quot;c&quot; &#39;d&#39; °"
        );
        assert_eq!(escape_href("x y\"><b>&é"), "x%20y%22%3E%3Cb%3E&amp;é");
    }

    #[test]
    fn percent_codes_are_read_back() {
        assert_eq!(unpercent("day%2002.md%"), "day 02.md%");
        assert_eq!(unpercent("%ff%C3%A9"), "%ff%C3%A9");
        assert_eq!(unpercent("%C3%A9"), "é");
    }
}
