//! Working out again only what comes after a change.
//!
//! In: the book as it is now, and the marks that a former run left. Out: the same as if everything
//! were calculated again; the run carries on from the last mark that is still right.

use std::borrow::Borrow;

use super::{SoFar, Timeline};
use crate::book::{Book, Checkpoints};
use crate::calc::Figures;
use crate::calc::Results;
use crate::diagnostics::Diagnostic;
use crate::quantity::Units;

/// What a former run left.
#[derive(Debug, Default)]
pub struct CalcCache(Checkpoints<SoFar>);

impl CalcCache {
    /// How many days the latest run worked out.
    pub fn days_worked(&self) -> usize {
        self.0.days_worked()
    }
}

/// Works out a book, carrying on from where a former run is still right; `figures` gives those of
/// the parts from the day with an index on.
pub fn work_out_again<F: Borrow<Figures>>(
    book: &Book,
    figures: impl FnOnce(usize) -> F,
    kept: &mut CalcCache,
) -> (Results, Vec<Diagnostic>) {
    let units = Units::new(&book.sheet.money);
    let mark = kept.0.carry_on(book);
    let done = mark.as_ref().map_or(0, |(done, _)| *done);
    let figures = figures(done);
    let mut timeline = if let Some((_, known)) = mark {
        Timeline::carry_on(book, &units, known)
    } else {
        let mut timeline = Timeline::new(book, &units);
        timeline.start(figures.borrow());
        timeline
    };
    for index in done..book.days.len() {
        kept.0.pass(index, &timeline.now);
        timeline.work_day(index, figures.borrow());
    }
    kept.0.pass(book.days.len(), &timeline.now);
    timeline.finish()
}
