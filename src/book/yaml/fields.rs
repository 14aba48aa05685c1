//! The keys of a map, and values of the kinds that the book's files hold.
//!
//! In: a node and the keys it may have. Out: plain values with their places. Whatever is wrong is
//! said at its place, and the rest is still read.

use std::collections::BTreeMap;
use std::ops::RangeInclusive;

use super::{Node, Value};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::source::{Span, Spanned};

/// The values of a map by key.
pub(in crate::book) struct Fields<'n> {
    values: BTreeMap<&'n str, (Span, &'n Node)>,
    /// Where a missing key is missing.
    at: Span,
    /// Keys that are most likely another, by that other.
    misspelt: BTreeMap<String, Span>,
}

impl<'n> Fields<'n> {
    /// Takes a map apart. Keys that are not known and keys written twice are said; the first
    /// counts.
    pub(in crate::book) fn of(
        node: &'n Node,
        known: &[&str],
        at: Span,
        found: &mut Vec<Diagnostic>,
    ) -> Self {
        let mut fields = Self {
            values: BTreeMap::new(),
            at,
            misspelt: BTreeMap::new(),
        };
        let Value::Map(entries) = &node.value else {
            if node.value != Value::Null {
                let wrong = Diagnostic::error(
                    Slug::BadValue,
                    node.span,
                    "this is not a list of `key: value` lines",
                );
                found.push(wrong.expected(format!("keys from this list: {}", known.join(", "))));
            }
            return fields;
        };
        for (key, value) in entries {
            if known.contains(&key.value.as_str()) {
                fields.take(key, value, found);
            } else {
                let wrong = Diagnostic::error(
                    Slug::UnknownKey,
                    key.span,
                    format!("`{}` is not a key Shimbook knows", key.value),
                );
                let near = nearest(&key.value, known.iter().copied()).map(str::to_owned);
                fields
                    .misspelt
                    .extend(near.clone().map(|near| (near, key.span)));
                found.push(
                    wrong
                        .expected(format!("one of {}", known.join(", ")))
                        .maybe_instead(near),
                );
            }
        }
        fields
    }

    fn take(&mut self, key: &'n Spanned<String>, value: &'n Node, found: &mut Vec<Diagnostic>) {
        match self.values.get(key.value.as_str()) {
            Some((first, _)) => found.push(twice(key, *first)),
            None => drop(self.values.insert(&key.value, (key.span, value))),
        }
    }

    /// The value of a key, unless it is left out or empty.
    pub(in crate::book) fn get(&self, key: &str) -> Option<&'n Node> {
        self.values
            .get(key)
            .map(|(_, node)| *node)
            .filter(|node| node.value != Value::Null)
    }

    /// The value of a key that has to be there.
    pub(in crate::book) fn need(
        &self,
        key: &str,
        expected: &str,
        found: &mut Vec<Diagnostic>,
    ) -> Option<&'n Node> {
        let node = self.get(key);
        if node.is_none() {
            let at = self.values.get(key).map_or(self.at, |(span, _)| *span);
            let cause = self.misspelt.get(key).copied();
            found.push(
                Diagnostic::error(Slug::Missing, at, format!("`{key}` is missing"))
                    .expected(expected)
                    .because(cause),
            );
        }
        node
    }
}

/// A key that was there before.
pub(in crate::book) fn twice(key: &Spanned<String>, first: Span) -> Diagnostic {
    let wrong = Diagnostic::error(
        Slug::DuplicateKey,
        key.span,
        format!("`{}` is written twice; only the first counts", key.value),
    );
    wrong.see(first, "the first one")
}

impl Node {
    /// The text of a scalar that is not empty.
    pub(in crate::book) fn text(
        &self,
        expected: &str,
        found: &mut Vec<Diagnostic>,
    ) -> Option<&str> {
        match &self.value {
            Value::Text(text) if !text.trim().is_empty() => Some(text.trim()),
            _ => self.wrong(expected, found),
        }
    }

    /// What `read` makes of the text.
    pub(in crate::book) fn read<T>(
        &self,
        expected: &str,
        found: &mut Vec<Diagnostic>,
        read: impl FnOnce(&str) -> Option<T>,
    ) -> Option<T> {
        match read(self.text(expected, found)?) {
            Some(value) => Some(value),
            None => self.wrong(expected, found),
        }
    }

    /// A whole number in `range`.
    pub(in crate::book) fn whole(
        &self,
        range: RangeInclusive<u32>,
        found: &mut Vec<Diagnostic>,
    ) -> Option<u32> {
        let expected = format!("a whole number from {} to {}", range.start(), range.end());
        self.read(&expected, found, |text| {
            text.parse().ok().filter(|number| range.contains(number))
        })
    }

    /// The items of a list.
    pub(in crate::book) fn list(
        &self,
        expected: &str,
        found: &mut Vec<Diagnostic>,
    ) -> Option<&[Node]> {
        match &self.value {
            Value::List(items) => Some(items),
            _ => self.wrong(expected, found),
        }
    }

    fn wrong<T>(&self, expected: &str, found: &mut Vec<Diagnostic>) -> Option<T> {
        found.push(
            Diagnostic::error(Slug::BadValue, self.span, "this value is of the wrong kind")
                .expected(expected),
        );
        None
    }
}
