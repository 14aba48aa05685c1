//! Characters that may not stand in a page as they are.
//!
//! In: a page as it came out of its template. Out: the same, where characters that HTML forbids
//! stand as pictures of themselves (`␀`), and characters that turn the reading direction of what
//! follows stand as their codes: raw, they could show 12.5 as 5.21. Words that read from right to
//! left by themselves stay as they are.

/// Puts what cannot stand as it is into words. Most pages hold nothing of the kind and are not
/// copied.
pub(super) fn clean(page: Vec<u8>) -> Vec<u8> {
    let Some(first) = next_foul(&page, 0) else {
        return page;
    };
    let mut out = Vec::with_capacity(page.len() + 64);
    let mut done = 0;
    let mut foul = Some(first);
    while let Some((at, length, shown)) = foul {
        out.extend_from_slice(page.get(done..at).unwrap_or_default());
        out.extend_from_slice(shown.as_bytes());
        done = at + length;
        foul = next_foul(&page, done);
    }
    out.extend_from_slice(page.get(done..).unwrap_or_default());
    out
}

/// The next such character from a byte on: where it stands, how long it is, how it is shown.
fn next_foul(page: &[u8], from: usize) -> Option<(usize, usize, String)> {
    let mut at = from;
    loop {
        let rest = page.get(at..)?;
        at += rest.iter().position(|byte| is_suspect(*byte))?;
        let (length, character) = character(page.get(at..)?);
        if let Some(shown) = character.and_then(shown) {
            return Some((at, length, shown));
        }
        at += length;
    }
}

/// Can a character that begins with this byte be one of them?
fn is_suspect(byte: u8) -> bool {
    matches!(byte, 0..=8 | 0xb | 0xe..=0x1f | 0x7f | 0xc2 | 0xe2 | 0xef | 0xf0..=0xf4)
}

/// The character at the front of some bytes, and its length.
fn character(bytes: &[u8]) -> (usize, Option<char>) {
    let length = match bytes.first() {
        Some(0xf0..) => 4,
        Some(0xe0..) => 3,
        Some(0xc0..) => 2,
        _ => 1,
    };
    let text = bytes
        .get(..length)
        .and_then(|bytes| std::str::from_utf8(bytes).ok());
    (length, text.and_then(|text| text.chars().next()))
}

fn shown(c: char) -> Option<String> {
    let code = u32::from(c);
    match c {
        '\t' | '\n' | '\x0c' | '\r' => None,
        '\0'..='\x1f' => char::from_u32(0x2400 + code).map(String::from),
        '\x7f' => Some("␡".to_owned()),
        '\u{80}'..='\u{9f}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}'
        | '\u{fdd0}'..='\u{fdef}' => Some(format!("[U+{code:04X}]")),
        _ if code & 0xfffe == 0xfffe => Some(format!("[U+{code:04X}]")),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cleaned(text: &str) -> String {
        String::from_utf8(clean(text.as_bytes().to_vec())).unwrap()
    }

    #[test]
    fn what_turns_the_direction_or_is_forbidden_stands_as_its_code() {
        assert_eq!(
            cleaned("gap \u{202e}12.5\u{2069} mm\0\x1b[1m\u{85}\u{ffff}"),
            "gap [U+202E]12.5[U+2069] mm␀␛[1m[U+0085][U+FFFF]"
        );
    }

    #[test]
    fn everything_else_stays_as_it_is() {
        let text = "a\tb\r\n °±×–’…→ אב عر 車 🚗 \u{200f}é\u{301}\u{feff}";
        assert_eq!(cleaned(text), text);
        assert_eq!(clean(vec![b'a', 0xe2, 0x80]), [b'a', 0xe2, 0x80]);
    }
}
