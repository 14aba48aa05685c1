//! The jobs page: every job, planned and done, with what was said of it.

mod chain;

use std::collections::BTreeMap;

use super::body::notes;
use super::day::state_kind;
use super::day_nav::{DayNav, day_nav};
use super::layout::Layout;
use super::{Link, words};
use crate::forecast::Slot;
use crate::jobs::hands;
use crate::jobs::{Job, MentionRecord, total};
use crate::markdown::title_html;
use crate::view_model;

view_model! {
    /// `jobs.html`
    pub struct JobsPage {
        /// The way through the book.
        pub strip: DayNav => View,
        /// The jobs, in the order of the plan, then as they were added.
        pub jobs: Vec<JobRow> => View,
        /// What follows what, by day and person, as SVG; of a big book what is open only.
        pub chain: Option<String> => Drawing,
        /// Does the chain show what is open only?
        pub chain_is_open: bool => Public,
        /// The balance of each day.
        pub days: Vec<BalanceRow> => View,
        /// Hours planned and spent in all.
        pub hours: String => Public,
        /// What is left, with when it is reckoned and how much room it has.
        pub left: Vec<LeftRow> => View,
        /// What slipped, and why.
        pub slips: Vec<SlipRow> => View,
        /// Hours by person.
        pub people: Vec<PersonRow> => CrewRows,
    }
}

view_model! {
    /// A job that is left.
    pub struct LeftRow {
        /// The job.
        pub job: Link => View,
        /// The days it is reckoned for.
        pub days: String => Public,
        /// Who does it.
        pub by: String => People,
        /// Hours it may be late without moving the end; none on the critical chain.
        pub slack: String => Public,
        /// The share of runs in which it decided the end.
        pub on_chain: String => Public,
    }
}

view_model! {
    /// A job that slipped.
    pub struct SlipRow {
        /// The job.
        pub job: Link => View,
        /// The day it was planned for, or added on.
        pub planned: u32 => Public,
        /// The day done, or how it stands.
        pub done: String => Public,
        /// Days late.
        pub late: u32 => Public,
        /// What the logs said of it, with the day.
        pub why: Vec<Said> => View,
    }
}

view_model! {
    /// One person's hours. A job by several is shared equally by those who were there.
    pub struct PersonRow {
        /// Who.
        pub name: String => People,
        /// Planned hours.
        pub planned: String => Public,
        /// Hours spent.
        pub spent: String => Public,
    }
}

view_model! {
    /// One job.
    pub struct JobRow {
        /// Its id, which is its anchor.
        pub id: String => Address,
        /// The title, safe HTML.
        pub title: String => Html,
        /// `day 3`, or `added on day 4`.
        pub planned: String => Public,
        /// That day, to sort by.
        pub planned_day: Option<u32> => Public,
        /// Who has it.
        pub by: String => People,
        /// Planned hours.
        pub takes: String => Public,
        /// The same to sort by.
        pub takes_hours: Option<f64> => Public,
        /// Hours spent.
        pub took: String => Public,
        /// The same to sort by.
        pub took_hours: f64 => Public,
        /// Of those, hours of work that was made again.
        pub twice: String => Public,
        /// Its state.
        pub state: &'static str => Public,
        /// The state as one word for the theme.
        pub kind: &'static str => Public,
        /// `done on day 4, 1 day late`
        pub when: String => Public,
        /// Jobs it follows and parts it needs.
        pub waits: Vec<Link> => View,
        /// Its hazards.
        pub cautions: Vec<String> => Public,
        /// What was said of it, with the line.
        pub history: Vec<Said> => View,
    }
}

view_model! {
    /// What a log said of a job.
    pub struct Said {
        /// Its line.
        pub link: Link => View,
        /// What it said.
        pub words: String => CrewText,
    }
}

view_model! {
    /// One day's balance.
    pub struct BalanceRow {
        /// The day.
        pub link: Link => View,
        /// planned, added, early, done, carried, dropped.
        pub counts: [usize; 6] => Public,
        /// Hours planned and spent.
        pub hours: [String; 2] => Public,
    }
}

pub(super) fn page(layout: &Layout) -> JobsPage {
    let list = &layout.build.jobs;
    let planned = total(list.all().filter_map(|job| job.takes));
    let spent = total(list.all().map(|job| job.hours_spent));
    let twice = total(list.all().map(|job| job.hours_twice));
    let (chain, chain_is_open) = chain::chain(layout);
    JobsPage {
        chain,
        chain_is_open,
        left: left(layout),
        slips: list
            .jobs
            .iter()
            .filter(|job| job.slipped > 0)
            .filter_map(|job| slip(layout, job))
            .collect(),
        people: people(layout),
        strip: day_nav(layout, None),
        jobs: list.jobs.iter().map(|job| row(layout, job)).collect(),
        days: list.days.iter().map(|day| balance(layout, day)).collect(),
        hours: hours(planned, spent, twice),
    }
}

fn hours(planned: f64, spent: f64, twice: f64) -> String {
    let twice = if twice > 0.0 {
        format!(", {} of it on work made twice", words::hours(twice))
    } else {
        String::new()
    };
    format!(
        "{} planned, {} spent{twice}",
        words::hours(planned),
        words::hours(spent)
    )
}

