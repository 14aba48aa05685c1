//! The jobs of the chain: which are drawn, and on which day.
//!
//! In: the job list and the look ahead. Out: the drawing. A job lies on the day it was done, else
//! on the day it is reckoned for. A book of more jobs than can be read at once shows what is open,
//! the next days first.

use std::collections::{BTreeMap, BTreeSet};

use crate::drawings::{self, ChainJob, LinkState};
use crate::forecast::Slot;
use crate::jobs::{Job, JobState};
use crate::pages::layout::Layout;

/// More jobs than this cannot be read at once.
const MOST: usize = 60;
/// Nor can more days.
const MOST_DAYS: usize = 16;

/// The drawing, and whether it shows what is open only; none where nothing follows anything.
pub(super) fn chain(layout: &Layout) -> (Option<String>, bool) {
    let slots: BTreeMap<&str, &Slot> = layout
        .build
        .ahead
        .schedule
        .slots
        .iter()
        .map(|slot| (slot.job.as_str(), slot))
        .collect();
    let jobs: Vec<&Job> = layout
        .build
        .jobs
        .all()
        .filter(|job| job.state != JobState::Dropped)
        .collect();
    let only_open = jobs.len() > MOST;
    let wanted = jobs
        .into_iter()
        .filter(|job| !only_open || job.state.is_open());
    let mut dated: Vec<(u32, &Job)> = wanted
        .filter_map(|job| Some((day_of(job, &slots)?, job)))
        .collect();
    dated.sort_by_key(|(day, _)| *day);
    dated.truncate(MOST);
    let days: BTreeSet<u32> = dated.iter().map(|(day, _)| *day).take(MOST).collect();
    if let Some(first_left_out) = days.iter().nth(MOST_DAYS) {
        dated.retain(|(day, _)| day < first_left_out);
    }
    let drawn = drawn(layout, &dated, &slots);
    let follows = drawn.iter().any(|job| !job.follows.is_empty());
    (follows.then(|| drawings::chain(&drawn).svg), only_open)
}

fn day_of(job: &Job, slots: &BTreeMap<&str, &Slot>) -> Option<u32> {
    job.done_day
        .or_else(|| Some(slots.get(job.id.as_str())?.finish_day))
}

fn drawn(layout: &Layout, dated: &[(u32, &Job)], slots: &BTreeMap<&str, &Slot>) -> Vec<ChainJob> {
    let places: BTreeMap<&str, usize> = dated
        .iter()
        .enumerate()
        .map(|(index, (_, job))| (job.id.as_str(), index))
        .collect();
    let decides: BTreeSet<&str> = layout
        .build
        .ahead
        .schedule
        .chain
        .iter()
        .map(String::as_str)
        .collect();
    let one = |(day, job): &(u32, &Job)| ChainJob {
        title: layout.job_title(&job.id),
        day: *day,
        by: people(job, slots),
        state: state(job.state),
        follows: job
            .follows
            .iter()
            .filter_map(|id| places.get(id.value.as_str()).copied())
            .collect(),
        decides: decides.contains(job.id.as_str()),
    };
    dated.iter().map(one).collect()
}

/// Who has it; of an open job who is reckoned to do it.
fn people(job: &Job, slots: &BTreeMap<&str, &Slot>) -> Vec<String> {
    let reckoned = slots.get(job.id.as_str()).map(|slot| slot.by.clone());
    if job.by.is_empty() {
        reckoned.unwrap_or_default()
    } else {
        job.by.clone()
    }
}

fn state(state: JobState) -> LinkState {
    match state {
        JobState::Done | JobState::Dropped => LinkState::Done,
        JobState::Carried | JobState::HeldUp => LinkState::Carried,
        JobState::Planned => LinkState::Planned,
    }
}
