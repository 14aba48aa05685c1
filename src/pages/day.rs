//! A day's page: the log as a story, what moved, done against plan.

use super::ahead::{AheadView, OrderRow, no_orders, orders, view};
use super::body::{BodyPart, body};
use super::changes::{DayChanges, moved};
use super::counts::CheckCounts;
use super::day_nav::{DayNav, day_nav};
use super::hold::{HoldEventView, HoldTag, history, tag};
use super::layout::{Layout, Message};
use super::{Link, words};
use crate::jobs::hands::{self, Hands};
use crate::jobs::{Came, DayList, Job, JobState, MentionRecord, Row, sharing};
use crate::markdown::title_html;
use crate::view_model;

view_model! {
    /// `days/….html`
    pub struct DayPage {
        /// Its address in the record.
        pub href: String => Address,
        /// The day.
        pub day: u32 => Public,
        /// `Friday 2031-05-02`
        pub date: String => Public,
        /// Why that is not the date the build sheet gives, in the crew's words; empty where it is.
        pub date_why: String => CrewText,
        /// The log's heading, or `Day N`.
        pub title: String => CrewText,
        /// The heading as safe HTML, an `h1`; empty where it stands further down in the log, or has
        /// figures in it.
        pub heading: String => Html,
        /// How the whole vehicle stood that evening: `Being built, not released: 2 lines on hold, 9
        /// jobs open.`
        pub overall: String => Public,
        /// The day in one or two sentences.
        pub lede: String => Public,
        /// Who was there.
        pub crew: String => People,
        /// The way through the book.
        pub strip: DayNav => View,
        /// What was on hold that evening.
        pub tag: Option<HoldTag> => View,
        /// What happened that day against the hold list.
        pub hold_history: Vec<HoldEventView> => View,
        /// The log.
        pub body: Vec<BodyPart> => View,
        /// What moved.
        pub moved: DayChanges => View,
        /// Done against plan.
        pub list: Vec<ListRow> => View,
        /// How many more were carried through the day with nothing said about them.
        pub list_more: usize => Public,
        /// The balance of the list.
        pub balance: String => Public,
        /// Hours planned and spent.
        pub hours: String => Public,
        /// Who had more work than hours that morning: `Wen: 15 h of work, 9 h available`.
        pub overloaded: Vec<String> => Named,
        /// When it would be done, as it looked that evening.
        pub ahead: Option<AheadView> => View,
        /// What was to be ordered that evening.
        pub orders: Vec<OrderRow> => View,
        /// `Nothing has to be ordered today, and nothing is late.`; empty if something is listed,
        /// or if nobody knows any more.
        pub no_orders: &'static str => Public,
        /// Messages of the log's front matter.
        pub messages: Vec<Message> => View,
        /// The log's file.
        pub file: String => Address,
        /// The day before.
        pub before: Option<Link> => View,
        /// The day after.
        pub after: Option<Link> => View,
    }
}

view_model! {
    /// One job on the day's list.
    pub struct ListRow {
        /// Its line on the jobs page.
        pub href: String => Address,
        /// The title, safe HTML.
        pub title: String => Html,
        /// `planned`, `carried in`, `added` or `early`.
        pub came: &'static str => Public,
        /// Who has it.
        pub by: String => People,
        /// Planned hours.
        pub planned: String => Public,
        /// Hours spent that day.
        pub spent: String => Public,
        /// `done`, `carried`, `held up`, `dropped`.
        pub state: &'static str => Public,
        /// The state as one word for the theme: `done`, `open`, `dropped`.
        pub kind: &'static str => Public,
        /// Why, where something was said.
        pub why: String => CrewText,
    }
}

/// The page of the log with that index.
pub(super) fn page(layout: &Layout, index: usize) -> DayPage {
    let log = &layout.build.book.days[index];
    let list = layout.build.jobs.on_day(log.day);
    let rows = list.map_or_else(Vec::new, |list| shown_rows(layout, list));
    let moved = moved(layout, index);
    let (heading, body) = headed(layout, index);
    let tag = tag(layout, log.day);
    DayPage {
        href: format!("days/{}.html", log.stem),
        day: log.day,
        date: words::date(log.date),
        date_why: log.date_why.clone().unwrap_or_default(),
        title: log
            .title
            .clone()
            .unwrap_or_else(|| format!("Day {}", log.day)),
        heading,
        lede: lede(layout, list, moved.turned, log.day),
        crew: log.crew.join(", "),
        strip: day_nav(layout, Some(log.day)),
        overall: layout.overall(log.day, tag.as_ref().map_or(0, HoldTag::count)),
        tag,
        hold_history: history(layout, |event| event.day == log.day),
        body,
        list: rows
            .iter()
            .map(|row| list_row(layout, row, log.day))
            .collect(),
        list_more: list.map_or(0, |list| list.rows.len()) - rows.len(),
        balance: list.map_or_else(String::new, balance),
        hours: list.map_or_else(String::new, |list| hours(layout, list)),
        overloaded: overloaded(layout, log.day),
        ahead: view(layout, log.day),
        orders: orders(layout, log.day),
        no_orders: no_orders(layout, log.day),
        messages: layout.other_messages(log.file),
        file: layout.build.sources.path(log.file).to_owned(),
        before: index.checked_sub(1).map(|before| beside(layout, before)),
        after: (index + 1 < layout.build.book.days.len()).then(|| beside(layout, index + 1)),
        moved,
    }
}

