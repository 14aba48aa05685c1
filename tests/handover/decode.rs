//! Bytes as somebody who looks for a secret would read them.
//!
//! In: a file. Out: its text as it is, with percent codes and entities read back, with base64 read
//! back; small letters throughout.

/// Is it a page of the record?
pub(crate) fn is_page(path: &str) -> bool {
    path.strip_suffix(".html").is_some()
}

/// Every reading of a file.
pub(crate) fn readings(bytes: &[u8]) -> Vec<String> {
    let plain = ungrouped(&String::from_utf8_lossy(bytes).to_lowercase());
    let mut readings = vec![unescaped(&plain), percent(&plain), base64(bytes)];
    readings.retain(|reading| !reading.is_empty() && *reading != plain);
    readings.push(plain);
    readings
}

/// Figures without the thin spaces between groups of three: `12 345` is found as `12345`.
fn ungrouped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (n, piece) in text.split('\u{202f}').enumerate() {
        let joins = out.ends_with(|c: char| c.is_ascii_digit())
            && piece.starts_with(|c: char| c.is_ascii_digit());
        if n > 0 && !joins {
            out.push('\u{202f}');
        }
        out.push_str(piece);
    }
    out
}

/// Entities read back, tags taken out: a word may not hide behind its marks.
pub(crate) fn unescaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['&', '<']) {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        if rest.starts_with('<') {
            rest = rest.find('>').map_or("", |end| &rest[end + 1..]);
            continue;
        }
        let end = rest.find(';').filter(|end| *end < 10);
        let sign = end.and_then(|end| entity(&rest[1..end]));
        out.push(sign.unwrap_or('&'));
        rest = if sign.is_some() {
            &rest[end.unwrap_or(0) + 1..]
        } else {
            &rest[1..]
        };
    }
    out.push_str(rest);
    out
}

fn entity(name: &str) -> Option<char> {
    let named = [
        ("amp", '&'),
        ("lt", '<'),
        ("gt", '>'),
        ("quot", '"'),
        ("apos", '\''),
        ("#x2f", '/'),
    ];
    let number = || {
        name.strip_prefix("#x")
            .and_then(|hex| u32::from_str_radix(hex, 16).ok())
            .or_else(|| name.strip_prefix('#')?.parse().ok())
    };
    named
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, sign)| *sign)
        .or_else(|| char::from_u32(number()?))
}

fn percent(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut out = Vec::with_capacity(bytes.len());
    let mut at = 0;
    while at < bytes.len() {
        let code = text
            .get(at + 1..at + 3)
            .filter(|_| bytes[at] == b'%')
            .and_then(|two| u8::from_str_radix(two, 16).ok());
        out.push(code.unwrap_or(bytes[at]));
        at += if code.is_some() { 3 } else { 1 };
    }
    String::from_utf8_lossy(&out).to_lowercase()
}

/// Every long run of base64 read back.
fn base64(bytes: &[u8]) -> String {
    let value = |byte: u8| match byte {
        b'A'..=b'Z' => Some(byte - b'A'),
        b'a'..=b'z' => Some(byte - b'a' + 26),
        b'0'..=b'9' => Some(byte - b'0' + 52),
        b'+' | b'-' => Some(62),
        b'/' | b'_' => Some(63),
        _ => None,
    };
    let mut out = Vec::new();
    for run in bytes
        .split(|byte| value(*byte).is_none())
        .filter(|run| run.len() > 11)
    {
        for four in run.chunks(4) {
            let bits = four
                .iter()
                .filter_map(|byte| value(*byte))
                .fold(0_u32, |bits, six| bits << 6 | u32::from(six));
            let bits = bits << (6 * (4 - four.len()));
            out.extend_from_slice(&bits.to_be_bytes()[1..]);
        }
        out.push(b' ');
    }
    String::from_utf8_lossy(&out).to_lowercase()
}

#[test]
fn a_hidden_word_is_found_in_each_way_of_writing_it() {
    let found = |text: &str| {
        readings(text.as_bytes())
            .iter()
            .any(|reading| reading.contains("secret word"))
    };
    assert!(
        found("a Secret Word b")
            && found("secret%20word")
            && found("s&#101;cret&#x20;word")
            && found("sec<b>ret</b> word")
    );
    assert!(found("data:image/png;base64,c2VjcmV0IHdvcmQgaGVyZQ=="));
    assert!(!found("secre word"));
}
