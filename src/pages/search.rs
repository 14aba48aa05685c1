//! What the search line finds: values and checks, parts, jobs, and the words of the logs.
//!
//! In: a build. Out: [`SearchData`], each thing with the place that shows it. Its size is linear in
//! the book: a thing stands here once, a log's words once, beside the nearest anchor before them.
//! It goes through the redactor like any page, so nothing is cut short here: a name cut short is
//! found by nobody.

mod lines;

use rayon::prelude::*;

use super::layout::{Layout, plain};
use crate::book::{DayLog, Part};
use crate::calc::{Check, NameId};
use crate::jobs::Job;
use crate::view_model;

view_model! {
    /// `search-data.js`
    pub struct SearchData {
        /// Values, and the checks on them.
        pub values: Vec<FoundValue> => View,
        /// Jobs.
        pub jobs: Vec<FoundThing> => View,
        /// Parts.
        pub parts: Vec<FoundThing> => View,
        /// The logs.
        pub days: Vec<FoundDay> => View,
    }
}

view_model! {
    /// A value.
    pub struct FoundValue {
        /// Its name.
        pub id: String => Address,
        /// What it comes to, and its checks.
        pub says: String => Named,
        /// Where it is shown, where that is not on the as-built sheet.
        pub href: String => Address,
    }
}

view_model! {
    /// A job or a part.
    pub struct FoundThing {
        /// Its id, which is its anchor's.
        pub id: String => Address,
        /// The job's title, what the part is.
        pub name: String => CrewText,
        /// How it stands.
        pub says: String => CrewText,
    }
}

view_model! {
    /// A log.
    pub struct FoundDay {
        /// Its day.
        pub day: u32 => Public,
        /// Its page.
        pub href: String => Address,
        /// Its title.
        pub title: String => CrewText,
        /// Its text.
        pub lines: Vec<FoundLine> => View,
    }
}

view_model! {
    /// A stretch of a log's text that stands together.
    pub struct FoundLine {
        /// The anchor of its place; empty at the top of the page.
        pub at: String => Address,
        /// The text.
        pub says: String => CrewText,
    }
}

pub(super) fn data(layout: &Layout) -> SearchData {
    let build = layout.build;
    SearchData {
        values: values(layout),
        jobs: build.jobs.all().map(job).collect(),
        parts: build
            .book
            .parts
            .values()
            .filter_map(|of| part(layout, of))
            .collect(),
        days: build
            .book
            .days
            .par_iter()
            .enumerate()
            .map(|(index, log)| day(layout, index, log))
            .collect(),
    }
}

/// Every value with a place on the as-built sheet, and every figure of a part that a check is on.
fn values(layout: &Layout) -> Vec<FoundValue> {
    let worked = &layout.build.worked;
    let known = worked
        .names
        .iter()
        .filter(|(_, id)| !worked.values[id.index()].moments.is_empty());
    let found =
        known.filter(|(text, id)| !text.contains('.') || worked.checks_on(*id).next().is_some());
    found.map(|(text, id)| value(layout, text, id)).collect()
}

fn value(layout: &Layout, text: &str, id: NameId) -> FoundValue {
    let latest = layout.build.worked.values[id.index()].moments.last();
    let comes_to = latest.map(|moment| layout.moment(id, moment, layout.build.day()));
    let checks = layout
        .build
        .worked
        .checks_on(id)
        .map(|check| check_words(layout, check));
    let elsewhere = text.contains('.').then(|| layout.value_link(id).href);
    FoundValue {
        id: text.to_owned(),
        says: comes_to
            .into_iter()
            .chain(checks)
            .collect::<Vec<_>>()
            .join("; "),
        href: elsewhere.unwrap_or_default(),
    }
}

fn check_words(layout: &Layout, check: &Check) -> String {
    let hold = if check.hold { ", hold" } else { "" };
    let verdict = check
        .latest()
        .map(|judged| layout.verdict(check.name, judged).words);
    let verdict = verdict.map_or_else(String::new, |words| format!(": {words}"));
    format!("{}{hold}{verdict}", check.limit())
}

fn job(job: &Job) -> FoundThing {
    let by = (!job.by.is_empty()).then(|| job.by.join(", "));
    let done = job.done_day.map(|day| format!("day {day}"));
    let cautions = job
        .cautions
        .iter()
        .map(|caution| caution.word().replace('_', " "));
    let says = [Some(job.state.words().to_owned()), done, by]
        .into_iter()
        .flatten()
        .chain(cautions);
    FoundThing {
        id: job.id.clone(),
        name: plain(&job.title),
        says: says.collect::<Vec<_>>().join(", "),
    }
}

fn part(layout: &Layout, part: &Part) -> Option<FoundThing> {
    let story = layout.build.ledger.parts.get(&part.id.value)?;
    let since = story.since_day.map(|day| format!("since day {day}"));
    let serial = part
        .serial
        .as_ref()
        .map(|serial| format!("serial {serial}"));
    let says = [
        Some(story.state.words().to_owned()),
        since,
        part.from.clone(),
        part.number.clone(),
        serial,
    ];
    Some(FoundThing {
        id: part.id.value.clone(),
        name: part.what.clone(),
        says: says.into_iter().flatten().collect::<Vec<_>>().join(", "),
    })
}

fn day(layout: &Layout, index: usize, log: &DayLog) -> FoundDay {
    FoundDay {
        day: log.day,
        href: Layout::log_href(&log.stem),
        title: log.title.clone().unwrap_or_default(),
        lines: lines::lines(layout, index, log),
    }
}
