//! Why it may not be done in time.
//!
//! In: the runs that end late, the schedule. Out: what pushes them past the deadline, worst first:
//! parts, people with more work than hours, jobs (by the hours they bring into late runs). Nothing
//! is said while at most one run in ten is late.

use std::collections::BTreeMap;

use super::remaining::Left;
use super::runs::Tally;
use super::schedule::Schedule;
use super::steps::Steps;
use crate::book::Book;
use crate::jobs::JobList;

/// From this share of late runs on there is a danger.
const WORTH_SAYING: f64 = 0.1;
/// A job or part is named from this share of the late runs on.
const OFTEN: f64 = 0.25;
/// How many jobs, and how many parts, are named.
const NAMED: usize = 3;

/// What pushes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Pusher {
    /// A job whose hours decide the end.
    Job(String),
    /// A part that comes in too late, and the job that waits for it.
    Part {
        /// The part.
        id: String,
        /// The job.
        job: String,
    },
    /// Somebody with more work than hours.
    Person(String),
}

/// One reason for the build being late.
#[derive(Clone, Debug, PartialEq)]
pub struct Danger {
    /// What pushes.
    pub what: Pusher,
    /// For a job or part: the share of the late runs it decided. For a person: work over hours
    /// there are.
    pub share: f64,
    /// What is so with it, the rest of a sentence without a full stop: `decides the end in 94 of
    /// 100 late runs`.
    pub says: String,
}

impl Danger {
    /// The whole sentence, with a job's and a part's name as they are called where it is read.
    pub fn words(&self, job: impl Fn(&str) -> String, part: impl Fn(&str) -> String) -> String {
        match &self.what {
            Pusher::Job(id) => format!("{} {}", job(id), self.says),
            Pusher::Part { id, job: waiting } => {
                format!("{} waits for {}, {}", job(waiting), part(id), self.says)
            }
            Pusher::Person(name) => format!("{name} {}", self.says),
        }
    }
}

/// The reasons, parts first, then people, then jobs, each the worst first.
pub(super) fn reasons(
    book: &Book,
    jobs: &JobList,
    left: &Left,
    steps: &Steps,
    schedule: &Schedule,
    tally: &Tally,
) -> Vec<Danger> {
    if f64::from(tally.late) <= WORTH_SAYING * tally.ends.len() as f64 {
        return Vec::new();
    }
    let view = View {
        jobs,
        left,
        steps,
        tally,
    };
    let people = people(book, jobs.day, schedule);
    view.parts()
        .into_iter()
        .chain(people)
        .chain(view.late_jobs())
        .collect()
}

struct View<'a> {
    jobs: &'a JobList,
    left: &'a Left,
    steps: &'a Steps,
    tally: &'a Tally,
}

impl View<'_> {
    fn share(&self, runs: u32) -> f64 {
        f64::from(runs) / f64::from(self.tally.late.max(1))
    }

    fn id(&self, step: usize) -> &str {
        &self.jobs.jobs[self.left.tasks[self.steps.tasks[step]].job].id
    }

    fn still(&self, step: usize) -> u64 {
        self.left.tasks[self.steps.tasks[step]].still()
    }

    /// The steps that decided many late runs, those first that brought most hours into them.
    fn most(&self, counts: &[u32]) -> Vec<(f64, usize)> {
        let shares = counts
            .iter()
            .enumerate()
            .map(|(step, runs)| (self.share(*runs), step));
        let mut shares: Vec<(f64, usize)> = shares.filter(|(share, _)| *share >= OFTEN).collect();
        let brought = |(share, step): &(f64, usize)| share * self.still(*step) as f64;
        shares.sort_by(|a, b| brought(b).total_cmp(&brought(a)).then(a.1.cmp(&b.1)));
        shares.truncate(NAMED);
        shares
    }

    fn parts(&self) -> Vec<Danger> {
        let waiting = self.most(&self.tally.for_part_late).into_iter();
        let named = waiting.filter_map(|(share, step)| {
            let part = &self.left.parts[self.left.tasks[self.steps.tasks[step]].part?];
            let what = Pusher::Part {
                id: part.id.clone(),
                job: self.id(step).to_owned(),
            };
            Some(Danger {
                what,
                share,
                says: format!("which is in on day {}", part.day),
            })
        });
        named.collect()
    }

    fn late_jobs(&self) -> Vec<Danger> {
        let mut counts = self.tally.on_late_chain.clone();
        for (step, count) in counts.iter_mut().enumerate() {
            *count *= u32::from(self.still(step) > 0);
        }
        self.most(&counts)
            .into_iter()
            .map(|(share, step)| self.late_job(share, step))
            .collect()
    }

    fn late_job(&self, share: f64, step: usize) -> Danger {
        let job = &self.jobs.jobs[self.left.tasks[self.steps.tasks[step]].job];
        let stands = job
            .held_up()
            .map_or(String::new(), |why| format!(", held up: {why}"));
        let says = format!(
            "decides the end in {:.0} of 100 late runs{stands}",
            share * 100.0
        );
        Danger {
            what: Pusher::Job(job.id.clone()),
            share,
            says,
        }
    }
}

fn people(book: &Book, today: u32, schedule: &Schedule) -> Vec<Danger> {
    let mut work: BTreeMap<&str, f64> = BTreeMap::new();
    for slot in &schedule.slots {
        for name in &slot.by {
            *work.entry(name.as_str()).or_default() += slot.hours / slot.by.len() as f64;
        }
    }
    let Some(last) = book.sheet.days.filter(|_| book.sheet.crew_known) else {
        return Vec::new();
    };
    let days = last.saturating_sub(today);
    let over = book.sheet.crew.iter().filter_map(|member| {
        let (work, there) = (
            *work.get(member.name.as_str())?,
            member.hours * f64::from(days),
        );
        let says = format!("has {work:.1} h of work and {there:.1} h until day {last}");
        let share = work / there.max(1.0);
        (work > there).then(|| Danger {
            what: Pusher::Person(member.name.clone()),
            share,
            says,
        })
    });
    let mut over: Vec<Danger> = over.collect();
    over.sort_by(|a, b| b.share.total_cmp(&a.share));
    over
}
