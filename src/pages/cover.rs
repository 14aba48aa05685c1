//! The cover: which build, what day, what is on hold, do the targets stand, what to order, the
//! story by day.

use super::ahead::{AheadView, OrderRow, no_orders, orders, view};
use super::day_nav::{DayNav, NavWeek, day_nav, weeks};
use super::hold::{HoldEventView, HoldTag, history, tag};
use super::layout::{Layout, Message};
use super::words;
use crate::calc::{Basis, Check, Verdict};
use crate::diagnostics::Severity;
use crate::drawings::{self, DayHours};
use crate::jobs::hands;
use crate::quantity::data::money;
use crate::quantity::printed;
use crate::view_model;

view_model! {
    /// `index.html`
    pub struct Cover {
        /// The way through the book.
        pub strip: DayNav => View,
        /// How many errors the book has.
        pub errors: usize => Public,
        /// Every week of a long book.
        pub weeks: Vec<NavWeek> => View,
        /// The latest day with a log: `Friday 2031-05-09`; empty before the first.
        pub date: String => Public,
        /// `Built, not released: 1 line on hold, first move dropped, a part due on day 9.`
        pub overall: String => Public,
        /// What is on hold.
        pub tag: Option<HoldTag> => View,
        /// When the vehicle was moved while lines were on hold.
        pub hold_history: Vec<HoldEventView> => View,
        /// How many targets are in limits, and what they rest on: `3 of 4 targets in limits: 1
        /// measured, 2 calculated`; empty where there are none.
        pub targets_stand: String => Public,
        /// The targets and how they stand.
        pub targets: Vec<CheckRow> => View,
        /// Checks that are not in limits, targets left out.
        pub open_checks: Vec<CheckRow> => View,
        /// How many checks are in limits, of how many, and what they rest on.
        pub checks: String => Public,
        /// When it will be done.
        pub ahead: Option<AheadView> => View,
        /// What to order, and what is late.
        pub orders: Vec<OrderRow> => View,
        /// `Nothing has to be ordered today, and nothing is late.`; empty if something is listed.
        pub no_orders: &'static str => Public,
        /// The days as a story.
        pub story: Vec<StoryDay> => View,
        /// Hours planned for each day against the hands there, as SVG.
        pub hours: String => Drawing,
        /// What is spent.
        pub spent: String => Money,
        /// What is fitted.
        pub fitted: String => Named,
        /// Errors and warnings in the book.
        pub messages: Vec<Message> => View,
    }
}

view_model! {
    /// A check as it stands now.
    pub struct CheckRow {
        /// The value.
        pub link: super::Link => View,
        /// What it stands at.
        pub stands_at: String => Public,
        /// The limit.
        pub limit: String => Named,
        /// The verdict.
        pub verdict: Option<words::VerdictView> => View,
        /// What the value rests on, and its limit: `calculated, limit: maker’s figure`.
        pub basis: String => Public,
        /// The value against the limit, as SVG.
        pub drawing: Option<String> => Drawing,
        /// Is it a hold check?
        pub hold: bool => Public,
    }
}

view_model! {
    /// A day in one line.
    pub struct StoryDay {
        /// The day.
        pub day: u32 => Public,
        /// Its page.
        pub href: String => Address,
        /// Its date.
        pub date: String => Public,
        /// Its heading.
        pub title: String => CrewText,
        /// `6 done of 9, 3 carried`
        pub jobs: String => Public,
        /// `31 h of 24 h planned`
        pub hours: String => Public,
        /// Which checks turned, and to what.
        pub turned: Vec<TurnedCheck> => View,
    }
}

view_model! {
    /// A check that a day turned.
    pub struct TurnedCheck {
        /// The value.
        pub link: super::Link => View,
        /// The verdict it turned to.
        pub verdict: words::VerdictView => View,
    }
}

pub(super) fn cover(layout: &Layout) -> Cover {
    let build = layout.build;
    let judged = build.worked.checks.iter().map(|check| &**check);
    let targets: Vec<&Check> = judged.clone().filter(|check| check.target).collect();
    let tag = tag(layout, build.day());
    Cover {
        strip: day_nav(layout, None),
        errors: build.count(Severity::Error),
        weeks: weeks(layout),
        date: build
            .book
            .days
            .last()
            .map_or_else(String::new, |log| words::date(log.date)),
        overall: layout.overall(build.day(), tag.as_ref().map_or(0, HoldTag::count)),
        tag,
        hold_history: history(layout, |_| true),
        targets_stand: if targets.is_empty() {
            String::new()
        } else {
            in_limits(layout, &targets, "target", "targets")
        },
        targets: targets
            .iter()
            .map(|check| check_row(layout, check))
            .collect(),
        open_checks: judged
            .clone()
            .filter(|check| is_open(check))
            .map(|check| check_row(layout, check))
            .collect(),
        checks: in_limits(layout, &judged.collect::<Vec<_>>(), "check", "checks"),
        ahead: view(layout, build.day()),
        orders: orders(layout, build.day()),
        no_orders: no_orders(layout, build.day()),
        story: (0..build.book.days.len())
            .map(|index| story_day(layout, index))
            .collect(),
        hours: hours(layout),
        spent: printed::with_name(&money(build.ledger.spent.total), &build.book.sheet.money),
        fitted: printed::kilograms(build.ledger.fitted.kg),
        messages: build
            .diagnostics
            .iter()
            .filter(|d| d.severity != Severity::Note && d.because.is_none())
            .map(|d| layout.message(d))
            .collect(),
    }
}

