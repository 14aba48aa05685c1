//! Working out again only what comes after a change.
//!
//! In: the book as it is now, and marks that a former run left: what was worked out when so many days were
//! done. Out: the same as if everything were worked out anew. A day is as it was when its log is the very same
//! (by its `Arc`), and so are sheet, parts and every log before it; the run carries on from the last mark
//! before the first day that is not. What an edit costs is what comes after it.

use std::collections::BTreeMap;

use super::{SoFar, Timeline};
use crate::book::{Before, Book};
use crate::calc::Worked;
use crate::quantity::Units;
use crate::shop::figures::Figures;
use crate::text::Diagnostic;

/// Days between two marks that are always left.
const STRIDE: usize = 32;

/// What a former run left.
#[derive(Debug, Default)]
pub struct Kept {
    before: Before,
    /// What was known when so many days were done.
    marks: BTreeMap<usize, SoFar>,
    /// How many days the latest run worked out: growth is judged by it, not by the clock.
    pub days_worked: usize,
}

/// Works out a book, carrying on from where a former run is still right.
pub fn work_out_again(book: &Book, figures: &Figures, kept: &mut Kept) -> (Worked, Vec<Diagnostic>) {
    let same = kept.before.same_days(book);
    kept.marks.retain(|done, _| same.is_some_and(|same| *done <= same));
    let units = Units::new(&book.sheet.money);
    let (done, mut timeline) = if let Some((done, mark)) = kept.marks.last_key_value() {
        (*done, Timeline::carry_on(book, &units, mark.clone()))
    } else {
        let mut timeline = Timeline::new(book, &units);
        timeline.start(figures);
        (0, timeline)
    };
    for index in done..book.days.len() {
        if index % STRIDE == 0 || Some(index) == same || index + 1 == book.days.len() {
            kept.marks.entry(index).or_insert_with(|| timeline.now.clone());
        }
        timeline.work_day(index, figures);
    }
    kept.marks.entry(book.days.len()).or_insert_with(|| timeline.now.clone());
    kept.days_worked = book.days.len() - done;
    timeline.finish()
}
