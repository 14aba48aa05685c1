//! The work that is left: what is open, by whom, behind what.
//!
//! In: the book, its jobs and its ledger. Out: [`Left`], whole numbers and indices only, and a note
//! on jobs without hours. Every rule of reckoning with hours is here:
//!
//! - `takes` are hours of work, one pair of hands for an hour each, as the day pages set them
//!   against the hours of those who are there. A job by two people is shared: both are at it for
//!   half the hours.
//! - What is left of a job is what [`jobs::left`](crate::jobs::left) says, at the pace of the
//!   run.
//! - A job without `takes` is reckoned with [`DEFAULT_HOURS`].
//! - A job held up is reckoned with as if it could go on tomorrow: nobody knows better.
//! - People who work together stop together: the shortest day of them counts.
//! - A part that is awaited is in on its due day, a late one tomorrow; one still to order is in
//!   after its lead time, ordered today, or tomorrow if its lead time is not known.

use std::collections::{BTreeMap, BTreeSet};

use super::clock::{self, Moment};
use super::loops::Closing;
use crate::book::Book;
use crate::diagnostics::{Diagnostic, Slug};
use crate::jobs::{Job, JobList, LEAST_PART};
use crate::parts::ledger::Ledger;

/// Hours of a job nobody has given any.
pub const DEFAULT_HOURS: f64 = 1.0;

/// How many jobs a note names.
const NAMED: usize = 8;

/// One open job. Times are clock time of those who are at it, in seconds.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Task {
    /// Index into [`JobList::jobs`].
    pub(super) job: usize,
    /// The whole job.
    pub(super) takes: u32,
    /// What is done of it.
    pub(super) spent: u32,
    /// Indices into the crew; empty where anybody will do.
    pub(super) people: Vec<u32>,
    /// Seconds a day those people are together.
    pub(super) window: u32,
    /// Indices of the tasks it follows.
    pub(super) before: Vec<usize>,
    /// Not before this: tomorrow, or the parts are in.
    pub(super) ready: Moment,
    /// The part that is in last, where one is awaited.
    pub(super) part: Option<usize>,
    /// Every awaited part it needs.
    pub(super) parts: Vec<usize>,
}

/// Somebody of the crew.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Person {
    pub(super) name: String,
    /// Seconds a day.
    pub(super) window: u32,
}

/// A part that open jobs wait for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Awaited {
    pub(super) id: String,
    pub(super) day: u32,
}

/// Everything that is left.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Left {
    pub(super) tomorrow: u32,
    pub(super) tasks: Vec<Task>,
    pub(super) crew: Vec<Person>,
    pub(super) parts: Vec<Awaited>,
}

/// What is left of a job of `takes`, `spent` done, at a pace of `factor`/4096.
#[inline]
pub(super) fn still(takes: u32, spent: u32, factor: u64) -> u64 {
    let whole = (u64::from(takes) * factor) >> super::random::ONE_BITS;
    whole
        .saturating_sub(u64::from(spent))
        .max(whole / u64::from(LEAST_PART))
}

impl Task {
    /// What is left of it as planned.
    pub(super) fn still(&self) -> u64 {
        still(self.takes, self.spent, super::random::ONE)
    }
}

impl Left {
    /// The longest day anybody works, in seconds.
    pub(super) fn longest_day(&self) -> u32 {
        self.crew
            .iter()
            .map(|person| person.window)
            .max()
            .unwrap_or(1)
    }
}

/// Gathers what is left; `closing` are the `follows` that close a loop and are not kept to.
pub(super) fn gather(
    book: &Book,
    jobs: &JobList,
    ledger: &Ledger,
    closing: &BTreeSet<Closing>,
) -> Left {
    let crew = crew(book);
    let open: Vec<usize> = (0..jobs.jobs.len())
        .filter(|job| jobs.jobs[*job].state.is_open())
        .collect();
    let tomorrow = jobs.day.saturating_add(1);
    let mut gathering = Gathering {
        jobs,
        ledger,
        closing,
        by_name: crew
            .iter()
            .zip(0..)
            .map(|(person, index)| (person.name.clone(), index))
            .collect(),
        task_of: open
            .iter()
            .zip(0..)
            .map(|(job, task)| (*job, task))
            .collect(),
        part_of: BTreeMap::new(),
        left: Left {
            tomorrow,
            tasks: Vec::with_capacity(open.len()),
            crew,
            parts: Vec::new(),
        },
    };
    for job in open {
        let task = gathering.task(job);
        gathering.left.tasks.push(task);
    }
    gathering.left
}

