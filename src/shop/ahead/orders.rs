//! What has to be ordered by when, and which orders come too late.
//!
//! In: what is left, the plan's days, the ledger. Out: [`Order`]s and [`AtRisk`] parts.
//!
//! A part is wanted on the day it must be here by (`need`), else on the day of the first open job that needs it:
//! its planned day, or, where the jobs before it are not done by then, the day they are. The
//! job's own parts do not count there, for else no part would ever be late.

use super::clock;
use super::draw;
use super::left::{self, Left};
use super::steps::Steps;
use crate::book::Book;
use crate::shop::jobs::JobList;
use crate::shop::ledger::{Ledger, PartState};

/// A part that somebody still has to order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// The part.
    pub part: String,
    /// The first open job that needs it, where there is one.
    pub job: Option<String>,
    /// The day it is wanted.
    pub wanted_day: u32,
    /// The last day on which an order still comes in by then; 0 where it never could.
    pub last_day: u32,
    /// The last day by the plan alone, as the ledger has it.
    pub order_by_day: Option<u32>,
    /// The day it is in, ordered today.
    pub in_day: u32,
}

impl Order {
    /// Is it too late, even ordered today?
    pub fn is_too_late(&self) -> bool {
        self.in_day > self.wanted_day
    }
}

/// A part on its way that comes in after it is wanted, or should be here already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AtRisk {
    /// The part.
    pub part: String,
    /// The first open job that needs it, where there is one.
    pub job: Option<String>,
    /// The day it is wanted.
    pub wanted_day: u32,
    /// The day it is due.
    pub due_day: u32,
    /// It is not in, and its due day is over.
    pub late: bool,
}

/// When a part is wanted, and by which job.
#[derive(Clone, Debug)]
struct Wanted {
    day: u32,
    job: Option<usize>,
}

/// Both lists, by day and part.
pub(super) fn orders(
    book: &Book,
    jobs: &JobList,
    ledger: &Ledger,
    left: &Left,
    steps: &Steps,
) -> (Vec<Order>, Vec<AtRisk>) {
    let wanted = wanted(book, jobs, left, steps);
    let name = |wanted: &Wanted| wanted.job.map(|job| jobs.jobs[job].id.clone());
    let (mut orders, mut at_risk) = (Vec::new(), Vec::new());
    for (awaited, wanted) in left.parts.iter().zip(&wanted) {
        let Some(story) = ledger.parts.get(&awaited.id) else { continue };
        let part = awaited.id.clone();
        if story.is_to_order() {
            let lead = book.parts.get(&part).and_then(|part| part.lead).unwrap_or(0);
            orders.push(Order {
                part,
                job: name(wanted),
                wanted_day: wanted.day,
                last_day: wanted.day.saturating_sub(lead),
                order_by_day: story.order_by_day,
                in_day: left::expected(story, lead, jobs.day),
            });
        } else if let Some(due_day) = story.due_day.filter(|due| story.late || *due > wanted.day) {
            at_risk.push(AtRisk { part, job: name(wanted), wanted_day: wanted.day, due_day, late: story.late });
        }
    }
    orders.extend(by_need_alone(book, ledger, left));
    orders.sort_by(|a, b| (a.last_day, &a.part).cmp(&(b.last_day, &b.part)));
    at_risk.sort_by(|a, b| (a.wanted_day, &a.part).cmp(&(b.wanted_day, &b.part)));
    (orders, at_risk)
}

/// Parts to order that no open job needs, but that have a day of their own.
fn by_need_alone<'a>(book: &'a Book, ledger: &'a Ledger, left: &'a Left) -> impl Iterator<Item = Order> {
    let known: std::collections::BTreeSet<&str> = left.parts.iter().map(|part| part.id.as_str()).collect();
    book.parts.values().filter(move |part| !known.contains(part.id.value.as_str())).filter_map(move |part| {
        let story = ledger.parts.get(&part.id.value).filter(|story| story.is_to_order())?;
        let (wanted_day, lead) = (part.need?, part.lead.unwrap_or(0));
        (story.state == PartState::Needed).then(|| Order {
            part: part.id.value.clone(),
            job: None,
            wanted_day,
            last_day: wanted_day.saturating_sub(lead),
            order_by_day: story.order_by_day,
            in_day: left::expected(story, lead, ledger.day),
        })
    })
}

/// By awaited part.
fn wanted(book: &Book, jobs: &JobList, left: &Left, steps: &Steps) -> Vec<Wanted> {
    let mut wanted: Vec<Wanted> = left.parts.iter().map(|_| Wanted { day: u32::MAX, job: None }).collect();
    for (task, day) in without_own_parts(left, steps) {
        let task = &left.tasks[task];
        let day = jobs.jobs[task.job].planned_day.unwrap_or(0).max(day);
        for part in &task.parts {
            if day < wanted[*part].day {
                wanted[*part] = Wanted { day, job: Some(task.job) };
            }
        }
    }
    for (part, wanted) in left.parts.iter().zip(&mut wanted) {
        wanted.day = book.parts.get(&part.id).and_then(|part| part.need).unwrap_or(wanted.day);
    }
    wanted
}

/// The day each task could begin if it waited for no part of its own: what it follows is done.
fn without_own_parts(left: &Left, steps: &Steps) -> Vec<(usize, u32)> {
    let mut track = steps.track();
    steps.walk(&mut track, || draw::ONE);
    let mut finish = vec![0; left.tasks.len()];
    for (step, task) in steps.tasks.iter().enumerate() {
        finish[*task] = track.finish[step];
    }
    let dawn = clock::morning(left.tomorrow);
    let begins = left.tasks.iter().enumerate().map(|(index, task)| {
        let done = task.before.iter().map(|first| finish[*first]).max().unwrap_or(dawn);
        (index, clock::day_of(clock::work(done, task.still(), task.window).0))
    });
    begins.collect()
}
