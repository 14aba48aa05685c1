//! The first day on which each open job could begin if it waited for none of its own parts.
//!
//! In: what is left and the order of work. Out: a day for each open job. A part's order day is
//! counted back from it. The job's own parts are left out: if they counted, no part could ever be
//! late.

use std::collections::BTreeMap;

use super::clock;
use super::random;
use super::remaining::Left;
use super::steps::Steps;

/// By index of the job.
pub(super) fn begins(left: &Left, steps: &Steps) -> BTreeMap<usize, u32> {
    let mut track = steps.track();
    steps.walk(&mut track, || random::ONE);
    let mut finish = vec![0; left.tasks.len()];
    for (step, task) in steps.tasks.iter().enumerate() {
        finish[*task] = track.finish[step];
    }
    let dawn = clock::morning(left.tomorrow);
    let day = |task: &super::remaining::Task| {
        let done = task
            .before
            .iter()
            .map(|first| finish[*first])
            .max()
            .unwrap_or(dawn);
        (
            task.job,
            clock::day_of(clock::work(done, task.still(), task.window).0),
        )
    };
    left.tasks.iter().map(day).collect()
}