/// `43 of 44 checks in limits: 17 measured, 26 calculated; 1 withdrawn`
fn in_limits(layout: &Layout, checks: &[&Check], one: &str, many: &str) -> String {
    let held: Vec<&&Check> = checks
        .iter()
        .filter(|check| verdict_of(check) == Verdict::InLimits)
        .collect();
    let (worked, day) = (&layout.build.worked, layout.build.day());
    let by = |basis: Basis| {
        held.iter()
            .filter(|check| worked.basis(check.name, day) == Some(basis))
            .count()
    };
    let counts = Basis::ALL
        .into_iter()
        .map(|basis| (by(basis), basis))
        .filter(|(count, _)| *count > 0);
    let counts: Vec<String> = counts
        .map(|(count, basis)| format!("{count} {}", basis.printed()))
        .collect();
    let counts = if counts.is_empty() {
        String::new()
    } else {
        format!(": {}", counts.join(", "))
    };
    let withdrawn = checks.iter().filter(|check| check.withdrawn).count();
    let gone = if withdrawn == 0 {
        String::new()
    } else {
        format!("; {withdrawn} withdrawn")
    };
    let all = words::count(checks.len() - withdrawn, one, many);
    format!("{} of {all} in limits{counts}{gone}", held.len())
}

fn verdict_of(check: &Check) -> Verdict {
    check
        .latest()
        .map_or(Verdict::NoReading, |judgement| judgement.verdict)
}

/// Neither in limits nor a target, which stands on the cover anyway.
fn is_open(check: &Check) -> bool {
    !check.target && !matches!(verdict_of(check), Verdict::InLimits | Verdict::Withdrawn)
}

pub(super) fn check_row(layout: &Layout, check: &Check) -> CheckRow {
    let judgement = check.latest();
    CheckRow {
        link: layout.value_link(check.name),
        stands_at: stands_at(layout, check),
        limit: check.limit().to_owned(),
        verdict: judgement.map(|judged| layout.verdict(check.name, judged)),
        basis: layout.basis(check),
        drawing: judgement
            .and_then(|judged| Some(drawings::stand(judged, check.judged_by(layout.judge()))?.svg)),
        hold: check.hold,
    }
}

/// The value that a check judged last.
pub(super) fn stands_at(layout: &Layout, check: &Check) -> String {
    let judged = check.latest();
    let is_known = judged.is_some_and(|judged| judged.value.is_some());
    let moment = layout.build.worked.latest(check.name).filter(|_| is_known);
    let value = moment.map(|moment| layout.moment(check.name, moment, layout.build.day()));
    value.unwrap_or_else(|| "not yet".to_owned())
}

fn story_day(layout: &Layout, index: usize) -> StoryDay {
    let log = &layout.build.book.days[index];
    let list = layout.build.jobs.on_day(log.day);
    let turned = layout.build.worked.days[index]
        .judged
        .iter()
        .filter_map(|check| turned(layout, *check, log.day))
        .collect();
    StoryDay {
        day: log.day,
        href: Layout::log_href(&log.stem),
        date: log
            .date
            .map_or_else(|| words::NOT_KNOWN.to_owned(), |date| date.to_string()),
        title: log
            .title
            .clone()
            .unwrap_or_else(|| format!("Day {}", log.day)),
        jobs: list.map_or_else(String::new, |list| {
            format!(
                "{} done of {}, {} carried",
                list.done,
                list.rows.len(),
                list.carried
            )
        }),
        hours: list.map_or_else(String::new, |list| {
            format!("{} spent", words::hours(list.hours_spent))
        }),
        turned,
    }
}

fn turned(layout: &Layout, check: usize, day: u32) -> Option<TurnedCheck> {
    let check = &layout.build.worked.checks[check];
    let (now, before) = (check.on_day(day)?, check.on_day(day - 1));
    let was = before.map_or(Verdict::NoReading, |before| before.verdict);
    // A value that is in limits from its first reading on has turned nothing.
    if was == now.verdict || (was == Verdict::NoReading && now.verdict == Verdict::InLimits) {
        return None;
    }
    Some(TurnedCheck {
        link: layout.value_link(check.name),
        verdict: layout.verdict(check.name, now),
    })
}

/// Hours of work on each day's list against the hands there: planned ones for the days to come.
fn hours(layout: &Layout) -> String {
    let sheet = &layout.build.book.sheet;
    if super::day_nav::is_long(layout) || !sheet.crew_known {
        return String::new();
    }
    let build = layout.build;
    let day = |day: u32| {
        let work = build
            .jobs
            .on_day(day)
            .map_or_else(|| layout.planned_hours(day), |list| list.hours_planned);
        DayHours {
            label: format!("day {day}"),
            hands: hands::hours_there(&build.book, day).unwrap_or(0.0),
            work,
        }
    };
    let days: Vec<DayHours> = (1..=sheet.days.unwrap_or(1).max(build.day()))
        .map(day)
        .collect();
    drawings::hours(&days).svg
}
