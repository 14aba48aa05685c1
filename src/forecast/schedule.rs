//! Who does what when, with the hours there are.
//!
//! In: what is left and its late starts. Out: the order the jobs are taken up in, and the
//! [`Schedule`]. Serial scheduling (Kelley 1963; Kolisch, European Journal of Operational Research
//! 90 (1996)): job by job, least late start first, then in the order of the plan, each into the
//! first stretch where all its people are free. Then the crew keeps to that order and each job
//! begins as soon as it can, which is never later. Jobs are not broken off for others, but go on
//! the next morning. Each person's stretches are limited to the latest few, so that the work grows
//! with the jobs only.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::clock::{self, Moment};
use super::network::Times;
use super::random;
use super::remaining::{Left, Task};
use super::steps::{Steps, Track, Wait};

/// How many idle stretches of a person are kept in mind.
const STRETCHES: usize = 32;

/// One open job in the schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct Slot {
    /// Its id.
    pub job: String,
    /// Hours of work left of it, all hands together.
    pub hours: f64,
    /// The day it begins.
    pub start_day: u32,
    /// Hours into that day.
    pub start_hour: f64,
    /// The day it is done.
    pub finish_day: u32,
    /// Hours into that day.
    pub finish_hour: f64,
    /// Who does it: those named, else who is free first.
    pub by: Vec<String>,
    /// Why it does not begin earlier.
    pub waits: Waits,
}

/// Why a job does not begin earlier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Waits {
    /// It begins tomorrow morning.
    Nothing,
    /// For a job it follows.
    Job(String),
    /// For people who are still at this job.
    Hands(String),
    /// For a part.
    Part(String),
}

/// What is left, day by day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Schedule {
    /// The open jobs, in the order they are taken up. Jobs of 0 h are among them: they have a day
    /// too.
    pub slots: Vec<Slot>,
    /// The day the last one is done; `None` where nothing is open.
    pub finish_day: Option<u32>,
    /// The jobs that decide that day, first to last: each waits for the one before it.
    pub chain: Vec<String>,
}

/// The order of work, and who does what anybody can do.
pub(super) fn lay_out(left: &Left, times: &Times) -> Steps {
    let mut desk = Desk {
        left,
        idle: left
            .crew
            .iter()
            .map(|_| Idle::from(clock::morning(left.tomorrow)))
            .collect(),
    };
    let mut finish = vec![0; left.tasks.len()];
    let mut who = vec![0; left.tasks.len()];
    let mut begun: Vec<(Moment, usize, usize)> = Vec::with_capacity(left.tasks.len());
    for (place, index) in by_priority(left, times).into_iter().enumerate() {
        let task = &left.tasks[index];
        let done = task
            .before
            .iter()
            .map(|first| finish[*first])
            .max()
            .unwrap_or(0);
        let (person, start, end) = desk.place(task, done.max(task.ready));
        (who[index], finish[index]) = (person, end);
        begun.push((start, place, index));
    }
    begun.sort_unstable();
    let order: Vec<usize> = begun.into_iter().map(|(_, _, index)| index).collect();
    Steps::lay_out(left, &order, &who)
}

/// Least late start first, then the order of the plan; nothing before what it follows.
fn by_priority(left: &Left, times: &Times) -> Vec<usize> {
    let mut waits: Vec<usize> = left.tasks.iter().map(|task| task.before.len()).collect();
    let can = |task: usize| Reverse((times.late[task], task));
    let mut next: BinaryHeap<_> = (0..left.tasks.len())
        .filter(|task| waits[*task] == 0)
        .map(can)
        .collect();
    let mut order = Vec::with_capacity(left.tasks.len());
    while let Some(Reverse((_, task))) = next.pop() {
        order.push(task);
        for later in &times.after[task] {
            waits[*later] -= 1;
            if waits[*later] == 0 {
                next.push(can(*later));
            }
        }
    }
    order
}

/// Everybody's idle stretches.
struct Desk<'a> {
    left: &'a Left,
    idle: Vec<Idle>,
}

/// When somebody is idle: the latest few stretches, in order; the last has no end.
struct Idle(Vec<(Moment, Moment)>);

impl Idle {
    fn from(dawn: Moment) -> Self {
        Self(vec![(dawn, Moment::MAX)])
    }

