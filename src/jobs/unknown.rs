//! Ids that no job of the book has.
//!
//! In: the id and the known ones. Out: an error that offers the nearest. In a book with very many
//! of them the later ones are offered nothing, so that it stays quick to read.

use std::collections::BTreeMap;

use super::Job;
use crate::diagnostics::{Diagnostic, Slug};
use crate::parts::unknown::near;
use crate::source::Spanned;

/// No job has this id; `so_far` findings came before this one.
pub(super) fn job(
    id: &Spanned<String>,
    known: &BTreeMap<String, usize>,
    so_far: usize,
) -> Diagnostic {
    Diagnostic::error(
        Slug::UnknownJob,
        id.span,
        format!("no job is called `{}`", id.value),
    )
    .expected("a job of the plan or of a log, or a title before `{` to add it here")
    .maybe_instead(near(&id.value, known, so_far))
}

/// A new job is added under this id; `meant` is most likely the one.
pub(super) fn misspelt(id: &Spanned<String>, meant: &Job) -> Diagnostic {
    let message = format!(
        "`{}` is added as a new job next to `{}`, which has nearly the same title",
        id.value, meant.id
    );
    Diagnostic::warning(Slug::MisspeltId, id.span, message)
        .expected("one id for one job, or ids that differ in more than one letter")
        .instead(&*meant.id)
        .see(meant.at, format!("`{}` is here", meant.id))
}
