//! Figures of parts that sums rely on and that do not stand as they are.
//!
//! In: the ledger and the worked sums. Out: a warning where a sum reads the rating of a part that was cut,
//! drilled or machined, or the mass of what is fitted while the mass of something fitted is not known.

use std::collections::BTreeSet;

use super::ledger::Ledger;
use crate::calc::{NameId, Worked, each_read};
use crate::text::{Diagnostic, Slug};

/// What is doubtful at the end of the latest day.
pub fn doubts(ledger: &Ledger, worked: &Worked) -> Vec<Diagnostic> {
    let altered = ledger.parts.values().any(|part| part.altered.is_some());
    if !altered && ledger.fitted.no_mass.is_empty() {
        return Vec::new();
    }
    let used = used(worked);
    let ratings = worked
        .names
        .iter()
        .filter(|(_, id)| used.contains(id))
        .filter_map(|(text, id)| rating(ledger, worked, text, id));
    ratings.chain(fitted_mass(ledger, worked, &used)).collect()
}

/// Names that a formula or a check reads now.
pub fn used(worked: &Worked) -> BTreeSet<NameId> {
    let mut used: Vec<NameId> = Vec::new();
    for (index, story) in worked.values.iter().enumerate() {
        if !story.checks.is_empty() {
            used.push(NameId(index as u32));
        }
        if let Some(moment) = story.moments.last() {
            each_read(&moment.defined.content, |name| used.push(name));
        }
    }
    used.into_iter().collect()
}

fn rating(ledger: &Ledger, worked: &Worked, text: &str, id: NameId) -> Option<Diagnostic> {
    let (part, key) = text.split_once('.').filter(|(_, key)| !["mass", "cost"].contains(key))?;
    let altered = ledger.parts.get(part)?.altered.as_ref()?;
    let message = format!("{part} was altered on day {}: the maker's {key} no longer stands", altered.day);
    Some(
        Diagnostic::warning(Slug::DoubtfulFigure, worked.names.first_mention(id), message)
            .expected("the maker's word on the altered part")
            .see(altered.span, "altered here"),
    )
}

fn fitted_mass(ledger: &Ledger, worked: &Worked, used: &BTreeSet<NameId>) -> Option<Diagnostic> {
    let id = worked.names.find("fitted.mass").filter(|id| used.contains(id))?;
    let without = &ledger.fitted.no_mass;
    if without.is_empty() {
        return None;
    }
    let message = format!("fitted.mass leaves out what is fitted and has no known mass: {}", without.join(", "));
    Some(
        Diagnostic::warning(Slug::DoubtfulFigure, worked.names.first_mention(id), message)
            .expected("a mass for each, in parts.yaml"),
    )
}
