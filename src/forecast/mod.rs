//! What is ahead of the crew: what is left, when it will be done, what stands in the way.
//!
//! In: the book, its jobs and its ledger, as they stand at the end of the latest day with a log.
//! Out: the [`Forecast`], and findings: loops of `follows`, days too long for somebody, jobs
//! without hours.
//!
//! The way of it: `loops` → `left` (what is open, in whole seconds) → `network` (early and late
//! times) → `schedule` (an order of work, and who does what) → `steps` (one walk through it) →
//! `learn` and `draw` (how jobs slip) → `runs` (some thousand walks) → `helps`, `begins`, `danger`.
//!
//! What always holds: the same book gives the same forecast on any machine; a forecast at
//! [`Pace::AS_PLANNED`] is the schedule; no advice hurries work that keeps people whole. How far to
//! trust it: it knows of no idea, no illness and no weather; it says what the crew's own hours say.

mod advice;
mod begins;
mod cache;
mod clock;
mod long_day;
mod loops;
mod network;
mod pace;
mod random;
mod remaining;
mod risk;
mod runs;
mod schedule;
mod steps;

pub use advice::{Help, Lever};
pub use cache::ForecastCache;
pub use long_day::{LongDay, MOST_HOURS};
pub use network::{Network, Node};
pub use pace::Pace;
pub use remaining::DEFAULT_HOURS;
pub use risk::{Danger, Pusher};
pub use runs::RUNS;
pub use schedule::{Schedule, Slot, Waits};

use std::collections::BTreeMap;

use self::cache::Ran;
use self::remaining::Left;
use self::runs::Tally;
use self::steps::Steps;
use crate::book::Book;
use crate::diagnostics::Diagnostic;
use crate::jobs::JobList;
use crate::jobs::orders::{self, Orders};
use crate::parts::ledger::Ledger;

/// Everything ahead, at the end of the latest day with a log.
#[derive(Clone, Debug, PartialEq)]
pub struct Forecast {
    /// That day; 0 before the first.
    pub day: u32,
    /// The last build day allowed, where it is known.
    pub deadline: Option<u32>,
    /// Are the last day and the crew known? If not, nothing is said of the end.
    pub known: bool,
    /// Early and late times, nobody's hours limited.
    pub network: Network,
    /// Who does what when, every job at its planned hours.
    pub schedule: Schedule,
    /// How the crew's hours compare with its plans.
    pub pace: Pace,
    /// How it will likely go.
    pub outlook: Outlook,
    /// Every part that is wanted.
    pub orders: Orders,
    /// Who has too much planned on a day ahead.
    pub long_days: Vec<LongDay>,
    /// Why it may not be done in time; empty where it likely is.
    pub danger: Vec<Danger>,
}

/// What the runs came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlook {
    /// How many runs; 0 where nothing is open.
    pub runs: u32,
    /// One run in ten is done by the end of this day.
    pub p10: u32,
    /// Every other run is.
    pub p50: u32,
    /// Nine in ten are.
    pub p90: u32,
    /// The share of runs that are done by the deadline.
    pub on_time: f64,
    /// How many runs end on which day.
    pub ends: BTreeMap<u32, u32>,
    /// The share of runs in which a job was on the chain that decided the end; never 0, largest
    /// first.
    pub on_chain: Vec<(String, f64)>,
    /// The same for the parts that such a chain waited for.
    pub parts_on_chain: Vec<(String, f64)>,
    /// What would help most, best first.
    pub helps: Vec<Help>,
}

/// What is ahead, at the pace the crew has shown.
pub fn look(book: &Book, jobs: &JobList, ledger: &Ledger) -> (Forecast, Vec<Diagnostic>) {
    look_again(book, jobs, ledger, &mut ForecastCache::default())
}

/// The same, with the runs of a former look where they are still right.
pub fn look_again(
    book: &Book,
    jobs: &JobList,
    ledger: &Ledger,
    kept: &mut ForecastCache,
) -> (Forecast, Vec<Diagnostic>) {
    foresee(book, jobs, ledger, Pace::learn(jobs), kept)
}

/// What is ahead, at a pace.
pub fn look_at_pace(
    book: &Book,
    jobs: &JobList,
    ledger: &Ledger,
    pace: Pace,
) -> (Forecast, Vec<Diagnostic>) {
    foresee(book, jobs, ledger, pace, &mut ForecastCache::default())
}

