//! Which parts are wanted, which are late, and what has to be ordered by which day.
//!
//! In: the book, its jobs and its ledger, and the first day on which each open job could begin.
//! Out: [`Orders`]. Every page, document and command asks here, so no two of them differ.
//!
//! - *Wanted* is a part that is not here and that an open job or an open stopgap needs, that has a
//!   `need:` day, or that is ordered. A job that is done or dropped wants nothing; if it was done
//!   with a stopgap, its parts are wanted until the stopgap is made good.
//! - The day it is wanted is its `need:` day. Without one, it is the first day on which a job wants
//!   it: the planned day, or the day the jobs before it are done, if that is later. An open stopgap
//!   wants its parts on the next day.
//! - *Late* is a wanted part whose due day is over. Without a due day, its wanted day counts. It is
//!   late until it is in or its order is cancelled.
//! - *Order by* is the wanted day less the lead time, never before day 1. Without a lead time the
//!   day is not known, and the part is listed for that reason.

use std::collections::BTreeMap;

use super::{Job, JobList};
use crate::book::Book;
use crate::parts::ledger::{Ledger, PartState};

/// The sentence for a day on which nothing is listed.
const NOTHING: &str = "Nothing has to be ordered today, and nothing is late.";
/// The same if a part of the book could not be read.
const NOTHING_READ: &str =
    "Of what could be read, nothing has to be ordered today, and nothing is late.";

/// Every wanted part, by id.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Orders {
    wanted: BTreeMap<String, Wanted>,
}

/// A part that is not here and is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Its id.
    pub part: String,
    /// The job that wants it first, if a job wants it.
    pub job: Option<String>,
    /// The day it is wanted; `None` if it is only ordered.
    pub wanted_day: Option<u32>,
    /// The day it is due, if it is ordered and that day is known.
    pub due_day: Option<u32>,
    /// Days from the order to the day it is in, if they are known.
    pub lead: Option<u32>,
    /// Does it have to be ordered?
    pub is_to_order: bool,
    /// Is it on order?
    pub is_ordered: bool,
}

/// Why a wanted part is listed on a day, the gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reason {
    /// Its day is over and it is not in.
    Late,
    /// It is due on that day and not in.
    DueToday,
    /// It is due after the day it is wanted.
    AtRisk,
    /// That day is the last one to order it, or that day is over.
    Order,
    /// It has to be ordered, and its lead time is not known.
    NoLead,
    /// It is ordered, and its due day is not known.
    NoDueDay,
}

/// A wanted part as it is listed on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Listed<'a> {
    /// The part.
    pub wanted: &'a Wanted,
    /// Why it is listed.
    pub reason: Reason,
    day: u32,
}

/// Finds what is wanted; `begins` is the first day on which an open job could begin, by index of
/// the job.
pub fn find(book: &Book, jobs: &JobList, ledger: &Ledger, begins: &BTreeMap<usize, u32>) -> Orders {
    let first = first_wanted(jobs, begins);
    let wanted = ledger
        .parts
        .iter()
        .filter(|(_, story)| !story.state.is_here())
        .filter_map(|(id, story)| {
            let by_job = first.get(id.as_str());
            let need = book.parts.get(id).and_then(|part| part.need);
            let wanted_day = need.or(by_job.map(|(day, _)| *day));
            let is_ordered = story.state == PartState::Ordered || story.due_day.is_some();
            (wanted_day.is_some() || is_ordered).then(|| Wanted {
                part: id.clone(),
                job: by_job.map(|(_, job)| job.id.clone()),
                wanted_day,
                due_day: story.due_day,
                lead: story.lead,
                is_to_order: story.is_to_order(),
                is_ordered,
            })
        });
    Orders {
        wanted: wanted.map(|wanted| (wanted.part.clone(), wanted)).collect(),
    }
}

/// The first day on which a job wants each part, and that job.
fn first_wanted<'a>(
    jobs: &'a JobList,
    begins: &BTreeMap<usize, u32>,
) -> BTreeMap<&'a str, (u32, &'a Job)> {
    let tomorrow = jobs.day.saturating_add(1);
    let open = begins.iter().map(|(job, day)| (&*jobs.jobs[*job], *day));
    let stopgaps = jobs
        .open_stopgaps()
        .filter_map(|stopgap| Some((jobs.job(&stopgap.job)?, tomorrow)));
    let stopgaps = stopgaps.filter(|(job, _)| !job.state.is_open());
    let mut first: BTreeMap<&str, (u32, &Job)> = BTreeMap::new();
    for (job, day) in open.chain(stopgaps) {
        let day = job.planned_day.unwrap_or(0).max(day);
        for part in &job.needs {
            let known = first.entry(part.value.as_str()).or_insert((day, job));
            if day < known.0 {
                *known = (day, job);
            }
        }
    }
    first
}