fn left(layout: &Layout) -> Vec<LeftRow> {
    let ahead = &layout.build.ahead;
    let slack: BTreeMap<&str, f64> = ahead
        .network
        .nodes
        .iter()
        .map(|node| (node.job.as_str(), node.slack))
        .collect();
    let on_chain: BTreeMap<&str, f64> = ahead
        .outlook
        .on_chain
        .iter()
        .map(|(job, share)| (job.as_str(), *share))
        .collect();
    let row = |slot: &Slot| LeftRow {
        job: layout.job_link(&slot.job),
        days: days_words(slot.start_day, slot.finish_day),
        by: slot.by.join(", "),
        slack: slack
            .get(slot.job.as_str())
            .map_or_else(String::new, |slack| slack_words(*slack)),
        on_chain: on_chain
            .get(slot.job.as_str())
            .map_or_else(String::new, |share| format!("{:.0} of 100", 100.0 * share)),
    };
    ahead.schedule.slots.iter().map(row).collect()
}

fn days_words(start: u32, finish: u32) -> String {
    if start == finish {
        format!("day {start}")
    } else {
        format!("day {start} to {finish}")
    }
}

fn slack_words(slack: f64) -> String {
    if slack <= 0.0 {
        "critical".to_owned()
    } else {
        words::hours(slack)
    }
}

fn slip(layout: &Layout, job: &Job) -> Option<SlipRow> {
    let why = job
        .history
        .iter()
        .filter(|said| said.held_up.is_some() || said.again.is_some() || said.dropped.is_some());
    Some(SlipRow {
        job: layout.job_link(&job.id),
        planned: job.first_day()?,
        done: job
            .done_day
            .map_or_else(|| job.state.words().to_owned(), |day| format!("day {day}")),
        late: job.slipped,
        why: why.filter_map(|said| said_so(layout, said)).collect(),
    })
}

/// Hours by person: each job's in equal shares among those who were there for it.
fn people(layout: &Layout) -> Vec<PersonRow> {
    let book = &layout.build.book;
    let mut hours: BTreeMap<&str, (f64, f64)> = BTreeMap::new();
    for job in layout.build.jobs.all() {
        for (name, planned) in hands::planned(book, job) {
            hours.entry(name).or_default().0 += planned;
        }
        for (name, spent) in hands::spent(book, job) {
            hours.entry(name).or_default().1 += spent;
        }
    }
    let row = |(name, (planned, spent)): (&str, (f64, f64))| PersonRow {
        name: name.to_owned(),
        planned: words::hours(planned),
        spent: words::hours(spent),
    };
    hours.into_iter().map(row).collect()
}

fn row(layout: &Layout, job: &Job) -> JobRow {
    let follows = job.follows.iter().map(|id| layout.job_link(&id.value));
    let needs = job.needs.iter().map(|id| layout.part_link(&id.value));
    JobRow {
        id: job.id.clone(),
        title: title_html(&job.title),
        planned: planned(job),
        planned_day: job.planned_day.or(job.added_day),
        by: job.by.join(", "),
        takes: job.takes.map_or_else(
            || "–".to_owned(),
            |takes| words::shared_hours(takes, job.by.len()),
        ),
        takes_hours: job.takes,
        took: words::hours(job.hours_spent),
        took_hours: job.hours_spent,
        twice: if job.hours_twice > 0.0 {
            words::hours(job.hours_twice)
        } else {
            String::new()
        },
        state: job.state.words(),
        kind: state_kind(job.state),
        when: when(job),
        waits: follows.chain(needs).collect(),
        cautions: job
            .cautions
            .iter()
            .map(|caution| caution.word().replace('_', " "))
            .collect(),
        history: job
            .history
            .iter()
            .filter_map(|said| said_so(layout, said))
            .collect(),
    }
}

fn planned(job: &Job) -> String {
    match (job.planned_day, job.added_day) {
        (Some(day), _) => format!("day {day}"),
        (None, Some(day)) => format!("added on day {day}"),
        (None, None) => String::new(),
    }
}

fn when(job: &Job) -> String {
    let slip = if job.slipped > 0 {
        format!("{} late", words::count(job.slipped as usize, "day", "days"))
    } else {
        String::new()
    };
    match job.done_day {
        Some(day) if slip.is_empty() => format!("day {day}"),
        Some(day) => format!("day {day}, {slip}"),
        None => slip,
    }
}

fn said_so(layout: &Layout, said: &MentionRecord) -> Option<Said> {
    let mut pieces = notes(said);
    if let Some(took) = said.took {
        pieces.insert(0, words::hours(took));
    }
    if let Some(remark) = &said.remark {
        pieces.push(remark.clone());
    }
    if said.ticked {
        pieces.insert(0, "done".to_owned());
    }
    let href = layout.line_href(said.span)?;
    Some(Said {
        link: Link {
            href,
            text: format!("day {}", said.day),
        },
        words: pieces.join(", "),
    })
}

fn balance(layout: &Layout, list: &crate::jobs::DayList) -> BalanceRow {
    let text = format!("day {}", list.day);
    BalanceRow {
        link: Link {
            href: layout.day_href(list.day).unwrap_or_default(),
            text,
        },
        counts: [
            list.planned,
            list.added,
            list.early,
            list.done,
            list.carried,
            list.dropped,
        ],
        hours: [
            words::hours(list.hours_planned),
            words::hours(list.hours_spent),
        ],
    }
}
