//! Jobs that wait for each other.
//!
//! In: every job's `follows`. Out: the `follows` that close a loop, each with an error that prints
//! the way round. What is ahead is reckoned without them. Each job and each `follows` is looked at
//! once.

use std::collections::BTreeSet;

use crate::diagnostics::{Diagnostic, Slug};
use crate::jobs::JobList;

/// A job's index and the place in its `follows`.
pub(super) type Closing = (usize, usize);

/// How many steps of a loop are printed.
const PRINTED: usize = 12;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    New,
    /// At this place on the way.
    OnTheWay(usize),
    Through,
}

/// Walks from job to the jobs it follows, deep first and without recursion.
struct Walk<'a> {
    jobs: &'a JobList,
    marks: Vec<Mark>,
    /// The way here: jobs, each with the next `follows` to look at.
    way: Vec<Closing>,
    closing: BTreeSet<Closing>,
    wrong: Vec<Diagnostic>,
}

/// Finds the loops.
pub(super) fn find(jobs: &JobList) -> (BTreeSet<Closing>, Vec<Diagnostic>) {
    let marks = vec![Mark::New; jobs.jobs.len()];
    let mut walk = Walk {
        jobs,
        marks,
        way: Vec::new(),
        closing: BTreeSet::new(),
        wrong: Vec::new(),
    };
    for job in 0..jobs.jobs.len() {
        if walk.marks[job] == Mark::New {
            walk.enter(job);
            while walk.step() {}
        }
    }
    (walk.closing, walk.wrong)
}

impl Walk<'_> {
    fn enter(&mut self, job: usize) {
        self.marks[job] = Mark::OnTheWay(self.way.len());
        self.way.push((job, 0));
    }

    fn step(&mut self) -> bool {
        let Some((job, place)) = self.way.last_mut() else {
            return false;
        };
        let (at, looked_at) = (*job, *place);
        *place += 1;
        let Some(first) = self.jobs.jobs[at].follows.get(looked_at) else {
            self.marks[at] = Mark::Through;
            self.way.pop();
            return true;
        };
        if let Some(first) = self.jobs.by_id.get(&first.value).copied() {
            match self.marks[first] {
                Mark::New => self.enter(first),
                Mark::OnTheWay(place) => self.close((at, looked_at), place),
                Mark::Through => {}
            }
        }
        true
    }

    /// `from` is the place on the way at which the loop begins.
    fn close(&mut self, closing: Closing, from: usize) {
        let round = &self.way[from..];
        let name = |(job, _): &Closing| self.jobs.jobs[*job].id.as_str();
        let ends = round.iter().skip(1).chain(round.first());
        let pairs = round.iter().zip(ends).take(PRINTED);
        let mut steps: Vec<String> = pairs
            .map(|(job, first)| format!("{} follows {}", name(job), name(first)))
            .collect();
        if round.len() > PRINTED {
            steps.push(format!("and so on, {} jobs in all", round.len()));
        }
        let first = round.first().map_or("a job", name);
        let message = format!("{first} waits for itself: {}", steps.join(", "));
        let at = self.jobs.jobs[closing.0].follows[closing.1].span;
        self.wrong.push(
            Diagnostic::error(Slug::Loop, at, message)
                .expected("one of them to follow something else, or nothing"),
        );
        self.closing.insert(closing);
    }
}
