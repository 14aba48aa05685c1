//! Characters that would steer a terminal, as pictures of themselves.
//!
//! In: any text. Out: the same text, with nothing in it that moves the cursor, changes colours or
//! turns the reading direction.

use std::borrow::Cow;

/// The text with every control character as its picture (`␛`) or its code (`\u{202e}`).
pub fn visible(text: &str) -> Cow<'_, str> {
    if !text.chars().any(steers) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 16);
    for c in text.chars() {
        push(&mut shown, c);
    }
    Cow::Owned(shown)
}

/// Adds one character, as it can be shown.
pub(super) fn push(shown: &mut String, c: char) {
    match picture(c) {
        Some(picture) => shown.push(picture),
        None if steers(c) => shown.extend(c.escape_unicode()),
        None => shown.push(c),
    }
}

fn picture(c: char) -> Option<char> {
    match c {
        '\0'..='\u{1f}' => char::from_u32(0x2400 + u32::from(c)),
        '\u{7f}' => Some('␡'),
        _ => None,
    }
}

/// Control characters, marks that turn the direction, ends of lines and paragraphs, and a stray
/// byte-order mark.
fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{206f}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn control_characters_become_pictures_and_turns_of_direction_their_codes() {
        assert_eq!(visible("a\x1b[31mred\u{7}"), "a␛[31mred␇");
        assert_eq!(visible("x\u{202e}y\u{9b}z"), "x\\u{202e}y\\u{9b}z");
        assert!(matches!(visible("3.4 ± 0.4°, 車"), Cow::Borrowed(_)));
    }
}
