//! Checkpoints of what was known when some of a book's days were worked through.
//!
//! In: the book as it is now, and what is known between two of its days. Out: the last mark that is
//! still right, to carry on from. A day is as it was when its log is the very same (by its `Arc`),
//! and so are sheet, parts, plan and every log before it. What an edit costs is then what comes
//! after it; a mark ought to share what it holds with what follows, so that leaving one costs next
//! to nothing.

use std::collections::BTreeMap;
use std::ops::Range;

use super::{Book, EarlierBook};

/// Days between two marks that are always left.
const STRIDE: usize = 32;

/// The marks of one stage.
#[derive(Debug)]
pub struct Checkpoints<T> {
    before: EarlierBook,
    /// How many of the first days are as they were.
    same: Option<usize>,
    /// The days that the latest run had to work through.
    run: Range<usize>,
    /// What was known when so many days were done.
    at: BTreeMap<usize, T>,
}

impl<T> Default for Checkpoints<T> {
    fn default() -> Self {
        Self {
            before: EarlierBook::default(),
            same: None,
            run: 0..0,
            at: BTreeMap::new(),
        }
    }
}

impl<T: Clone> Checkpoints<T> {
    /// The last mark that is still right: how many days were done, and what was known then. Those
    /// that are not go.
    pub fn carry_on(&mut self, book: &Book) -> Option<(usize, T)> {
        self.same = self.before.same_days(book);
        self.at
            .retain(|done, _| self.same.is_some_and(|same| *done <= same));
        let last = self
            .at
            .last_key_value()
            .map(|(done, known)| (*done, known.clone()));
        self.run = last.as_ref().map_or(0, |(done, _)| *done)..book.days.len();
        last
    }

    /// How many days the latest run had to work through: growth is judged by it, not by the clock.
    pub fn days_worked(&self) -> usize {
        self.run.len()
    }

    /// Leaves a mark, so many days being done, where a later run may want one: now and then, before
    /// the first day that changed, for it may change again, and before and after the last one.
    pub fn pass(&mut self, done: usize, known: &T) {
        if done.is_multiple_of(STRIDE) || Some(done) == self.same || done + 1 >= self.run.end {
            self.at.entry(done).or_insert_with(|| known.clone());
        }
    }
}
