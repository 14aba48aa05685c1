//! Ids that no part of the book has.
//!
//! In: the id and the known ones. Out: an error that offers the nearest. In a book with very many
//! of them the later ones are offered nothing, so that it stays quick to read.

use std::collections::BTreeMap;

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

/// The known id that is nearest, if not too many were looked for already.
pub(crate) fn near<'a, T>(
    id: &str,
    known: &'a BTreeMap<String, T>,
    so_far: usize,
) -> Option<&'a str> {
    (so_far < HELPED).then(|| nearest(id, known.keys().map(String::as_str)))?
}
