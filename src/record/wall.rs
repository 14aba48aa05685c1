//! The shop screen: what somebody at the vehicle has to know, read from four metres.
//!
//! In: the layout, and the build before it. Out: days left, what is on hold, today's jobs, what to order, the checks that
//! are not in limits, and what the latest save changed.

use std::collections::BTreeSet;
use std::sync::Arc;

use serde::Serialize;

use super::ahead::{OrderRow, in_words, no_orders, orders};
use super::cover::{CheckRow, check_row};
use super::day::state_kind;
use super::holds::{HoldTag, tag};
use super::layout::Layout;
use super::words;
use crate::calc::{Check, Verdict};
use crate::compile::Build;
use crate::prose::title_html;
use crate::shop::jobs::{Job, JobState, Row};

/// At most so many changes are named.
const MOST_CHANGES: usize = 12;

/// `wall.html`
#[derive(Debug, Serialize)]
pub struct WallPage {
    /// `3 days left`
    pub left: String,
    /// When it will be done, in a sentence; empty where nothing is planned.
    pub ahead: String,
    /// How many errors the book has.
    pub errors: usize,
    /// What is on hold.
    pub tag: Option<HoldTag>,
    /// What the latest save changed, what matters most first.
    pub changed: Vec<Change>,
    /// Today's jobs that are still open, those held up first.
    pub jobs: Vec<WallJob>,
    /// How many of today's jobs are done: `4 done of 6`
    pub done: String,
    /// What to order, and what is late.
    pub orders: Vec<OrderRow>,
    /// `Nothing has to be ordered today, and nothing is late.`; empty if something is listed.
    pub no_orders: &'static str,
    /// Checks that are out of limits or too close, or want a reading.
    pub checks: Vec<CheckRow>,
}

/// A job on today's list.
#[derive(Debug, Serialize)]
pub struct WallJob {
    /// Its title, safe HTML.
    pub title: String,
    /// Who has it.
    pub by: String,
    /// `open`, `held up: no bolts`
    pub state: String,
    /// The state as one word for the theme.
    pub kind: &'static str,
}

/// Something the latest save changed.
#[derive(Debug, PartialEq, Eq, Serialize)]
pub struct Change {
    /// The value, the job or the part.
    pub what: String,
    /// What it is now, and what it was.
    pub words: String,
    /// A check that is not in limits now, or a job held up: to be looked at.
    pub grave: bool,
}

pub(super) fn page(layout: &Layout, before: Option<&Build>) -> WallPage {
    let build = layout.build;
    let day = build.day();
    let list = build.jobs.on_day(day);
    let mut open: Vec<&Row> =
        list.map_or_else(Vec::new, |list| list.rows.iter().filter(|row| row.ended.is_open()).collect());
    open.sort_by_key(|row| row.ended != JobState::HeldUp);
    WallPage {
        left: left(day, build.book.sheet.days),
        ahead: if build.jobs.jobs.is_empty() { String::new() } else { in_words(&build.ahead, &build.jobs) },
        errors: build.count(crate::text::Severity::Error),
        tag: tag(layout, day),
        changed: before.map_or_else(Vec::new, |before| changes(layout, before)),
        jobs: open.into_iter().map(|row| wall_job(&build.jobs.jobs[row.job], row.ended)).collect(),
        done: list.map_or_else(String::new, |list| format!("{} done of {}", list.done, list.rows.len())),
        orders: orders(layout, day),
        no_orders: no_orders(layout, day),
        checks: checks(layout),
    }
}

/// How many days are left after a day.
fn left(day: u32, days: u32) -> String {
    match (days.checked_sub(day), day.saturating_sub(days)) {
        (Some(0), _) => "the last day".to_owned(),
        (Some(left), _) => format!("{} left", words::count(left as usize, "day", "days")),
        (None, over) => format!("{} over", words::count(over as usize, "day", "days")),
    }
}

fn wall_job(job: &Job, ended: JobState) -> WallJob {
    let why = job.held_up().filter(|_| ended == JobState::HeldUp);
    WallJob {
        title: title_html(&job.title),
        by: job.by.join(", "),
        state: why.map_or_else(|| "open".to_owned(), |why| format!("held up: {why}")),
        kind: state_kind(ended),
    }
}

