//! What the next day's log holds in the morning: the day's jobs, and what is good to know before
//! work begins.
//!
//! In: the book as it stood last evening. Out: a [`Tomorrow`]. Its text reads back to the same jobs
//! in the same states; the prose around them states nothing, for the crew's own words stand escaped
//! in it.

mod job_line;
mod notes;

use crate::book::{Book, DayLog, MOST_DAYS};
use crate::hold::HoldList;
use crate::jobs::orders::Orders;
use crate::jobs::{Job, JobList};

/// A log that is still to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tomorrow {
    /// Its day: the one after the latest log's.
    pub day: u32,
    /// Its file name without `.md`, in the way the latest log is named.
    pub stem: String,
    /// How many jobs the plan brings.
    pub planned: usize,
    /// How many jobs are carried into the day.
    pub carried: usize,
    /// The whole file.
    pub text: String,
}

/// Last evening.
struct Evening<'a> {
    book: &'a Book,
    jobs: &'a JobList,
    orders: &'a Orders,
    hold: &'a HoldList,
    /// The day to come.
    day: u32,
    /// What has to be said before anything else.
    warning: &'a str,
}

/// The log of the day after the latest; `hold` is the hold list of that evening, and `warning` a
/// paragraph of our own that stands above all others. `None` where a book can hold no further day.
pub fn next_day(
    book: &Book,
    jobs: &JobList,
    orders: &Orders,
    hold: &HoldList,
    warning: &str,
) -> Option<Tomorrow> {
    let day = Some(jobs.day + 1).filter(|day| *day <= MOST_DAYS)?;
    let evening = Evening {
        book,
        jobs,
        orders,
        hold,
        day,
        warning,
    };
    let (carried, planned) = (evening.carried(), evening.planned());
    let text = [
        evening.front(),
        section("Planned for today", &planned),
        section("Carried", &carried),
        notes::notes(&evening, &planned, &carried),
    ];
    Some(Tomorrow {
        day,
        stem: stem(book, day),
        planned: planned.len(),
        carried: carried.len(),
        text: text.concat(),
    })
}

impl<'a> Evening<'a> {
    /// The jobs whose day had come before, in the order of the job list.
    fn carried(&self) -> Vec<&'a Job> {
        self.jobs
            .all()
            .filter(|job| job.state.is_open() && job.listed_day.is_some())
            .collect()
    }

    /// The jobs planned for the day, or for a day without a log before it.
    fn planned(&self) -> Vec<&'a Job> {
        let comes = |job: &&Job| {
            job.listed_day.is_none() && job.planned_day.is_some_and(|day| day <= self.day)
        };
        self.jobs
            .all()
            .filter(|job| job.state.is_open())
            .filter(comes)
            .collect()
    }

    fn front(&self) -> String {
        format!(
            "---\nday: {}\n{}---\n# The list this morning\n",
            self.day,
            self.date()
        )
    }

    /// The calendar day with its reason, where the latest log was not on the day that the build
    /// sheet gives.
    fn date(&self) -> String {
        let Some(last) = self.book.days.last().filter(|log| log.date_why.is_some()) else {
            return String::new();
        };
        let Some(before) = last.date else {
            return String::new();
        };
        match before.tomorrow() {
            Ok(next) if Some(next) != self.book.sheet.date_on(self.day) => {
                format!("date: {next}, the day after day {} on {before}\n", last.day)
            }
            _ => String::new(),
        }
    }
}

fn section(title: &str, jobs: &[&Job]) -> String {
    if jobs.is_empty() {
        return String::new();
    }
    let lines: String = jobs.iter().map(|job| job_line::write(job)).collect();
    format!("\n## {title}\n\n{lines}")
}

/// `day-09` after `day-08`, `10` after `09`; `day-` and the day where the latest log is named in
/// another way.
fn stem(book: &Book, day: u32) -> String {
    let (name, width) = book
        .days
        .last()
        .and_then(|log| naming(log))
        .unwrap_or_else(|| {
            let most = book.sheet.days.unwrap_or(0).max(day).to_string();
            ("day-", most.len().max(2))
        });
    format!("{name}{day:0width$}")
}

/// What stands before the day in a log's name, and how many digits the day has.
fn naming(log: &DayLog) -> Option<(&str, usize)> {
    let name = log.stem.trim_end_matches(|c: char| c.is_ascii_digit());
    let digits = log.stem.get(name.len()..)?;
    let numbered = digits.parse() == Ok(log.day) && !name.contains(|c: char| c.is_ascii_digit());
    numbered.then_some((name, digits.len()))
}
