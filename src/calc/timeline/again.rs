//! Working out again only what comes after a change.
//!
//! In: the book as it is now, and the marks that a former run left. Out: the same as if everything were worked out anew;
//! the run carries on from the last mark that is still right.

use super::{SoFar, Timeline};
use crate::book::{Book, Marks};
use crate::calc::Worked;
use crate::quantity::Units;
use crate::shop::figures::Figures;
use crate::text::Diagnostic;

/// What a former run left.
#[derive(Debug, Default)]
pub struct Kept {
    marks: Marks<SoFar>,
    /// How many days the latest run worked out: growth is judged by it, not by the clock.
    pub days_worked: usize,
}

/// Works out a book, carrying on from where a former run is still right; `figures` gives those of the parts from the
/// day with an index on.
pub fn work_out_again(
    book: &Book,
    figures: impl FnOnce(usize) -> Figures,
    kept: &mut Kept,
) -> (Worked, Vec<Diagnostic>) {
    let units = Units::new(&book.sheet.money);
    let mark = kept.marks.carry_on(book);
    let done = mark.as_ref().map_or(0, |(done, _)| *done);
    let figures = figures(done);
    let mut timeline = if let Some((_, known)) = mark {
        Timeline::carry_on(book, &units, known)
    } else {
        let mut timeline = Timeline::new(book, &units);
        timeline.start(&figures);
        timeline
    };
    for index in done..book.days.len() {
        kept.marks.pass(index, &timeline.now);
        timeline.work_day(index, &figures);
    }
    kept.marks.pass(book.days.len(), &timeline.now);
    kept.days_worked = book.days.len() - done;
    timeline.finish()
}
