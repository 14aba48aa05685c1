//! Ids: what they look like, and which words stand for something else.
//!
//! In: a word and its place. Out: the id, or what is wrong with it and what to write.

use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{Span, Spanned};

pub use crate::markdown::is_id;

/// The words that no id may be, besides `day` with a number.
pub const RESERVED: [&str; 23] = [
    "measured", "at", "least", "most", "between", "within", "choose", "stack", "from", "to", "aim",
    "as", "hold", "by", "and", "or", "not", "if", "fitted", "spent", "pi", "inf", "nan",
];

/// Does the word stand for something else in a book?
pub fn is_reserved(word: &str) -> bool {
    let day = word
        .strip_prefix("day")
        .is_some_and(|rest| !rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit()));
    day || matches!(word, "true" | "false") || RESERVED.contains(&word)
}

/// Reads the id of a new thing.
pub(super) fn new_id(word: &str, at: Span) -> Result<Spanned<String>, Box<Diagnostic>> {
    if is_reserved(word) {
        let wrong = Diagnostic::error(
            Slug::Reserved,
            at,
            format!("`{word}` is a reserved word and cannot be an id"),
        );
        return Err(Box::new(wrong.instead(format!("{word}_1"))));
    }
    old_id(word, at)
}

/// Reads an id that means a thing there is already.
pub(super) fn old_id(word: &str, at: Span) -> Result<Spanned<String>, Box<Diagnostic>> {
    if is_id(word) {
        return Ok(Spanned::new(word.to_owned(), at));
    }
    let message = if word.is_empty() {
        "the id is missing".to_owned()
    } else {
        format!("`{word}` is not an id")
    };
    let wrong = Diagnostic::error(Slug::BadId, at, message);
    Err(Box::new(
        wrong
            .expected("a letter, then letters, digits and `_`")
            .maybe_instead(as_id(word)),
    ))
}

/// The id that a word most likely means.
fn as_id(word: &str) -> Option<String> {
    let parts: Vec<&str> = word
        .split(|c: char| !c.is_ascii_alphanumeric() && c != '_')
        .filter(|part| !part.is_empty())
        .collect();
    Some(parts.join("_")).filter(|id| id.len() <= 40 && is_id(id))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Sources;

    #[test]
    fn words_of_the_statements_are_reserved() {
        for word in ["measured", "day12", "pi", "true", "spent"] {
            assert!(is_reserved(word), "{word}");
        }
        for word in ["day", "day_1", "t", "min", "holder"] {
            assert!(!is_reserved(word), "{word}");
        }
    }

    #[test]
    fn a_word_that_is_no_id_comes_with_one() {
        let mut sources = Sources::default();
        let at = Sources::top(sources.add("x", ""));
        let instead = |word| new_id(word, at).unwrap_err().instead;
        assert_eq!(instead("box-plate no. 2"), Some("box_plate_no_2".into()));
        assert_eq!(instead("2x"), None);
        assert_eq!(instead("if"), Some("if_1".into()));
    }
}
