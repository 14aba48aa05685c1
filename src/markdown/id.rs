//! What an id looks like.
//!
//! In: a word. Out: whether it could name a value, a job or a part.

/// Is `word` a letter, then letters, digits and `_`?
pub fn is_id(word: &str) -> bool {
    let mut letters = word.chars();
    letters.next().is_some_and(|c| c.is_ascii_alphabetic())
        && letters.all(|c| c.is_ascii_alphanumeric() || c == '_')
}

/// Is `code` an id, or two with a dot between?
pub(super) fn is_reference(code: &str) -> bool {
    match code.split_once('.') {
        Some((before, after)) => is_id(before) && is_id(after),
        None => is_id(code),
    }
}
