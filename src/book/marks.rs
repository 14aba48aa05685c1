//! Marks of what was known when some of a book's days were worked through.
//!
//! In: the book as it is now, and what is known between two of its days. Out: the last mark that is still right, to
//! carry on from. A day is as it was when its log is the very same (by its `Arc`), and so are sheet, parts, plan and
//! every log before it. What an edit costs is then what comes after it; a mark ought to share what it holds with
//! what follows, so that leaving one costs next to nothing.

use std::collections::BTreeMap;

use super::{Before, Book};

/// Days between two marks that are always left.
const STRIDE: usize = 32;

/// The marks of one stage.
#[derive(Debug)]
pub struct Marks<T> {
    before: Before,
    /// How many of the first days are as they were.
    same: Option<usize>,
    /// How many days there are, and after how many the latest run carried on.
    days: usize,
    carried_on: usize,
    /// What was known when so many days were done.
    at: BTreeMap<usize, T>,
}

impl<T> Default for Marks<T> {
    fn default() -> Self {
        Self { before: Before::default(), same: None, days: 0, carried_on: 0, at: BTreeMap::new() }
    }
}

impl<T: Clone> Marks<T> {
    /// The last mark that is still right: how many days were done, and what was known then. Those that are not go.
    pub fn carry_on(&mut self, book: &Book) -> Option<(usize, T)> {
        let same = self.before.same_days(book);
        (self.same, self.days) = (same, book.days.len());
        self.at.retain(|done, _| same.is_some_and(|same| *done <= same));
        let last = self.at.last_key_value().map(|(done, known)| (*done, known.clone()));
        self.carried_on = last.as_ref().map_or(0, |(done, _)| *done);
        last
    }

    /// How many days the latest run had to work through: growth is judged by it, not by the clock.
    pub fn days_worked(&self) -> usize {
        self.days - self.carried_on
    }

    /// Leaves a mark, so many days being done, where a later run may want one: now and then, before the first day that
    /// changed, for it may change again, and before and after the last one.
    pub fn pass(&mut self, done: usize, known: &T) {
        if done.is_multiple_of(STRIDE) || Some(done) == self.same || done + 1 >= self.days {
            self.at.entry(done).or_insert_with(|| known.clone());
        }
    }
}