    /// The first time from `from` on at which the person is idle for the whole work.
    fn first(&self, from: Moment, still: u64, window: u32) -> Moment {
        let fits = |(begins, ends): &(Moment, Moment)| {
            let (start, end) = clock::work(from.max(*begins), still, window);
            (end <= *ends).then_some(start)
        };
        self.0.iter().find_map(fits).unwrap_or(from)
    }

    fn take(&mut self, start: Moment, end: Moment) {
        let Some(at) = self
            .0
            .iter()
            .position(|(begins, ends)| *begins <= start && end <= *ends)
        else {
            return;
        };
        let (begins, ends) = self.0[at];
        let rest = [(begins, start), (end, ends)]
            .into_iter()
            .filter(|(from, to)| from < to);
        self.0.splice(at..=at, rest);
        if self.0.len() > STRETCHES {
            self.0.remove(0);
        }
    }
}

impl Desk<'_> {
    /// Books a task: the person where anybody will do, and when.
    fn place(&mut self, task: &Task, from: Moment) -> (u32, Moment, Moment) {
        let still = task.still();
        let people = if task.people.is_empty() {
            vec![self.first_free(from, still)]
        } else {
            task.people.clone()
        };
        let windows = people
            .iter()
            .map(|person| self.left.crew[*person as usize].window);
        let window = windows.min().unwrap_or(task.window);
        let start = self.together(&people, from, still, window);
        let (start, end) = clock::work(start, still, window);
        for person in people.iter().filter(|_| end > start) {
            self.idle[*person as usize].take(start, end);
        }
        (people.first().copied().unwrap_or(0), start, end)
    }

    fn first_free(&self, from: Moment, still: u64) -> u32 {
        let people = self.left.crew.iter().zip(&self.idle).zip(0_u32..);
        let begins =
            people.map(|((person, idle), index)| (idle.first(from, still, person.window), index));
        begins.min().map_or(0, |(_, index)| index)
    }

    /// The first time at which all are idle for the whole work.
    fn together(&self, people: &[u32], from: Moment, still: u64, window: u32) -> Moment {
        let mut start = from;
        loop {
            let later =
                |start, person: &u32| self.idle[*person as usize].first(start, still, window);
            let next = people.iter().fold(start, later);
            if next == start {
                return start;
            }
            start = next;
        }
    }
}

/// The schedule as planned: one walk with every job at its planned hours.
pub(super) fn schedule(left: &Left, steps: &Steps, id: impl Fn(usize) -> String) -> Schedule {
    let mut track = steps.track();
    let last = steps.walk(&mut track, || random::ONE);
    let name = |step: usize| id(left.tasks[steps.tasks[step]].job);
    let slots = (0..steps.steps.len())
        .map(|step| slot(left, steps, &track, step, name))
        .collect();
    let chain = track
        .chain(last)
        .filter(|step| left.tasks[steps.tasks[*step]].takes > 0);
    let mut chain: Vec<String> = chain.map(name).collect();
    chain.reverse();
    Schedule {
        slots,
        finish_day: last.map(|step| clock::day_of(track.finish[step])),
        chain,
    }
}

fn slot(
    left: &Left,
    steps: &Steps,
    track: &Track,
    step: usize,
    name: impl Fn(usize) -> String,
) -> Slot {
    let task = &left.tasks[steps.tasks[step]];
    let people = steps.people_of(step, track);
    let (start, finish) = (track.start[step], track.finish[step]);
    Slot {
        job: name(step),
        hours: clock::hours(task.still()) * people.len() as f64,
        start_day: clock::day_of(start),
        start_hour: clock::hour_of(start),
        finish_day: clock::day_of(finish),
        finish_hour: clock::hour_of(finish),
        by: people
            .iter()
            .map(|person| left.crew[*person as usize].name.clone())
            .collect(),
        waits: waits(left, task, track.wait[step], name),
    }
}

fn waits(left: &Left, task: &Task, wait: Wait, name: impl Fn(usize) -> String) -> Waits {
    match wait.step() {
        Some(first) if wait.is_for_hands() => Waits::Hands(name(first)),
        Some(first) => Waits::Job(name(first)),
        None => {
            let part = task.part.filter(|_| wait.is_part());
            part.map_or(Waits::Nothing, |part| {
                Waits::Part(left.parts[part].id.clone())
            })
        }
    }
}
