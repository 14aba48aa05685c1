//! Ids that nothing in the book bears.
//!
//! In: the id and the known ones. Out: an error that offers the nearest. In a book with very many
//! of them the later ones are offered nothing, so that it stays quick to read.

use std::collections::BTreeMap;

use super::Job;
use crate::book::Part;
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::source::Spanned;

/// How many unknown ids are offered a nearest one.
const HELPED: usize = 200;

/// No part has this id; `so_far` findings came before this one.
pub(crate) fn part(
    id: &Spanned<String>,
    known: &BTreeMap<String, Part>,
    so_far: usize,
) -> Diagnostic {
    Diagnostic::error(
        Slug::UnknownPart,
        id.span,
        format!("no part is called `{}`", id.value),
    )
    .expected("a part of parts.yaml")
    .maybe_instead(near(&id.value, known, so_far))
}

/// No job has this id; `so_far` findings came before this one.
pub(crate) fn job(
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
pub(crate) fn misspelt(id: &Spanned<String>, meant: &Job) -> Diagnostic {
    let message = format!(
        "`{}` is added as a new job next to `{}`, which has nearly the same title",
        id.value, meant.id
    );
    Diagnostic::warning(Slug::MisspeltId, id.span, message)
        .expected("one id for one job, or ids that differ in more than one letter")
        .instead(&*meant.id)
        .see(meant.at, format!("`{}` is here", meant.id))
}

fn near<'a, T>(id: &str, known: &'a BTreeMap<String, T>, so_far: usize) -> Option<&'a str> {
    (so_far < HELPED).then(|| nearest(id, known.keys().map(String::as_str)))?
}
