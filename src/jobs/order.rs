//! Was the work done in the order that was asked for?
//!
//! In: the jobs at the end of a day or of the book, and the ledger. Out: warnings; the world may
//! have done it anyway. Names in `follows` and `needs` that nothing bears are errors.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Job, JobState};
use crate::book::Book;
use crate::diagnostics::{Diagnostic, Slug};
use crate::jobs::unknown;
use crate::parts::ledger::{Ledger, PartState};
use crate::source::{Span, Spanned};

/// The jobs, to be asked by id.
pub(super) struct Jobs<'a> {
    pub(super) all: &'a [Arc<Job>],
    pub(super) by_id: &'a BTreeMap<String, usize>,
}

impl<'a> Jobs<'a> {
    fn get(&self, id: &str) -> Option<&'a Job> {
        self.all.get(*self.by_id.get(id)?).map(|job| &**job)
    }
}

/// What a job that was done on `day` should have waited for.
pub(super) fn at_end_of_day(job: &Job, day: u32, jobs: &Jobs, ledger: &Ledger) -> Vec<Diagnostic> {
    let Some(said) = job
        .history
        .iter()
        .rev()
        .find(|said| said.ticked && !said.refused)
    else {
        return Vec::new();
    };
    let follows = job
        .follows
        .iter()
        .filter_map(|first| not_done_before(job, jobs.get(&first.value)?, said.span));
    let needs = job
        .needs
        .iter()
        .filter_map(|part| not_here(job, part, day, said.span, ledger));
    follows.chain(needs).collect()
}

fn not_done_before(job: &Job, first: &Job, at: Span) -> Option<Diagnostic> {
    let (id, before) = (&job.id, &first.id);
    if first.state == JobState::Done {
        return None;
    }
    let Some((day, dropped)) = first.dropped_at() else {
        let message = format!("`{id}` is done but `{before}`, which must come first, is not");
        let found = Diagnostic::warning(Slug::OutOfOrder, at, message)
            .expected(format!("finish `{before}` first"));
        return Some(found.see(
            first.history.last().map_or(first.at, |said| said.span),
            format!("`{before}` is here"),
        ));
    };
    let message =
        format!("`{id}` is done but `{before}`, which must come first, was dropped on day {day}");
    Some(
        Diagnostic::warning(Slug::OutOfOrder, at, message)
            .see(dropped, format!("`{before}` was dropped here")),
    )
}

fn not_here(
    job: &Job,
    part: &Spanned<String>,
    day: u32,
    at: Span,
    ledger: &Ledger,
) -> Option<Diagnostic> {
    let state = ledger
        .state_on(&part.value, day)
        .filter(|state| !state.is_here())?;
    let (id, part) = (&job.id, &part.value);
    let since = ledger.last_by(part, day);
    let stands = match since {
        Some(last) => format!("has been {} since day {}", state.words(), last.since_day),
        None => format!("is only {}", PartState::Needed.words()),
    };
    let message = format!("`{id}` is done but `{part}`, which it needs, {stands}");
    let found = Diagnostic::warning(Slug::OutOfOrder, at, message)
        .expected(format!("`{part}` to be in or fitted by then"));
    Some(match since {
        Some(last) => found.see(last.span, format!("the latest event of `{part}`")),
        None => found,
    })
}

/// What can only be said once the whole book is read.
pub(super) fn at_end_of_book(jobs: &Jobs, book: &Book) -> Vec<Diagnostic> {
    let mut wrong = Vec::new();
    for job in jobs.all {
        for first in &job.follows {
            match jobs.get(&first.value) {
                None => wrong.push(unknown::job(first, jobs.by_id, wrong.len())),
                Some(first_job) => wrong.extend(waits_for_nothing(job, first, first_job)),
            }
        }
        for part in job
            .needs
            .iter()
            .filter(|part| !book.parts.contains_key(&part.value))
        {
            wrong.push(crate::parts::unknown::part(part, &book.parts, wrong.len()));
        }
    }
    wrong
}

fn waits_for_nothing(job: &Job, at: &Spanned<String>, first: &Job) -> Option<Diagnostic> {
    let (day, dropped) = first.dropped_at().filter(|_| job.state.is_open())?;
    let (id, before) = (&job.id, &first.id);
    let message = format!("`{id}` follows `{before}`, which was dropped on day {day}");
    Some(
        Diagnostic::warning(Slug::OutOfOrder, at.span, message)
            .see(dropped, format!("`{before}` was dropped here")),
    )
}
