//! The shop screen: what a person at the vehicle has to know, read from four metres.
//!
//! In: the layout, and the build before it. Out: days left, the whole hold list, what the latest
//! save changed, today's jobs, the other checks that are not in limits, and what to order. Every
//! hold line is here, and only once.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::ahead::{OrderRow, in_words, no_orders, orders};
use super::cover::{CheckRow, check_row, stands_at};
use super::day::{overloaded, state_kind};
use super::hold::{HoldView, tag_words, view};
use super::layout::Layout;
use super::words;
use crate::build::Build;
use crate::calc::{Check, Hold, Results, Verdict};
use crate::diagnostics::Severity;
use crate::hold::{HoldKind, HoldLine, HoldList};
use crate::jobs::hands;
use crate::jobs::{DayList, Job, JobState, Row, sharing};
use crate::markdown::title_html;
use crate::shop_model;

/// At most so many changes are named.
const MOST_CHANGES: usize = 12;

shop_model! {
    /// `wall.html`
    pub struct WallPage {
        /// `3 days left`
        pub left: String,
        /// `Being built, not released: 2 lines on hold, 9 jobs open.`
        pub overall: String,
        /// What to do before the first move that is on today's list; one for each such job while
        /// lines are on hold.
        pub before_move: Vec<String>,
        /// When it will be done, in a sentence; empty where nothing is planned.
        pub ahead: String,
        /// How many errors the book has.
        pub errors: usize,
        /// The words on the hold tag; `None` if nothing is on hold.
        pub tag: Option<&'static str>,
        /// The whole hold list.
        pub holds: Vec<WallHold>,
        /// How many lines of the hold list are checks.
        pub hold_checks: usize,
        /// What the latest save changed, the gravest first.
        pub changed: Vec<Change>,
        /// How many more changes there are.
        pub changed_more: usize,
        /// Today's jobs that are still open, those held up first.
        pub jobs: Vec<WallJob>,
        /// How many of today's jobs are done: `4 done of 6`
        pub done: String,
        /// Who had more work than hours this morning: `Wen: 15 h of work, 9 h available`.
        pub overloaded: Vec<String>,
        /// What to order, and what is late.
        pub orders: Vec<OrderRow>,
        /// `Nothing has to be ordered today, and nothing is late.`; empty if something is listed.
        pub no_orders: &'static str,
        /// The other checks that are out of limits, too close or without a reading, hold checks
        /// first.
        pub checks: Vec<CheckRow>,
    }
}

shop_model! {
    /// A line of the hold list.
    pub struct WallHold {
        /// The line.
        pub line: HoldView,
        /// If it is a check: its value now.
        pub stands_at: String,
        /// If it is a check: its gauge: `in`, `close`, `out`, or `none` if no reading counts.
        pub gauge: &'static str,
        /// If the latest save changed its verdict: `just changed, was in limits`
        pub changed: String,
    }
}

shop_model! {
    /// A job on today's list.
    pub struct WallJob {
        /// Its title, safe HTML.
        pub title: String,
        /// Who has it.
        pub by: String,
        /// Work left of it: `8 h, 4 h each`; empty where nobody said how long it takes.
        pub hours: String,
        /// `open`, `held up: no bolts`
        pub state: String,
        /// The state as one word for the theme.
        pub kind: &'static str,
    }
}

shop_model! {
    /// Something the latest save changed.
    #[derive(PartialEq, Eq)]
    pub struct Change {
        /// The value, the job or the part.
        pub what: String,
        /// What it is now, and what it was.
        pub words: String,
        /// A check that is not in limits now, or a job held up: to be looked at.
        pub grave: bool,
    }
}

pub(super) fn page(layout: &Layout, before: Option<&Build>) -> WallPage {
    let build = layout.build;
    let day = build.day();
    let list = build.jobs.on_day(day);
    let mut open: Vec<&Row> = list.map_or_else(Vec::new, |list| {
        list.rows.iter().filter(|row| row.ended.is_open()).collect()
    });
    open.sort_by_key(|row| row.ended != JobState::HeldUp);
    let there = hands::there(&build.book, day);
    let on_hold = &build.hold;
    let turned = before.map_or_else(Vec::new, |before| turned(&build.worked, &before.worked));
    let changed = before.map(|before| changes(layout, &turned, &on_hold.lines, before));
    let (changed, changed_more) = changed.unwrap_or_default();
    WallPage {
        overall: layout.overall(day, on_hold.lines.len()),
        before_move: before_move(layout, on_hold, &open),
        left: left(day, build.book.sheet.days),
        ahead: if build.jobs.jobs.is_empty() {
            String::new()
        } else {
            in_words(&build.ahead, &build.jobs)
        },
        errors: build.count(Severity::Error),
        tag: tag_words(layout, on_hold),
        holds: on_hold
            .lines
            .iter()
            .map(|line| wall_hold(layout, line, &turned, day))
            .collect(),
        hold_checks: on_hold
            .lines
            .iter()
            .filter(|line| line.kind == HoldKind::Check)
            .count(),
        changed,
        changed_more,
        jobs: open
            .into_iter()
            .map(|row| wall_job(&build.jobs.jobs[row.job], row.ended, &there))
            .collect(),
        done: list.map_or_else(String::new, done),
        overloaded: overloaded(layout, day),
        orders: orders(layout, day),
        no_orders: no_orders(layout, day),
        checks: checks(layout, &on_hold.lines),
    }
}