/// The log's first heading, and what comes after it: what stands against the vehicle goes between
/// the two.
fn headed(layout: &Layout, index: usize) -> (String, Vec<BodyPart>) {
    let mut body = body(layout, index);
    let log = &layout.build.book.days[index];
    if log.title.is_none() {
        return (format!("<h1>Day {}</h1>", log.day), body);
    }
    let Some(BodyPart::Html { html }) = body.first_mut() else {
        return (String::new(), body);
    };
    let end = html
        .find("</h1>")
        .filter(|_| html.starts_with("<h1"))
        .map(|at| at + "</h1>".len());
    let after = end.map(|end| html.split_off(end)).unwrap_or_default();
    let heading = if end.is_some() {
        std::mem::replace(html, after)
    } else {
        String::new()
    };
    (heading, body)
}

fn beside(layout: &Layout, index: usize) -> Link {
    let log = &layout.build.book.days[index];
    let title = log
        .title
        .as_deref()
        .map_or_else(String::new, |title| format!(", {title}"));
    Link {
        href: Layout::log_href(&log.stem),
        text: format!("Day {}{title}", log.day),
    }
}

/// `6 done of 9, 3 carried. 2 verdicts turned; 1 check is out of limits.`
fn lede(layout: &Layout, list: Option<&DayList>, turned: usize, day: u32) -> String {
    let mut sentences = Vec::new();
    if let Some(list) = list {
        let dropped = if list.dropped > 0 {
            format!(", {} dropped", list.dropped)
        } else {
            String::new()
        };
        sentences.push(format!(
            "{} done of {}, {} carried{dropped}.",
            list.done,
            list.rows.len(),
            list.carried
        ));
    }
    if turned > 0 {
        sentences.push(format!(
            "{} turned.",
            words::count(turned, "verdict", "verdicts")
        ));
    }
    let CheckCounts { out, close } = layout.open_checks_on(day);
    if out + close > 0 {
        sentences.push(format!(
            "{} out of limits, {close} too close.",
            words::count(out, "check", "checks")
        ));
    }
    sentences.join(" ")
}

fn balance(list: &DayList) -> String {
    format!(
        "{} planned + {} added + {} early = {} done + {} carried + {} dropped",
        list.planned, list.added, list.early, list.done, list.carried, list.dropped
    )
}

/// Those of the crew who had more work than hours on the morning of a day.
pub(super) fn overloaded(layout: &Layout, day: u32) -> Vec<String> {
    let hands = hands::on_day(&layout.build.book, &layout.build.jobs, day);
    hands
        .iter()
        .filter(|hands| hands.is_over())
        .map(Hands::words)
        .collect()
}

fn hours(layout: &Layout, list: &DayList) -> String {
    let hands = match hands::hours_there(&layout.build.book, list.day) {
        Some(hours) => words::hours(hours),
        None => "an unknown number of hours".to_owned(),
    };
    let (planned, spent) = (
        words::hours(list.hours_planned),
        words::hours(list.hours_spent),
    );
    format!("{planned} planned, {spent} spent, {hands} of hands there")
}

/// So many jobs that nobody touched stand on a day's list: in a long book they would fill each
/// day's page.
const MOST_UNTOUCHED: usize = 30;

/// The rows of the day's list: all that something was said about, and the first of those only
/// carried through.
fn shown_rows<'l>(layout: &Layout, list: &'l DayList) -> Vec<&'l Row> {
    let mut untouched = 0;
    let shown = list.rows.iter().filter(|row| {
        let carried =
            row.came == Came::Carried && matches!(row.ended, JobState::Carried | JobState::HeldUp);
        let quiet = carried && said_on(&layout.build.jobs.jobs[row.job], list.day).is_empty();
        untouched += usize::from(quiet);
        !quiet || untouched <= MOST_UNTOUCHED
    });
    shown.collect()
}

/// What a job's history holds of a day; it is in the order of the book.
fn said_on(job: &Job, day: u32) -> &[MentionRecord] {
    let from = job.history.partition_point(|said| said.day < day);
    let to = job.history.partition_point(|said| said.day <= day);
    &job.history[from..to]
}

fn list_row(layout: &Layout, row: &Row, day: u32) -> ListRow {
    let job = &layout.build.jobs.jobs[row.job];
    let there = hands::there(&layout.build.book, day);
    ListRow {
        href: Layout::job_href(&job.id),
        title: title_html(&job.title),
        came: match row.came {
            Came::Planned => "planned",
            Came::Carried => "carried in",
            Came::Added => "added",
            Came::Early => "early",
        },
        by: job.by_on(day).join(", "),
        planned: words::shared_hours(row.hours_planned, sharing(job.by_on(day), &there).len()),
        spent: words::hours(row.hours_spent),
        state: row.ended.words(),
        kind: state_kind(row.ended),
        why: why(job, day),
    }
}

/// A state as one word for the theme.
pub(super) fn state_kind(state: JobState) -> &'static str {
    match state {
        JobState::Done => "done",
        JobState::Dropped => "dropped",
        JobState::Planned => "plan",
        JobState::Carried | JobState::HeldUp => "open",
    }
}

fn why(job: &Job, day: u32) -> String {
    let today = said_on(job, day).iter().filter(|said| !said.refused);
    today
        .flat_map(super::body::notes)
        .collect::<Vec<_>>()
        .join("; ")
}
