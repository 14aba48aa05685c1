//! When each line was on the hold list, to the line of the log.
//!
//! In: the worked checks and the job list. Out: a [`Stay`] for each stretch of time that a line was
//! on the list: from the mention or block that put it there to the one that took it off. Order in
//! the log is order in time.

use super::HoldKind;
use crate::book::When;
use crate::calc::{Check, Results};
use crate::jobs::{Job, JobList, JobState, Stopgap};

/// One stretch of time on the hold list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stay {
    /// Which line.
    pub line: LineId,
    /// What put it on the list.
    pub opens: When,
    /// What took it off; `None` while it is on.
    pub clears: Option<When>,
}

/// Which line of the hold list: its kind, and its index among those of the kind. They come in the
/// order of the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LineId {
    /// Its kind.
    pub kind: HoldKind,
    /// Index into the stopgaps, the worked checks or the jobs.
    pub index: usize,
}

/// Every stay there ever was.
pub(super) fn stays(worked: &Results, jobs: &JobList) -> Vec<Stay> {
    let stopgaps = jobs
        .stopgaps
        .iter()
        .enumerate()
        .map(|(index, stopgap)| of_stopgap(index, stopgap));
    let checks = worked
        .checks
        .iter()
        .enumerate()
        .flat_map(|(index, check)| of_check(index, check));
    let hazards = jobs
        .jobs
        .iter()
        .enumerate()
        .filter(|(_, job)| !job.cautions.is_empty());
    let begun = hazards.flat_map(|(index, job)| of_job(index, job));
    stopgaps.chain(checks).chain(begun).collect()
}

fn of_stopgap(index: usize, stopgap: &Stopgap) -> Stay {
    let line = LineId {
        kind: HoldKind::Temp,
        index,
    };
    Stay {
        line,
        opens: stopgap.since,
        clears: stopgap.good.as_ref().map(|good| good.when),
    }
}

fn of_check(index: usize, check: &Check) -> Vec<Stay> {
    let line = LineId {
        kind: HoldKind::Check,
        index,
    };
    between(
        line,
        check.holds.iter().map(|(when, hold)| (*when, hold.is_on())),
    )
}

fn of_job(index: usize, job: &Job) -> Vec<Stay> {
    let line = LineId {
        kind: HoldKind::Job,
        index,
    };
    between(line, turns(job))
}

/// Whether a job with a caution is begun and not done, after each mention that counts.
pub(super) fn turns(job: &Job) -> impl Iterator<Item = (When, bool)> {
    let mut begun = false;
    job.history
        .iter()
        .filter(|said| !said.refused)
        .map(move |said| {
            begun |= said.is_hands_on() || said.again.is_some() || said.temp.is_some();
            (said.when(), begun && said.state != JobState::Done)
        })
}

/// The stays of a line that is on the list or not from each moment on.
fn between(line: LineId, turns: impl Iterator<Item = (When, bool)>) -> Vec<Stay> {
    let mut stays: Vec<Stay> = Vec::new();
    let mut on = false;
    for (when, on_now) in turns {
        match (on, on_now) {
            (false, true) => stays.push(Stay {
                line,
                opens: when,
                clears: None,
            }),
            (true, false) => stays
                .iter_mut()
                .next_back()
                .into_iter()
                .for_each(|stay| stay.clears = Some(when)),
            _ => {}
        }
        on = on_now;
    }
    stays
}
