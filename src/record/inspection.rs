//! The inspection sheet: every check as one numbered line, as an inspector reads it.

use serde::Serialize;

use super::layout::Layout;
use super::{Link, words};
use crate::calc::{Check, State};

/// Every check of the book.
#[derive(Debug, Serialize)]
pub struct Inspection {
    /// The checks: hold checks and targets among them, in the order they were first written.
    pub rows: Vec<InspectionRow>,
}

/// One check.
#[derive(Clone, Debug, Serialize)]
pub struct InspectionRow {
    /// From 1.
    pub number: usize,
    /// The value.
    pub what: Link,
    /// The limit as written.
    pub limit: String,
    /// What it was found to be; empty where it is not known yet.
    pub found: String,
    /// Who read it, where a reading says so.
    pub by: Option<String>,
    /// The day since which it stands so.
    pub day: String,
    /// The verdict.
    pub verdict: Option<words::VerdictView>,
    /// Is it a hold check?
    pub hold: bool,
    /// Is it a target?
    pub target: bool,
}

pub(super) fn inspection(layout: &Layout) -> Inspection {
    let checks = layout.build.worked.checks.iter().enumerate();
    Inspection { rows: checks.map(|(index, check)| row(layout, index + 1, check)).collect() }
}

fn row(layout: &Layout, number: usize, check: &Check) -> InspectionRow {
    let judged = check.latest();
    let found = judged.and_then(|judged| Some(words::amount(judged.value.as_ref()?, &judged.unit, layout.judge())));
    let reading = layout.build.worked.latest(check.name).filter(|moment| moment.defined.state == State::Measured);
    InspectionRow {
        number,
        what: layout.value_link(check.name),
        limit: check.limit().to_owned(),
        found: found.unwrap_or_default(),
        by: reading.and_then(|moment| moment.defined.by.clone()),
        day: judged.filter(|judged| judged.day > 0).map_or_else(String::new, |judged| judged.day.to_string()),
        verdict: judged.map(|judged| layout.verdict(check.name, judged)),
        hold: check.hold,
        target: check.target,
    }
}
