//! The runs of a former look ahead, to be used again where the same is left to do at the same pace.
//!
//! In: everything the runs depend on. Out: what they came to. A look ahead in a large book costs
//! some thousand walks through all that is left; a save that only changes a reading changes none of
//! it.

use super::advice::{self, Help};
use super::pace::Pace;
use super::remaining::Left;
use super::runs::{self, Chance, Tally};
use super::steps::Steps;
use crate::jobs::JobList;

/// What a former look ahead left.
#[derive(Debug, Default)]
pub struct ForecastCache(Option<(Asked, Ran)>);

/// Everything that the runs and the advice depend on.
#[derive(Clone, Debug, PartialEq)]
struct Asked {
    left: Left,
    pace: Pace,
    deadline: u32,
    /// The id of each task's job, and whether the crew may be told to hurry it.
    jobs: Vec<(String, bool)>,
}

/// What the runs came to.
#[derive(Clone, Debug)]
pub(super) struct Ran {
    pub(super) tally: Tally,
    pub(super) helps: Vec<Help>,
}

impl ForecastCache {
    /// The runs, walked only where they were not walked before.
    pub(super) fn runs(
        &mut self,
        left: &Left,
        steps: &Steps,
        pace: &Pace,
        deadline: u32,
        jobs: &JobList,
    ) -> &Ran {
        let asked = Asked {
            left: left.clone(),
            pace: *pace,
            deadline,
            jobs: open(left, jobs),
        };
        let known = self.0.take().filter(|(before, _)| *before == asked);
        let (_, ran) = self.0.insert(known.unwrap_or_else(|| {
            let chance = Chance::at(pace);
            let tally = runs::all(steps, &chance, deadline);
            let nothing = tally.ends.is_empty();
            let helps = if nothing {
                Vec::new()
            } else {
                advice::best(left, steps, &chance, &tally, jobs)
            };
            (asked, Ran { tally, helps })
        }));
        ran
    }
}

fn open(left: &Left, jobs: &JobList) -> Vec<(String, bool)> {
    let open = left.tasks.iter().map(|task| &jobs.jobs[task.job]);
    open.map(|job| (job.id.clone(), advice::may_be_hurried(job)))
        .collect()
}
