//! What would help most.
//!
//! In: the runs and what they waited for. Out: the jobs and parts that would bring the middle of
//! the runs forward most, a job with half its work taken off it, a part in tomorrow, all else the
//! same, in the same runs.
//!
//! Never advised: to hurry what keeps people whole. A job is left out if it has a caution, has or
//! is to have a stopgap, was opened again, or looks (a word of its id or title) like an inspection.
//! The words are only English and only guess; they may leave a job out that could have been
//! hurried, and that is the right side to err on.

use super::clock::{self, Moment};
use super::remaining::Left;
use super::runs::{self, Chance, Tally};
use super::steps::Steps;
use crate::jobs::{Job, JobList};

/// How many are named.
const NAMED: usize = 3;
/// How many jobs, and how many parts, are tried.
const TRIED: usize = 4;
/// Steps walked for one trial, roughly.
const STEPS_A_TRIAL: u32 = 150_000;
/// Beginnings of words that speak of an inspection.
const INSPECTIONS: [&str; 14] = [
    "inspect", "check", "measur", "test", "weigh", "torque", "verif", "scrutin", "examin", "prove",
    "proof", "bleed", "bled", "look",
];

/// A job or a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lever {
    /// Half of what is left of a job is taken off it.
    Job(String),
    /// A part comes in tomorrow.
    Part(String),
}

/// Something that would help.
#[derive(Clone, Debug, PartialEq)]
pub struct Help {
    /// What is to be done.
    pub lever: Lever,
    /// By how many days of work the middle of the runs moves forward. In a large book it is
    /// measured over the first few dozen runs, with and without it.
    pub days: f64,
}

/// May the crew be told to hurry this job?
pub(super) fn may_be_hurried(job: &Job) -> bool {
    let stopgap = job.planned_temp.is_some() || job.history.iter().any(|said| said.temp.is_some());
    let again = job.history.iter().any(|said| said.again.is_some());
    job.cautions.is_empty() && !stopgap && !again && !is_inspection(job)
}

fn is_inspection(job: &Job) -> bool {
    let words = format!("{} {}", job.id, job.title).to_lowercase();
    let mut words = words.split(|letter: char| !letter.is_alphanumeric());
    words.any(|word| {
        INSPECTIONS
            .iter()
            .any(|beginning| word.starts_with(beginning))
    })
}

/// What helps most, best first.
pub(super) fn best(
    left: &Left,
    steps: &Steps,
    chance: &Chance,
    tally: &Tally,
    jobs: &JobList,
) -> Vec<Help> {
    let runs = (STEPS_A_TRIAL / steps.steps.len().max(1) as u32).clamp(50, runs::RUNS);
    let Some(now) = middle(steps, chance, runs) else {
        return Vec::new();
    };
    let day = left.longest_day();
    let help = |(lever, changed): (Lever, Steps)| {
        let then = middle(&changed, chance, runs)?;
        let days = clock::in_days(now, day) - clock::in_days(then, day);
        (then < now).then_some(Help { lever, days })
    };
    let jobs = jobs_to_try(left, steps, tally, jobs);
    let parts = parts_to_try(left, steps, tally);
    let mut helps: Vec<Help> = jobs.into_iter().chain(parts).filter_map(help).collect();
    helps.sort_by(|a, b| {
        b.days
            .total_cmp(&a.days)
            .then_with(|| a.lever.cmp(&b.lever))
    });
    helps.truncate(NAMED);
    helps
}

fn middle(steps: &Steps, chance: &Chance, runs: u32) -> Option<Moment> {
    runs::quantile(&runs::ends(steps, chance, runs), 0.5)
}

/// The jobs that may be hurried and promise most: hours left times runs on the chain.
fn jobs_to_try(left: &Left, steps: &Steps, tally: &Tally, jobs: &JobList) -> Vec<(Lever, Steps)> {
    let job = |step: usize| &jobs.jobs[left.tasks[steps.tasks[step]].job];
    let promise =
        |step: &usize| left.tasks[steps.tasks[*step]].still() * u64::from(tally.on_chain[*step]);
    let hurried =
        (0..steps.steps.len()).filter(|step| promise(step) > 0 && may_be_hurried(job(*step)));
    let mut promising: Vec<(u64, usize)> = hurried.map(|step| (promise(&step), step)).collect();
    promising.sort_unstable_by_key(|(promise, step)| (std::cmp::Reverse(*promise), *step));
    let tried = promising.into_iter().take(TRIED);
    tried
        .map(|(_, step)| (Lever::Job(job(step).id.clone()), halved(steps, step)))
        .collect()
}

fn halved(steps: &Steps, step: usize) -> Steps {
    let mut changed = steps.clone();
    let step = &mut changed.steps[step];
    (step.takes, step.spent) = (step.takes / 2, step.spent / 2);
    changed
}

/// The parts that the chain waited for most often.
fn parts_to_try(left: &Left, steps: &Steps, tally: &Tally) -> Vec<(Lever, Steps)> {
    let mut waits = vec![0; left.parts.len()];
    for (step, task) in steps.tasks.iter().enumerate() {
        if let Some(part) = left.tasks[*task].part {
            waits[part] += tally.for_part[step];
        }
    }
    let mut waited_for: Vec<usize> = (0..waits.len()).filter(|part| waits[*part] > 0).collect();
    waited_for.sort_by_key(|part| std::cmp::Reverse(waits[*part]));
    let tried = waited_for.into_iter().take(TRIED);
    tried
        .map(|part| {
            (
                Lever::Part(left.parts[part].id.clone()),
                in_tomorrow(left, steps, part),
            )
        })
        .collect()
}

/// The part is in tomorrow; what else its jobs wait for stays.
fn in_tomorrow(left: &Left, steps: &Steps, part: usize) -> Steps {
    let mut changed = steps.clone();
    for (step, task) in changed.steps.iter_mut().zip(&steps.tasks) {
        let others = left.tasks[*task]
            .parts
            .iter()
            .filter(|other| **other != part);
        step.ready_day = others
            .map(|other| left.parts[*other].day)
            .max()
            .unwrap_or(left.tomorrow);
    }
    changed
}