/// What is not in limits, the worst first.
fn checks(layout: &Layout) -> Vec<CheckRow> {
    let mut open: Vec<(&Arc<Check>, Verdict)> = layout
        .build
        .worked
        .checks
        .iter()
        .map(|check| (check, verdict(check)))
        .filter(|(_, verdict)| *verdict != Verdict::InLimits)
        .collect();
    open.sort_by_key(|(_, verdict)| gravity(*verdict));
    open.into_iter().map(|(check, _)| check_row(layout, check)).collect()
}

fn verdict(check: &Check) -> Verdict {
    check.latest().map_or(Verdict::NoReading, |judgement| judgement.verdict)
}

fn gravity(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::OutOfLimits => 0,
        Verdict::TooClose => 1,
        Verdict::NoReading => 2,
        Verdict::InLimits => 3,
    }
}

/// What is otherwise than in the build before: verdicts, jobs, parts, then values.
fn changes(layout: &Layout, before: &Build) -> Vec<Change> {
    let mut changes = verdicts(layout, before);
    changes.extend(jobs(layout.build, before));
    changes.extend(parts(layout.build, before));
    let told: BTreeSet<String> = changes.iter().map(|change| change.what.clone()).collect();
    changes.extend(values(layout, before).into_iter().filter(|change| !told.contains(&change.what)));
    changes.sort_by_key(|change| !change.grave);
    changes.truncate(MOST_CHANGES);
    changes
}

fn verdicts(layout: &Layout, before: &Build) -> Vec<Change> {
    let now = &layout.build.worked;
    let was = |index: usize, check: &Arc<Check>| {
        let same_place = before.worked.checks.get(index).filter(|was| Arc::ptr_eq(was, check));
        same_place.or_else(|| {
            let name = before.worked.names.find(now.text(check.name))?;
            before.worked.checks.iter().find(|was| was.name == name && was.kind == check.kind)
        })
    };
    let turned = now.checks.iter().enumerate().filter_map(|(index, check)| {
        let (old, new) = (was(index, check).map(|was| verdict(was)), verdict(check));
        if old == Some(new) {
            return None;
        }
        let row = check_row(layout, check);
        let was = old.map_or_else(String::new, |old| format!(", was {}", old.words()));
        let words = format!("{}, {}{was}", row.stands_at, new.words());
        Some(Change { what: row.link.text, words, grave: new != Verdict::InLimits })
    });
    turned.collect()
}

fn jobs<'a>(now: &'a Build, before: &'a Build) -> impl Iterator<Item = Change> + 'a {
    now.jobs.all().filter_map(|job| {
        let was = before.jobs.job(&job.id).map(|job| job.state);
        let words = match job.held_up() {
            Some(why) => format!("held up: {why}"),
            None => job.state.words().to_owned(),
        };
        let held = job.state == JobState::HeldUp;
        (was != Some(job.state)).then(|| Change { what: super::layout::plain(&job.title), words, grave: held })
    })
}

fn parts<'a>(now: &'a Build, before: &'a Build) -> impl Iterator<Item = Change> + 'a {
    now.ledger.parts.iter().filter_map(|(id, story)| {
        let was = before.ledger.parts.get(id).map(|story| story.state);
        let what = now.book.parts.get(id).map_or_else(|| id.clone(), |part| part.what.clone());
        (was != Some(story.state)).then(|| Change { what, words: story.state.words().to_owned(), grave: false })
    })
}

/// Values that are otherwise than before.
fn values(layout: &Layout, before: &Build) -> Vec<Change> {
    let (now, judge) = (&layout.build.worked, layout.judge());
    let changed = now.names.iter().filter(|(text, _)| !text.contains('.')).filter_map(|(text, id)| {
        let was = before.worked.names.find(text);
        if was.is_some_and(|was| Arc::ptr_eq(&before.worked.values[was.index()], &now.values[id.index()])) {
            return None;
        }
        let new = words::moment(now.latest(id)?, judge);
        let old = was.and_then(|was| before.worked.latest(was)).map(|moment| words::moment(moment, judge));
        let words = match &old {
            Some(old) if *old == new => return None,
            Some(old) => format!("{new}, was {old}"),
            None => new,
        };
        Some(Change { what: text.to_owned(), words, grave: false })
    });
    changed.collect()
}
