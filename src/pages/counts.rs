//! How many checks were not in limits, and how many jobs were done, at each day's end.
//!
//! In: the verdicts of every check, what was said of every job. Out: counts by day, added up once:
//! a day's page does not go through all checks and jobs.

use std::collections::BTreeMap;

use crate::calc::{Check, Verdict};
use crate::jobs::{JobList, JobState};

/// CheckCounts by the day from which they hold.
pub(super) struct CheckCountsByDay(BTreeMap<u32, CheckCounts>);

/// How many checks stood so.
#[derive(Clone, Copy, Default)]
pub(super) struct CheckCounts {
    pub(super) out: usize,
    pub(super) close: usize,
}

impl CheckCounts {
    fn add(&mut self, verdict: Verdict) {
        self.out += usize::from(verdict == Verdict::OutOfLimits);
        self.close += usize::from(verdict == Verdict::TooClose);
    }
}

/// Checks that came to stand so on a day, and that no longer did.
#[derive(Default)]
struct Change {
    came: CheckCounts,
    went: CheckCounts,
}

impl CheckCountsByDay {
    pub(super) fn of<'c>(checks: impl Iterator<Item = &'c Check>) -> Self {
        let mut counts = CheckCounts::default();
        let running = changes(checks)
            .into_iter()
            .map(|(day, Change { came, went })| {
                counts = CheckCounts {
                    out: counts.out + came.out - went.out,
                    close: counts.close + came.close - went.close,
                };
                (day, counts)
            });
        Self(running.collect())
    }

    /// At the end of a day.
    pub(super) fn on(&self, day: u32) -> CheckCounts {
        self.0
            .range(..=day)
            .next_back()
            .map_or_else(CheckCounts::default, |(_, counts)| *counts)
    }
}

fn changes<'c>(checks: impl Iterator<Item = &'c Check>) -> BTreeMap<u32, Change> {
    let mut changes: BTreeMap<u32, Change> = BTreeMap::new();
    for check in checks {
        let mut before = None;
        for judgement in &check.judgements {
            let change = changes.entry(judgement.day).or_default();
            change.came.add(judgement.verdict);
            if let Some(verdict) = before {
                change.went.add(verdict);
            }
            before = Some(judgement.verdict);
        }
    }
    changes
}

/// How many jobs were done, and how many there were, by the day from which it holds.
pub(super) struct JobCountsByDay(BTreeMap<u32, JobCounts>);

/// JobCounts at a day's end.
#[derive(Clone, Copy, Default)]
pub(super) struct JobCounts {
    /// Done.
    pub(super) done: usize,
    /// Known by then, dropped ones left out.
    pub(super) all: usize,
    /// Dropped.
    pub(super) dropped: usize,
}

impl JobCounts {
    /// What a job in this state counts for; none is known yet.
    fn one(state: Option<JobState>) -> Self {
        let is = |wanted| usize::from(state == Some(wanted));
        let dropped = is(JobState::Dropped);
        Self {
            done: is(JobState::Done),
            all: usize::from(state.is_some()) - dropped,
            dropped,
        }
    }

    fn and(self, other: Self) -> Self {
        Self {
            done: self.done + other.done,
            all: self.all + other.all,
            dropped: self.dropped + other.dropped,
        }
    }

    fn without(self, other: Self) -> Self {
        Self {
            done: self.done - other.done,
            all: self.all - other.all,
            dropped: self.dropped - other.dropped,
        }
    }
}

impl JobCountsByDay {
    pub(super) fn of(jobs: &JobList) -> Self {
        let mut changes: BTreeMap<u32, (JobCounts, JobCounts)> = BTreeMap::new();
        for job in jobs.all() {
            let mut before = JobCounts::default();
            let planned = job.planned_day.map(|_| (0, JobState::Planned));
            for (day, state) in planned
                .into_iter()
                .chain(job.history.iter().map(|said| (said.day, said.state)))
            {
                let now = JobCounts::one(Some(state));
                let (came, went) = changes.entry(day).or_default();
                *came = came.and(now);
                *went = went.and(before);
                before = now;
            }
        }
        let mut jobs = JobCounts::default();
        let running = changes.into_iter().map(|(day, (came, went))| {
            jobs = jobs.and(came).without(went);
            (day, jobs)
        });
        Self(running.collect())
    }

    /// At the end of a day.
    pub(super) fn on(&self, day: u32) -> JobCounts {
        self.0
            .range(..=day)
            .next_back()
            .map_or_else(JobCounts::default, |(_, jobs)| *jobs)
    }
}