fn wall_hold(layout: &Layout, line: &HoldLine, turned: &[Turned], day: u32) -> WallHold {
    let check = layout
        .build
        .worked
        .checks
        .iter()
        .find(|check| is_line_of(line, check));
    let gauge = match check.and_then(|check| check.hold_on_day(day)) {
        Some(Hold::Verdict(verdict)) => words::verdict_kind(verdict),
        Some(_) => "none",
        None => "",
    };
    let stands_at = check.map_or_else(String::new, |check| stands_at(layout, check));
    let changed = match turned.iter().find(|turned| is_line_of(line, turned.check)) {
        Some(Turned { was: Some(was), .. }) => format!("just changed, was {}", was.words()),
        Some(Turned { was: None, .. }) => "just added".to_owned(),
        None => String::new(),
    };
    WallHold {
        line: view(layout, line),
        stands_at,
        gauge,
        changed,
    }
}

/// Is this line of the hold list about this check?
fn is_line_of(line: &HoldLine, check: &Check) -> bool {
    line.kind == HoldKind::Check && check.hold && check.rule.at == line.at
}

/// `4 done of 6, 1 dropped`
fn done(list: &DayList) -> String {
    let dropped = if list.dropped > 0 {
        format!(", {} dropped", list.dropped)
    } else {
        String::new()
    };
    format!("{} done of {}{dropped}", list.done, list.rows.len())
}

/// What stands between the vehicle and the first moves among today's open jobs.
fn before_move(layout: &Layout, on_hold: &HoldList, open: &[&Row]) -> Vec<String> {
    let jobs = &layout.build.jobs;
    let held = on_hold.moves_held(open.iter().map(|row| &*jobs.jobs[row.job]));
    held.map(|(job, lines)| before_move_words(&super::layout::plain(&job.title), lines))
        .collect()
}

/// `Clear 2 lines on hold before “Ten metres across the yard”.`
fn before_move_words(title: &str, lines: usize) -> String {
    format!(
        "Clear {} on hold before the first move: “{title}”.",
        words::count(lines, "line", "lines")
    )
}

/// How many days are left after a day.
fn left(day: u32, days: Option<u32>) -> String {
    let Some(days) = days else {
        return words::NOT_KNOWN.to_owned();
    };
    match (days.checked_sub(day), day.saturating_sub(days)) {
        (Some(0), _) => "Last day".to_owned(),
        (Some(left), _) => format!("{} left", words::count(left as usize, "day", "days")),
        (None, over) => format!("{} over", words::count(over as usize, "day", "days")),
    }
}

fn wall_job(job: &Job, ended: JobState, there: &[String]) -> WallJob {
    let people = sharing(&job.by, there).len();
    let why = job.held_up().filter(|_| ended == JobState::HeldUp);
    WallJob {
        title: title_html(&job.title),
        by: job.by.join(", "),
        hours: job
            .hours_to_go()
            .map_or_else(String::new, |hours| words::shared_hours(hours, people)),
        state: why.map_or_else(|| "open".to_owned(), |why| format!("held up: {why}")),
        kind: if ended == JobState::HeldUp {
            "held"
        } else {
            state_kind(ended)
        },
    }
}

/// What is not in limits beside the lines on hold: hold checks first, then the worst.
fn checks(layout: &Layout, on_hold: &[HoldLine]) -> Vec<CheckRow> {
    let all = layout.build.worked.checks.iter();
    let others = all.filter(|check| !on_hold.iter().any(|line| is_line_of(line, check)));
    let mut open: Vec<&Arc<Check>> = others
        .filter(|check| !matches!(verdict(check), Verdict::InLimits | Verdict::Withdrawn))
        .collect();
    open.sort_by_key(|check| (!check.hold, gravity(verdict(check))));
    open.into_iter()
        .map(|check| check_row(layout, check))
        .collect()
}

fn verdict(check: &Check) -> Verdict {
    check
        .latest()
        .map_or(Verdict::NoReading, |judgement| judgement.verdict)
}

fn gravity(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::OutOfLimits => 0,
        Verdict::TooClose => 1,
        Verdict::NoReading => 2,
        Verdict::InLimits | Verdict::Withdrawn => 3,
    }
}

