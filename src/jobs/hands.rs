//! Who is there on a day, and how much of the day's work each of them has.
//!
//! In: the book and its jobs. Out: a [`Hands`] for each of the crew. The work of a day is what was
//! left that morning of the jobs on its list. A job is shared by those of its people who are there;
//! if none of them is, nobody has it.

use std::collections::BTreeMap;

use super::{Job, JobList, sharing, total};
use crate::book::{Book, DayLog};
use crate::quantity::format;

/// How many digits hours are printed with.
const DIGITS: usize = 4;

/// One of the crew on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Hands {
    /// Who.
    pub name: String,
    /// Hours of that day; 0 for somebody who is not there.
    pub there: f64,
    /// Hours of work on that day's list.
    pub work: f64,
}

impl Hands {
    /// Is there more work than the person has hours?
    pub fn is_over(&self) -> bool {
        self.work > self.there + 1e-9
    }

    /// `Wen: 15 h of work, 9 h available`
    pub fn words(&self) -> String {
        let hours = |hours: f64| format!("{} h", format::plain(hours, DIGITS));
        format!(
            "{}: {} of work, {} available",
            self.name,
            hours(self.work),
            hours(self.there)
        )
    }
}

/// The crew on a day with a log, by the list of that morning; nobody if the crew is not known.
pub fn on_day(book: &Book, jobs: &JobList, day: u32) -> Vec<Hands> {
    let rows = jobs.on_day(day).map_or(&[][..], |list| &list.rows);
    let work = rows
        .iter()
        .map(|row| (jobs.jobs[row.job].by_on(day), row.hours_planned));
    share(book, &there(book, day), work)
}

/// The crew on the morning after the latest log; `list` are the jobs of that day.
pub fn next_morning<'a>(book: &Book, list: impl Iterator<Item = &'a Job>) -> Vec<Hands> {
    let work = list.map(|job| (&job.by[..], job.hours_to_go().unwrap_or(0.0)));
    share(book, &all(book), work)
}

/// Those who are there on a day: all of the crew if it has no log.
pub fn there(book: &Book, day: u32) -> Vec<String> {
    let log = book
        .days
        .binary_search_by_key(&day, |log| log.day)
        .ok()
        .and_then(|index| book.days.get(index));
    log.map_or_else(|| all(book), |log| log.crew.clone())
}

/// Hours of those who are there on a day, together; `None` if the crew is not known.
pub fn hours_there(book: &Book, day: u32) -> Option<f64> {
    let there = there(book, day);
    let known = book.sheet.crew_known;
    known.then(|| {
        total(
            book.sheet
                .crew
                .iter()
                .filter(|member| there.contains(&member.name))
                .map(|member| member.hours),
        )
    })
}

/// Hours written for a job, by the people who share them. What is written on a day counts for those
/// of its people who were there, or for all of them if none was.
pub fn spent<'a>(book: &'a Book, job: &'a Job) -> BTreeMap<&'a str, f64> {
    let mut spent = BTreeMap::new();
    for said in job.history.iter().filter(|said| !said.refused) {
        let log: Option<&DayLog> = book.days.get(said.place.0).map(|log| &**log);
        let crew = log.map_or(&[][..], |log| &log.crew);
        add(
            &mut spent,
            job.by_on(said.day),
            crew,
            said.took.unwrap_or(0.0),
        );
    }
    spent
}

/// Planned hours of a job, by the people who share them: those who were there on the day it was
/// done, or all of them.
pub fn planned<'a>(book: &'a Book, job: &'a Job) -> BTreeMap<&'a str, f64> {
    let day = job
        .done_day
        .and_then(|day| book.days.binary_search_by_key(&day, |log| log.day).ok());
    let crew = day.map_or(&job.by[..], |index| &book.days[index].crew);
    let mut planned = BTreeMap::new();
    add(&mut planned, &job.by, crew, job.takes.unwrap_or(0.0));
    planned
}

/// Shares hours among those of `by` who are there, or among all of them if none is.
fn add<'a>(sums: &mut BTreeMap<&'a str, f64>, by: &'a [String], there: &[String], hours: f64) {
    let people = sharing(by, there);
    let people = if people.is_empty() {
        sharing(by, by)
    } else {
        people
    };
    split(sums, &people, hours);
}

fn split<'a>(sums: &mut BTreeMap<&'a str, f64>, people: &[&'a str], hours: f64) {
    for name in people {
        *sums.entry(name).or_default() += hours / people.len() as f64;
    }
}

fn all(book: &Book) -> Vec<String> {
    book.sheet
        .crew
        .iter()
        .map(|member| member.name.clone())
        .collect()
}

fn share<'a>(
    book: &Book,
    there: &[String],
    work: impl Iterator<Item = (&'a [String], f64)>,
) -> Vec<Hands> {
    let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
    for (by, hours) in work {
        split(&mut sums, &sharing(by, there), hours);
    }
    let hands = book.sheet.known_crew().iter().map(|member| {
        let is_there = there.contains(&member.name);
        let work = total(sums.get(member.name.as_str()).copied().into_iter());
        Hands {
            name: member.name.clone(),
            there: if is_there { member.hours } else { 0.0 },
            work,
        }
    });
    hands.collect()
}
