//! Working out again only what comes after a change.
//!
//! In: the book as it is now, and marks that a former run left: what was worked out when so many days were
//! done. Out: the same as if everything were worked out anew. A day is as it was when its log is the very same
//! (by its `Arc`), and so are sheet, parts and every log before it; the run carries on from the last mark
//! before the first day that is not. What an edit costs is what comes after it.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{SoFar, Timeline};
use crate::book::{Book, BuildSheet, DayLog, Parts};
use crate::calc::Worked;
use crate::quantity::Units;
use crate::shop::figures::Figures;
use crate::text::Diagnostic;

/// Days between two marks that are always left.
const STRIDE: usize = 32;

/// What a former run left.
#[derive(Debug, Default)]
pub struct Kept {
    /// What everything hangs on.
    ground: Option<(Arc<BuildSheet>, Arc<Parts>)>,
    /// The logs that were worked out, in order.
    logs: Vec<Arc<DayLog>>,
    /// What was known when so many of them were done.
    marks: BTreeMap<usize, SoFar>,
    /// How many days the latest run worked out: growth is judged by it, not by the clock.
    pub days_worked: usize,
}

/// Works out a book, carrying on from where a former run is still right.
pub fn work_out_again(book: &Book, figures: &Figures, kept: &mut Kept) -> (Worked, Vec<Diagnostic>) {
    let same = kept.still_right(book);
    let units = Units::new(&book.sheet.money);
    let (done, mut timeline) = match kept.marks.last_key_value() {
        Some((done, mark)) => (*done, Timeline::carry_on(book, &units, mark.clone())),
        None => {
            let mut timeline = Timeline::new(book, &units);
            timeline.start(figures);
            (0, timeline)
        }
    };
    for index in done..book.days.len() {
        if index % STRIDE == 0 || index == same || index + 1 == book.days.len() {
            kept.marks.entry(index).or_insert_with(|| timeline.now.clone());
        }
        timeline.work_day(index, figures);
    }
    kept.marks.entry(book.days.len()).or_insert_with(|| timeline.now.clone());
    kept.days_worked = book.days.len() - done;
    timeline.finish()
}

impl Kept {
    /// Lets go of what is no longer right; gives how many days are as they were.
    fn still_right(&mut self, book: &Book) -> usize {
        let ground = (&book.sheet, &book.parts);
        let stands = self.ground.as_ref().is_some_and(|(sheet, parts)| {
            Arc::ptr_eq(sheet, ground.0) && Arc::ptr_eq(parts, ground.1)
        });
        let same = self.logs.iter().zip(&book.days).take_while(|(was, is)| Arc::ptr_eq(was, is)).count();
        let same = if stands { same } else { 0 };
        self.marks.retain(|done, _| stands && *done <= same);
        self.ground = Some((Arc::clone(ground.0), Arc::clone(ground.1)));
        self.logs.clone_from(&book.days);
        same
    }
}
