//! Figures of parts that sums rely on and that do not stand as they are.
//!
//! In: the ledger and the worked sums. Out: a warning where a sum reads the rating of a part that
//! was cut, drilled or machined, or the mass of what is fitted while the mass of something fitted
//! is not known. What the logs leave out is said too, once a log (`silent`).

mod silent;

use crate::book::Book;
use crate::calc::{NameId, Results};
use crate::diagnostics::{Diagnostic, Slug};
use crate::jobs::JobList;
use crate::parts::ledger::Ledger;

/// What is doubtful at the end of the latest day.
pub fn warnings(book: &Book, ledger: &Ledger, jobs: &JobList, worked: &Results) -> Vec<Diagnostic> {
    let mut found = silent::plain_boxes(book, jobs, worked);
    found.extend(silent::ticks_without_hours(jobs));
    found.extend(figures(ledger, worked));
    found
}

fn figures(ledger: &Ledger, worked: &Results) -> Vec<Diagnostic> {
    let altered = ledger.parts.values().any(|part| part.altered.is_some());
    if !altered && ledger.fitted.no_mass.is_empty() {
        return Vec::new();
    }
    let ratings = worked
        .names
        .iter()
        .filter(|(_, id)| worked.used[id.index()])
        .filter_map(|(text, id)| rating(ledger, worked, text, id));
    ratings.chain(fitted_mass(ledger, worked)).collect()
}

fn rating(ledger: &Ledger, worked: &Results, text: &str, id: NameId) -> Option<Diagnostic> {
    let (part, key) = text
        .split_once('.')
        .filter(|(_, key)| !["mass", "cost"].contains(key))?;
    let altered = ledger.parts.get(part)?.altered.as_ref()?;
    let message = format!(
        "`{part}` was altered on day {}, so the maker's {key} no longer applies",
        altered.day
    );
    Some(
        Diagnostic::warning(
            Slug::DoubtfulFigure,
            worked.names.first_mention(id),
            message,
        )
        .expected("a rating from the maker for the altered part")
        .see(altered.span, "altered here"),
    )
}

fn fitted_mass(ledger: &Ledger, worked: &Results) -> Option<Diagnostic> {
    let id = worked
        .names
        .find("fitted.mass")
        .filter(|id| worked.used[id.index()])?;
    let without = &ledger.fitted.no_mass;
    if without.is_empty() {
        return None;
    }
    let message = format!(
        "fitted.mass does not include fitted parts without a mass: {}",
        without.join(", ")
    );
    Some(
        Diagnostic::warning(
            Slug::DoubtfulFigure,
            worked.names.first_mention(id),
            message,
        )
        .expected("a mass for each, in parts.yaml"),
    )
}