fn foresee(
    book: &Book,
    jobs: &JobList,
    ledger: &Ledger,
    pace: Pace,
    kept: &mut ForecastCache,
) -> (Forecast, Vec<Diagnostic>) {
    let (closing, mut found) = loops::find(jobs);
    let left = remaining::gather(book, jobs, ledger, &closing);
    let times = network::passes(&left);
    let id = |job: usize| jobs.jobs[job].id.clone();
    let steps = schedule::lay_out(&left, &times);
    let schedule = schedule::schedule(&left, &steps, id);
    // Without a last day no run is late.
    let ran = kept.runs(
        &left,
        &steps,
        &pace,
        book.sheet.days.unwrap_or(u32::MAX),
        jobs,
    );
    let orders = orders::find(book, jobs, ledger, &begins::begins(&left, &steps));
    let long_days = long_day::find(jobs);
    found.extend(long_days.iter().map(long_day::warning));
    found.extend(remaining::without_hours(jobs));
    let forecast = Forecast {
        day: jobs.day,
        deadline: book.sheet.days,
        known: book.sheet.has_a_calendar(),
        network: times.network(&left, id),
        danger: risk::reasons(book, jobs, &left, &steps, &schedule, &ran.tally),
        schedule,
        pace,
        outlook: outlook(book, jobs, &left, &steps, ran),
        orders,
        long_days,
    };
    (forecast, found)
}

fn outlook(book: &Book, jobs: &JobList, left: &Left, steps: &Steps, ran: &Ran) -> Outlook {
    let tally = &ran.tally;
    if tally.ends.is_empty() {
        return all_done(book, jobs);
    }
    let day = |share| runs::quantile(&tally.ends, share).map_or(jobs.day, clock::day_of);
    let mut ends = BTreeMap::new();
    for end in &tally.ends {
        *ends.entry(clock::day_of(*end)).or_default() += 1;
    }
    let runs = tally.ends.len() as u32;
    Outlook {
        runs,
        p10: day(0.1),
        p50: day(0.5),
        p90: day(0.9),
        on_time: f64::from(runs - tally.late) / f64::from(runs),
        ends,
        on_chain: shares(runs, jobs_on_chain(jobs, left, steps, tally)),
        parts_on_chain: shares(runs, parts_on_chain(left, steps, tally)),
        helps: ran.helps.clone(),
    }
}

/// Nothing is open: the end is the day the last job was done.
fn all_done(book: &Book, jobs: &JobList) -> Outlook {
    let end = jobs
        .all()
        .filter_map(|job| job.done_day)
        .max()
        .unwrap_or(jobs.day);
    Outlook {
        runs: 0,
        p10: end,
        p50: end,
        p90: end,
        on_time: if book.sheet.days.is_none_or(|days| end <= days) {
            1.0
        } else {
            0.0
        },
        ends: BTreeMap::new(),
        on_chain: Vec::new(),
        parts_on_chain: Vec::new(),
        helps: Vec::new(),
    }
}

/// Counts as shares, largest first.
fn shares(runs: u32, counts: BTreeMap<&str, u32>) -> Vec<(String, f64)> {
    let counts = counts.into_iter().filter(|(_, count)| *count > 0);
    let mut shares: Vec<(String, f64)> = counts
        .map(|(id, count)| (id.to_owned(), f64::from(count) / f64::from(runs)))
        .collect();
    shares.sort_by(|a, b| b.1.total_cmp(&a.1));
    shares
}

fn jobs_on_chain<'a>(
    jobs: &'a JobList,
    left: &Left,
    steps: &Steps,
    tally: &Tally,
) -> BTreeMap<&'a str, u32> {
    let tasks = steps
        .tasks
        .iter()
        .map(|task| &left.tasks[*task])
        .zip(&tally.on_chain);
    tasks
        .filter(|(task, _)| task.takes > 0)
        .map(|(task, runs)| (jobs.jobs[task.job].id.as_str(), *runs))
        .collect()
}

fn parts_on_chain<'a>(left: &'a Left, steps: &Steps, tally: &Tally) -> BTreeMap<&'a str, u32> {
    let mut counts = BTreeMap::new();
    for (task, runs) in steps.tasks.iter().zip(&tally.for_part) {
        if let Some(part) = left.tasks[*task].part {
            *counts.entry(left.parts[part].id.as_str()).or_default() += *runs;
        }
    }
    counts
}