/// What is different from the build before: verdicts, jobs, parts, then values; and how many more
/// there are. A line on hold says by itself what changed.
fn changes(
    layout: &Layout,
    turned: &[Turned],
    on_hold: &[HoldLine],
    before: &Build,
) -> (Vec<Change>, usize) {
    let (held, others): (Vec<&Turned>, Vec<&Turned>) = turned
        .iter()
        .partition(|turned| on_hold.iter().any(|line| is_line_of(line, turned.check)));
    let mut changes: Vec<Change> = others
        .into_iter()
        .map(|turned| verdict_change(layout, turned))
        .collect();
    changes.extend(jobs(layout.build, before));
    changes.extend(parts(layout.build, before));
    let held = held
        .into_iter()
        .map(|turned| layout.value_link(turned.check.name).text);
    let told: BTreeSet<String> = changes
        .iter()
        .map(|change| change.what.clone())
        .chain(held)
        .collect();
    changes.extend(
        values(layout, before)
            .into_iter()
            .filter(|change| !told.contains(&change.what)),
    );
    changes.sort_by_key(|change| !change.grave);
    let more = changes.len().saturating_sub(MOST_CHANGES);
    changes.truncate(MOST_CHANGES);
    (changes, more)
}

/// A check whose verdict the latest save changed.
struct Turned<'a> {
    check: &'a Arc<Check>,
    /// The verdict before; `None` if the check is new.
    was: Option<Verdict>,
}

/// The checks whose verdict is another one than in the build before, hold checks first.
fn turned<'a>(now: &'a Results, before: &Results) -> Vec<Turned<'a>> {
    let was = |index: usize, check: &Arc<Check>| {
        let same_place = before
            .checks
            .get(index)
            .filter(|was| Arc::ptr_eq(was, check));
        same_place.or_else(|| {
            let name = before.names.find(now.text(check.name))?;
            before
                .checks
                .iter()
                .find(|was| was.name == name && was.kind == check.kind)
        })
    };
    let checks = now.checks.iter().enumerate();
    let all = checks.map(|(index, check)| Turned {
        check,
        was: was(index, check).map(|was| verdict(was)),
    });
    let mut turned: Vec<Turned> = all
        .filter(|turned| turned.was != Some(verdict(turned.check)))
        .collect();
    turned.sort_by_key(|turned| !turned.check.hold);
    turned
}

fn verdict_change(layout: &Layout, turned: &Turned) -> Change {
    let new = verdict(turned.check);
    let was = turned
        .was
        .map_or_else(String::new, |was| format!(", was {}", was.words()));
    let words = format!("{}, {}{was}", stands_at(layout, turned.check), new.words());
    Change {
        what: layout.value_link(turned.check.name).text,
        words,
        grave: new != Verdict::InLimits,
    }
}

fn jobs<'a>(now: &'a Build, before: &'a Build) -> impl Iterator<Item = Change> + 'a {
    now.jobs.all().filter_map(|job| {
        let was = before.jobs.job(&job.id).map(|job| job.state);
        let words = match job.held_up() {
            Some(why) => format!("held up: {why}"),
            None => job.state.words().to_owned(),
        };
        let held = job.state == JobState::HeldUp;
        (was != Some(job.state)).then(|| Change {
            what: super::layout::plain(&job.title),
            words,
            grave: held,
        })
    })
}

fn parts<'a>(now: &'a Build, before: &'a Build) -> impl Iterator<Item = Change> + 'a {
    now.ledger.parts.iter().filter_map(|(id, story)| {
        let was = before.ledger.parts.get(id).map(|story| story.state);
        let what = now
            .book
            .parts
            .get(id)
            .map_or_else(|| id.clone(), |part| part.what.clone());
        (was != Some(story.state)).then(|| Change {
            what,
            words: story.state.words().to_owned(),
            grave: false,
        })
    })
}

/// Values that are otherwise than before.
fn values(layout: &Layout, before: &Build) -> Vec<Change> {
    let (now, judge) = (&layout.build.worked, layout.judge());
    let changed = now
        .names
        .iter()
        .filter(|(text, _)| !text.contains('.'))
        .filter_map(|(text, id)| {
            let was = before.worked.names.find(text);
            if was.is_some_and(|was| {
                Arc::ptr_eq(&before.worked.values[was.index()], &now.values[id.index()])
            }) {
                return None;
            }
            let new = words::moment(now, id, now.latest(id)?, layout.build.day(), judge);
            let old = was.and_then(|was| Some((was, before.worked.latest(was)?)));
            let old = old.map(|(was, moment)| {
                words::moment(&before.worked, was, moment, before.day(), judge)
            });
            let words = match &old {
                Some(old) if *old == new => return None,
                Some(old) => format!("{new}, was {old}"),
                None => new,
            };
            Some(Change {
                what: text.to_owned(),
                words,
                grave: false,
            })
        });
    changed.collect()
}
