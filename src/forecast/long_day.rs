//! Days on which too much is planned for somebody.
//!
//! In: the open jobs of the days ahead. Out: who is over, and a warning for each. More than ten
//! hours a day is how people get hurt (common practice). What counts is the work left of each job;
//! a shared job is shared.

use std::collections::BTreeMap;

use super::remaining::DEFAULT_HOURS;
use crate::diagnostics::{Diagnostic, Slug};
use crate::jobs::JobList;
use crate::source::Span;

/// The most hours that should be planned for one person on one day.
pub const MOST_HOURS: f64 = 10.0;

/// Somebody with too much planned on a day ahead.
#[derive(Clone, Debug, PartialEq)]
pub struct LongDay {
    /// The day.
    pub day: u32,
    /// Who.
    pub person: String,
    /// The planned hours.
    pub hours: f64,
    /// The job that goes over.
    pub at: Span,
}

/// Who is over, by day and name.
pub(super) fn find(jobs: &JobList) -> Vec<LongDay> {
    let mut planned: BTreeMap<(u32, &str), (f64, Option<Span>)> = BTreeMap::new();
    for job in jobs.all().filter(|job| job.state.is_open()) {
        let Some(day) = job.planned_day.filter(|day| *day > jobs.day) else {
            continue;
        };
        for name in &job.by {
            let (hours, over) = planned.entry((day, name.as_str())).or_default();
            *hours += job.hours_to_go().unwrap_or(DEFAULT_HOURS) / job.by.len() as f64;
            if *hours > MOST_HOURS + 1e-9 {
                over.get_or_insert(job.at);
            }
        }
    }
    let over = planned
        .into_iter()
        .filter_map(|((day, person), (hours, at))| {
            Some(LongDay {
                day,
                person: person.to_owned(),
                hours,
                at: at?,
            })
        });
    over.collect()
}

/// The warning about it.
pub(super) fn warning(long: &LongDay) -> Diagnostic {
    let LongDay {
        day,
        person,
        hours,
        at,
    } = long;
    let message = format!("day {day} has {hours:.1} h planned for {person}");
    Diagnostic::warning(Slug::LongDay, *at, message).expected(format!(
        "at most {MOST_HOURS} h a day for one person; tired people get hurt"
    ))
}