fn crew(book: &Book) -> Vec<Person> {
    let person = |name: &str, hours: f64| Person {
        name: name.to_owned(),
        window: clock::seconds(hours).max(60),
    };
    let crew: Vec<Person> = book
        .sheet
        .crew
        .iter()
        .map(|member| person(&member.name, member.hours))
        .collect();
    // A sheet without a crew is an error already; somebody has to do the work.
    if crew.is_empty() {
        vec![person("somebody", 8.0)]
    } else {
        crew
    }
}

struct Gathering<'a> {
    jobs: &'a JobList,
    ledger: &'a Ledger,
    closing: &'a BTreeSet<Closing>,
    by_name: BTreeMap<String, u32>,
    task_of: BTreeMap<usize, usize>,
    part_of: BTreeMap<String, usize>,
    left: Left,
}

impl Gathering<'_> {
    fn task(&mut self, index: usize) -> Task {
        let job = &self.jobs.jobs[index];
        let people = self.people(job);
        let (takes, spent) = (job.takes.unwrap_or(DEFAULT_HOURS), job.hours_done());
        let shared = people.len().max(1) as f64;
        let parts = self.parts(job);
        let part = parts
            .iter()
            .copied()
            .max_by_key(|part| self.left.parts[*part].day);
        Task {
            job: index,
            takes: clock::seconds(takes / shared),
            spent: clock::seconds(spent / shared),
            window: self.window(&people),
            people,
            before: self.before(index),
            ready: clock::morning(
                part.map_or(self.left.tomorrow, |part| self.left.parts[part].day),
            ),
            part,
            parts,
        }
    }

    fn people(&self, job: &Job) -> Vec<u32> {
        let known: BTreeSet<u32> = job
            .by
            .iter()
            .filter_map(|name| self.by_name.get(name).copied())
            .collect();
        known.into_iter().collect()
    }

    /// Where anybody will do, the one who takes it brings the window.
    fn window(&self, people: &[u32]) -> u32 {
        let windows = people
            .iter()
            .map(|person| self.left.crew[*person as usize].window);
        windows.min().unwrap_or_else(|| self.left.longest_day())
    }

    fn before(&self, index: usize) -> Vec<usize> {
        let follows = self.jobs.jobs[index].follows.iter().enumerate();
        let kept = follows.filter(|(place, _)| !self.closing.contains(&(index, *place)));
        kept.filter_map(|(_, first)| {
            self.task_of
                .get(self.jobs.by_id.get(&first.value)?)
                .copied()
        })
        .collect()
    }

    fn parts(&mut self, job: &Job) -> Vec<usize> {
        let awaited = job
            .needs
            .iter()
            .filter_map(|part| Some((&part.value, self.in_on(&part.value)?)));
        let awaited: Vec<(&String, u32)> = awaited.collect();
        awaited
            .into_iter()
            .map(|(id, day)| self.part(id, day))
            .collect()
    }

    fn part(&mut self, id: &str, day: u32) -> usize {
        let parts = &mut self.left.parts;
        *self.part_of.entry(id.to_owned()).or_insert_with(|| {
            parts.push(Awaited {
                id: id.to_owned(),
                day,
            });
            parts.len() - 1
        })
    }

    /// The day a part is in, where it is not before tomorrow.
    fn in_on(&self, id: &str) -> Option<u32> {
        let story = self
            .ledger
            .parts
            .get(id)
            .filter(|story| !story.state.is_here())?;
        let day = story.expected(self.jobs.day).max(self.left.tomorrow);
        (day > self.left.tomorrow || story.is_to_order() || story.due_day.is_some()).then_some(day)
    }
}

/// One note for all open jobs without hours.
pub(super) fn without_hours(jobs: &JobList) -> Option<Diagnostic> {
    let mut open = jobs
        .all()
        .filter(|job| job.state.is_open() && job.takes.is_none());
    let first = open.next()?;
    let names: Vec<&str> = std::iter::once(first)
        .chain(open)
        .map(|job| job.id.as_str())
        .collect();
    let more = if names.len() > NAMED {
        format!(" and {} more", names.len() - NAMED)
    } else {
        String::new()
    };
    let listed = names[..names.len().min(NAMED)].join(", ");
    let message =
        format!("reckoned with {DEFAULT_HOURS} h each, for they have no hours: {listed}{more}");
    Some(
        Diagnostic::note(Slug::NoHours, first.at, message)
            .expected("`takes 3 h` in the job's tail"),
    )
}
