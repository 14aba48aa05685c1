//! The inspection sheet: every check as one numbered line, as an inspector reads it.
//!
//! What was measured, or is still to be measured, is a finding. What was never measured is listed
//! apart: a sum is not a finding.

use super::layout::Layout;
use super::{Link, words};
use crate::calc::{Basis, Check, State};
use crate::view_model;

view_model! {
    /// Every check of the book, in the order they were first written; hold checks and targets among
    /// them.
    pub struct Inspection {
        /// Checks on what was measured, or has no reading yet.
        pub rows: Vec<InspectionRow> => View,
        /// Checks on what is calculated, given, chosen or a maker's figure, and was not measured.
        pub not_measured: Vec<InspectionRow> => View,
    }
}

view_model! {
    /// One check.
    pub struct InspectionRow {
        /// From 1.
        pub number: usize => Public,
        /// The value.
        pub what: Link => View,
        /// The limit as written.
        pub limit: String => Named,
        /// What was found, or what it was calculated to be; empty where it is not known yet.
        pub found: String => Public,
        /// What the value rests on, and its limit: `calculated, limit: maker’s figure`.
        pub basis: String => Public,
        /// Who read it, where a reading says so.
        pub by: Option<String> => People,
        /// The day since which it stands so.
        pub day: String => Public,
        /// The verdict.
        pub verdict: Option<words::VerdictView> => View,
        /// Is it a hold check?
        pub hold: bool => Public,
        /// Is it a target?
        pub target: bool => Public,
    }
}

pub(super) fn inspection(layout: &Layout) -> Inspection {
    let (worked, day) = (&layout.build.worked, layout.build.day());
    let mut sheet = Inspection {
        rows: Vec::new(),
        not_measured: Vec::new(),
    };
    for (index, check) in worked.checks.iter().enumerate() {
        let is_found = worked.basis(check.name, day).is_none_or(Basis::is_found);
        let rows = if is_found {
            &mut sheet.rows
        } else {
            &mut sheet.not_measured
        };
        rows.push(row(layout, index + 1, check));
    }
    sheet
}

fn row(layout: &Layout, number: usize, check: &Check) -> InspectionRow {
    let judged = check.latest();
    let is_known = judged.is_some_and(|judged| judged.value.is_some());
    let latest = layout.build.worked.latest(check.name).filter(|_| is_known);
    let found = latest.map(|moment| layout.moment(check.name, moment, layout.build.day()));
    let reading = layout
        .build
        .worked
        .latest(check.name)
        .filter(|moment| moment.defined.state == State::Measured);
    InspectionRow {
        number,
        what: layout.value_link(check.name),
        limit: check.limit().to_owned(),
        found: found.unwrap_or_default(),
        basis: layout.basis(check),
        by: reading.and_then(|moment| moment.defined.by.clone()),
        day: judged
            .filter(|judged| judged.day > 0)
            .map_or_else(String::new, |judged| judged.day.to_string()),
        verdict: judged.map(|judged| layout.verdict(check.name, judged)),
        hold: check.hold,
        target: check.target,
    }
}
