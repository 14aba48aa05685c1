//! The jobs and the days' lists.
//!
//! In: what [`work_through`](super::work_through) put down. Out: jobs by id, each day's rows and
//! balance.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::{Job, JobState, Stopgap, total};
use crate::book::DayLog;

/// Every job, every day's list, every stopgap.
#[derive(Clone, Debug, Default)]
pub struct JobList {
    /// The latest day with a log; 0 before the first.
    pub day: u32,
    /// The jobs: those of the plan in its order, then those added in the order of the logs.
    pub jobs: Vec<Arc<Job>>,
    /// Where each job stands in `jobs`, by id.
    pub by_id: Arc<BTreeMap<String, usize>>,
    /// A list for each day with a log.
    pub days: Vec<Arc<DayList>>,
    /// Every stopgap there ever was, in the order they were made.
    pub stopgaps: Vec<Stopgap>,
}

/// How a job came to a day's list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Came {
    /// Planned for that day, or for a day without a log before it.
    Planned,
    /// Carried into the day.
    Carried,
    /// First mentioned that day, or opened again.
    Added,
    /// Planned for later, done or dropped that day.
    Early,
}

impl Came {
    /// Was it on the list that morning?
    pub fn in_the_morning(self) -> bool {
        matches!(self, Self::Planned | Self::Carried)
    }
}

/// One job on one day's list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Index into [`JobList::jobs`].
    pub job: usize,
    /// How it came to the list.
    pub came: Came,
    /// How it stood at the end of the day: done, dropped, carried or held up (which is carried
    /// too).
    pub ended: JobState,
    /// What was left of it that morning, where it was on the list then.
    pub hours_planned: f64,
    /// Of its work, hours that were done before the day.
    pub(super) hours_before: f64,
    /// The hours written that day.
    pub hours_spent: f64,
}

/// One day's list and its balance: planned + added + early = done + carried + dropped.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DayList {
    /// The day.
    pub day: u32,
    /// The jobs on its list, in the order of [`JobList::jobs`].
    pub rows: Vec<Row>,
    /// On the list that morning.
    pub planned: usize,
    /// First mentioned that day, or opened again.
    pub added: usize,
    /// Planned for later, done or dropped that day.
    pub early: usize,
    /// Done at the end of the day.
    pub done: usize,
    /// Neither done nor dropped at the end of the day.
    pub carried: usize,
    /// Dropped at the end of the day.
    pub dropped: usize,
    /// Hours of work left that morning of the jobs on the list then.
    pub hours_planned: f64,
    /// Hours written that day, on whichever job.
    pub hours_spent: f64,
}

impl DayList {
    pub(super) fn new(log: &DayLog, rows: Vec<Row>, hours_spent: f64) -> Self {
        let came = |which: fn(Came) -> bool| rows.iter().filter(|row| which(row.came)).count();
        let ended =
            |which: fn(JobState) -> bool| rows.iter().filter(|row| which(row.ended)).count();
        Self {
            day: log.day,
            planned: came(Came::in_the_morning),
            added: came(|came| came == Came::Added),
            early: came(|came| came == Came::Early),
            done: ended(|state| state == JobState::Done),
            carried: ended(JobState::is_open),
            dropped: ended(|state| state == JobState::Dropped),
            hours_planned: total(rows.iter().map(|row| row.hours_planned)),
            hours_spent,
            rows,
        }
    }
}

impl JobList {
    /// Every job, in the order of [`JobList::jobs`].
    pub fn all(&self) -> impl Iterator<Item = &Job> {
        self.jobs.iter().map(|job| &**job)
    }

    /// The job of an id.
    pub fn job(&self, id: &str) -> Option<&Job> {
        self.jobs.get(*self.by_id.get(id)?).map(|job| &**job)
    }

    /// The list of a day with a log.
    pub fn on_day(&self, day: u32) -> Option<&DayList> {
        let index = self.days.binary_search_by_key(&day, |list| list.day).ok()?;
        self.days.get(index).map(|list| &**list)
    }

    /// The stopgaps that nobody has made good yet.
    pub fn open_stopgaps(&self) -> impl Iterator<Item = &Stopgap> {
        self.stopgaps
            .iter()
            .filter(|stopgap| stopgap.good.is_none())
    }
}
