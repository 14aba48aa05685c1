//! Names of places in a page.
//!
//! In: the text of a heading. Out: a slug that no other heading of the page has.

use std::collections::{BTreeMap, BTreeSet};

/// The anchors of one page, and the numbers of its notes.
#[derive(Default)]
pub(super) struct Anchors {
    /// Every anchor taken, with how often its text was asked for.
    taken: BTreeMap<String, usize>,
    /// How many notes have a number.
    pub(super) notes: usize,
}

impl Anchors {
    /// An anchor for a heading; never the same twice.
    pub(super) fn take(&mut self, heading: &str) -> String {
        let slug = slug(heading);
        if !self.taken.contains_key(&slug) {
            self.taken.insert(slug.clone(), 1);
            return slug;
        }
        loop {
            let count = self.taken.entry(slug.clone()).or_default();
            *count += 1;
            let next = format!("{slug}-{count}");
            if !self.taken.contains_key(&next) {
                self.taken.insert(next.clone(), 1);
                return next;
            }
        }
    }

    /// Every anchor of the page.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.taken.keys().map(String::as_str)
    }

    /// Every anchor of the page, to keep.
    pub(super) fn into_names(self) -> BTreeSet<String> {
        self.taken.into_keys().collect()
    }

    /// Is there a heading of this anchor?
    pub(super) fn holds(&self, anchor: &str) -> bool {
        self.taken.contains_key(anchor)
    }
}

/// Letters and digits in lower case, with `-` between words.
fn slug(heading: &str) -> String {
    let lower = heading.to_lowercase();
    let words: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .collect();
    if words.is_empty() {
        "section".to_owned()
    } else {
        words.join("-")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_headings_never_share_an_anchor() {
        let mut anchors = Anchors::default();
        let taken: Vec<String> = [
            "Tail, again",
            "tail again",
            "Tail again 2",
            "Tail again",
            "…",
        ]
        .map(|text| anchors.take(text))
        .into();
        assert_eq!(
            taken,
            [
                "tail-again",
                "tail-again-2",
                "tail-again-2-2",
                "tail-again-3",
                "section"
            ]
        );
    }
}
