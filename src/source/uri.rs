//! Paths as addresses.
//!
//! In: a path with `/` between its parts. Out: a relative reference as RFC 3986 has it, so that no
//! sign of a file's name ends the address or means something else in it.

use std::fmt::Write as _;

/// A path as a relative reference: everything but unreserved characters and `/` is percent-encoded.
pub fn uri(path: &str) -> String {
    let mut uri = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => {
                uri.push(char::from(byte));
            }
            _ => {
                let _ = write!(uri, "%{byte:02X}");
            }
        }
    }
    uri
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_that_would_end_an_address_are_encoded() {
        assert_eq!(
            uri("days/day 2? #ä.html"),
            "days/day%202%3F%20%23%C3%A4.html"
        );
        assert_eq!(uri("photos/arch-lock_1.png"), "photos/arch-lock_1.png");
    }
}