impl Orders {
    /// A part, if it is wanted.
    pub fn of(&self, part: &str) -> Option<&Wanted> {
        self.wanted.get(part)
    }

    /// Every wanted part, by id.
    pub fn all(&self) -> impl Iterator<Item = &Wanted> {
        self.wanted.values()
    }

    /// The parts that are listed on a day, the gravest reason first, then by day and part.
    pub fn on(&self, day: u32) -> Vec<Listed<'_>> {
        let listed = self.wanted.values().filter_map(|wanted| {
            let reason = wanted.reason(day)?;
            Some(Listed {
                wanted,
                reason,
                day,
            })
        });
        let mut listed: Vec<Listed> = listed.collect();
        listed.sort_by_key(|listed| (listed.reason, listed.wanted.deadline(), &listed.wanted.part));
        listed
    }

    /// The sentence for a day on which nothing is listed; empty if something is. `has_errors`: a
    /// part of the book could not be read, and nobody knows what it says.
    pub fn nothing(&self, day: u32, has_errors: bool) -> &'static str {
        match self.on(day).is_empty() {
            true if has_errors => NOTHING_READ,
            true => NOTHING,
            false => "",
        }
    }
}

impl Wanted {
    /// The last day on which an order is in by the wanted day; `None` if it has not to be ordered
    /// or a day is not known.
    pub fn order_by_day(&self) -> Option<u32> {
        let (day, lead) = (self.wanted_day?, self.lead?);
        self.is_to_order.then(|| day.saturating_sub(lead).max(1))
    }

    /// The day it is in if it is ordered on a day; `None` if the lead time is not known.
    pub fn in_day(&self, ordered: u32) -> Option<u32> {
        Some(ordered.saturating_add(self.lead?))
    }

    /// Is its day over on `day`?
    pub fn is_late(&self, day: u32) -> bool {
        self.due_day.or(self.wanted_day).is_some_and(|by| by < day)
    }

    /// Must somebody find its lead time out?
    pub fn is_lead_missing(&self) -> bool {
        self.is_to_order && self.lead.is_none()
    }

    /// The day that its place in a list depends on.
    fn deadline(&self) -> Option<u32> {
        self.order_by_day().or(self.due_day).or(self.wanted_day)
    }

    /// Why it is listed on a day; `None` if nothing has to be done about it.
    fn reason(&self, day: u32) -> Option<Reason> {
        let after = |wanted: u32| self.due_day.is_some_and(|due| due > wanted);
        let rules = [
            (Reason::Late, !self.is_to_order && self.is_late(day)),
            (Reason::DueToday, self.due_day == Some(day)),
            (Reason::AtRisk, self.wanted_day.is_some_and(after)),
            (
                Reason::Order,
                self.order_by_day().is_some_and(|by| by <= day),
            ),
            (Reason::NoLead, self.is_lead_missing()),
            (Reason::NoDueDay, self.is_ordered && self.due_day.is_none()),
        ];
        rules
            .into_iter()
            .find_map(|(reason, holds)| holds.then_some(reason))
    }
}

impl Listed<'_> {
    /// Does it come after the day it is wanted, whatever is done now?
    pub fn is_late(&self) -> bool {
        self.wanted.is_late(self.day) || (self.reason == Reason::Order && self.comes_too_late())
    }

    fn comes_too_late(&self) -> bool {
        let days = self.wanted.in_day(self.day).zip(self.wanted.wanted_day);
        days.is_some_and(|(in_day, wanted)| in_day > wanted)
    }

    /// What is to be done, and when it is wanted: `late: was due on day 2, wanted on day 5`.
    pub fn words(&self) -> String {
        let wanted = self
            .wanted
            .wanted_day
            .map_or_else(String::new, |day| format!(", wanted on day {day}"));
        let due = self.wanted.due_day.unwrap_or_default();
        match self.reason {
            Reason::Late if self.wanted.due_day.is_some() => {
                format!("late: was due on day {due}{wanted}")
            }
            Reason::Late => format!("late: not in{wanted}"),
            Reason::DueToday => format!("due today, not in{wanted}"),
            Reason::AtRisk => format!("at risk: due on day {due}{wanted}"),
            Reason::Order => self.order_words(),
            Reason::NoLead => format!("lead time not known{wanted}"),
            Reason::NoDueDay => format!("ordered, due day not known{wanted}"),
        }
    }

    fn order_words(&self) -> String {
        let day = |day: Option<u32>| day.unwrap_or_default();
        let (by, wanted) = (day(self.wanted.order_by_day()), day(self.wanted.wanted_day));
        if self.comes_too_late() {
            format!(
                "order now: it comes on day {}, wanted on day {wanted}",
                day(self.wanted.in_day(self.day))
            )
        } else if by == self.day {
            format!("order today: the last day for it, wanted on day {wanted}")
        } else {
            format!("order today: day {by} was the last day for it, wanted on day {wanted}")
        }
    }
}
