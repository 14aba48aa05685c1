//! Working through the days: the list in the morning, what was said, the balance in the evening.
//!
//! In: the book and the ledger. Out: the [`JobList`]. A day costs what is on its list and in its
//! log; where a former walk is still right, this one carries on from it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::mention::At;
use super::misspelt::Misspelt;
use super::order::{self, Jobs};
use super::stopgap::Stopgaps;
use super::{Came, DayList, Job, JobList, JobState, Row, left, total};
use crate::book::{Book, Checkpoints, DayLog, Entry, Mention, Planned};
use crate::diagnostics::Diagnostic;
use crate::jobs::unknown;
use crate::parts::ledger::Ledger;

/// What a former walk through the days left.
#[derive(Debug, Default)]
pub struct JobCache(Checkpoints<SoFar>);

impl JobCache {
    /// How many days the latest walk went through.
    pub fn days_worked(&self) -> usize {
        self.0.days_worked()
    }
}

/// Works the job list out from the plan and the logs.
pub fn work_through(book: &Book, ledger: &Ledger) -> (JobList, Vec<Diagnostic>) {
    work_through_again(book, ledger, &mut JobCache::default())
}

/// Works the job list out, carrying on from where a former walk is still right.
pub fn work_through_again(
    book: &Book,
    ledger: &Ledger,
    kept: &mut JobCache,
) -> (JobList, Vec<Diagnostic>) {
    let (done, now) = kept
        .0
        .carry_on(book)
        .unwrap_or_else(|| (0, SoFar::planned(&book.plan)));
    let mut work = Work {
        ledger,
        now,
        today: Today::default(),
    };
    for (index, log) in book.days.iter().enumerate().skip(done) {
        kept.0.pass(index, &work.now);
        work.morning(log.day);
        work.day(index, log);
        work.evening(log);
    }
    kept.0.pass(book.days.len(), &work.now);
    work.now.finish(book)
}

/// How things stand between two days. A copy shares every job with its original until one of them
/// changes it.
#[derive(Clone, Debug, Default)]
struct SoFar {
    jobs: Vec<Arc<Job>>,
    by_id: Arc<BTreeMap<String, usize>>,
    /// The planned jobs in the order of their days, and how many of them have come up.
    coming: Arc<[usize]>,
    came_up: usize,
    /// What is carried: by job index.
    list: BTreeMap<usize, Row>,
    stopgaps: Stopgaps,
    days: Vec<Arc<DayList>>,
    misspelt: Misspelt,
    wrong: Vec<Diagnostic>,
}

impl SoFar {
    /// What is known before the first day.
    fn planned(plan: &[Planned]) -> Self {
        let mut now = Self::default();
        for planned in plan {
            now.plan(planned);
        }
        let mut coming: Vec<usize> = (0..now.jobs.len()).collect();
        coming.sort_by_key(|job| now.jobs[*job].planned_day);
        Self {
            coming: coming.into(),
            ..now
        }
    }

    fn plan(&mut self, planned: &Planned) {
        let mention = &planned.mention;
        if self.by_id.contains_key(&mention.id.value) {
            return;
        }
        let mut job = Job::first(mention);
        job.planned_day = Some(planned.day);
        job.planned_temp.clone_from(&mention.temp);
        self.enter(job);
    }

    fn enter(&mut self, job: Job) -> usize {
        let index = self.jobs.len();
        Arc::make_mut(&mut self.by_id).insert(job.id.clone(), index);
        self.jobs.push(Arc::new(job));
        index
    }

    fn job_mut(&mut self, index: usize) -> &mut Job {
        Arc::make_mut(&mut self.jobs[index])
    }

    fn join(&mut self, index: usize, came: Came) {
        let hours_before = self.jobs[index].hours_done();
        let row = Row {
            job: index,
            came,
            ended: JobState::Carried,
            hours_planned: 0.0,
            hours_before,
            hours_spent: 0.0,
        };
        self.list.entry(index).or_insert(row);
    }

    fn finish(mut self, book: &Book) -> (JobList, Vec<Diagnostic>) {
        let day = book.days.last().map_or(0, |log| log.day);
        for job in &mut self.jobs {
            let slipped = job.slip(day);
            if job.slipped != slipped {
                Arc::make_mut(job).slipped = slipped;
            }
        }
        let jobs = Jobs {
            all: &self.jobs,
            by_id: &self.by_id,
        };
        self.wrong.extend(order::at_end_of_book(&jobs, book));
        let stopgaps = self.stopgaps.finish(&self.jobs);
        (
            JobList {
                day,
                jobs: self.jobs,
                by_id: self.by_id,
                days: self.days,
                stopgaps,
            },
            self.wrong,
        )
    }
}

/// What is said in one log.
#[derive(Default)]
struct Today {
    /// Hours written, by job index.
    spent: BTreeMap<usize, f64>,
    /// Jobs mentioned.
    mentioned: BTreeSet<usize>,
}

struct Work<'a> {
    ledger: &'a Ledger,
    now: SoFar,
    today: Today,
}

impl Work<'_> {
    /// The planned jobs whose day has come join the list.
    fn morning(&mut self, day: u32) {
        let now = &mut self.now;
        while let Some(index) = now.coming.get(now.came_up).copied() {
            if now.jobs[index].planned_day > Some(day) {
                return;
            }
            now.came_up += 1;
            if now.jobs[index].state.is_open() && now.jobs[index].listed_day.is_none() {
                let job = now.job_mut(index);
                job.listed_day = Some(day);
                if job.state == JobState::Planned {
                    job.state = JobState::Carried;
                }
                now.join(index, Came::Planned);
            }
        }
    }

    fn day(&mut self, log_index: usize, log: &DayLog) {
        for (entry_index, entry) in log.entries.iter().enumerate() {
            if let Entry::Mention(mention) = entry {
                self.mention(
                    mention,
                    At {
                        day: log.day,
                        place: (log_index, entry_index),
                    },
                );
            }
        }
        self.judge_order(log.day);
    }

    fn mention(&mut self, mention: &Mention, at: At) {
        let Some(index) = self.find_or_add(mention, at) else {
            return;
        };
        self.open_again(index, mention, at);
        let job = self.now.job_mut(index);
        let was_open = job.state.is_open();
        match job.take_work(mention, at) {
            Err(wrong) => self.now.wrong.push(*wrong),
            Ok(()) => *self.today.spent.entry(index).or_default() += mention.took.unwrap_or(0.0),
        }
        let job = &self.now.jobs[index];
        if let Some(said) = job.history.last() {
            self.now
                .wrong
                .extend(self.now.stopgaps.take(index, job, mention, said));
        }
        self.today.mentioned.insert(index);
        if was_open && !job.state.is_open() {
            self.now.join(index, Came::Early);
        }
    }

    fn find_or_add(&mut self, mention: &Mention, at: At) -> Option<usize> {
        let now = &mut self.now;
        if let Some(known) = now.by_id.get(&mention.id.value) {
            return Some(*known);
        }
        if mention.title.is_none() {
            now.wrong
                .push(unknown::job(&mention.id, &now.by_id, now.wrong.len()));
            return None;
        }
        let mut job = Job::first(mention);
        job.added_day = Some(at.day);
        job.listed_day = Some(at.day);
        if let Some(meant) = now.misspelt.meant(&job, &now.jobs, &now.by_id) {
            now.wrong.push(unknown::misspelt(&mention.id, meant));
        }
        let index = now.enter(job);
        now.join(index, Came::Added);
        Some(index)
    }

    /// A done or dropped job that a mention opens again is added to the day's list.
    fn open_again(&mut self, index: usize, mention: &Mention, at: At) {
        if !self.now.jobs[index].opens(mention) {
            return;
        }
        self.now.job_mut(index).listed_day.get_or_insert(at.day);
        self.now.join(index, Came::Added);
        if let Some(row) = self
            .now
            .list
            .get_mut(&index)
            .filter(|row| row.came == Came::Early)
        {
            row.came = Came::Added;
        }
    }

    fn judge_order(&mut self, day: u32) {
        let now = &mut self.now;
        let jobs = Jobs {
            all: &now.jobs,
            by_id: &now.by_id,
        };
        for index in &self.today.mentioned {
            let job = &now.jobs[*index];
            if job.done_day == Some(day) {
                now.wrong
                    .extend(order::at_end_of_day(job, day, &jobs, self.ledger));
            }
        }
    }

    /// Closes the day's list and keeps what is carried.
    fn evening(&mut self, log: &DayLog) {
        let Today { spent, .. } = std::mem::take(&mut self.today);
        let SoFar {
            jobs, list, days, ..
        } = &mut self.now;
        for (index, row) in list.iter_mut() {
            let job = &jobs[*index];
            row.ended = job.state;
            let takes = job.takes.filter(|_| row.came.in_the_morning());
            row.hours_planned = takes.map_or(0.0, |takes| left(takes, row.hours_before));
            row.hours_spent = spent.get(index).copied().unwrap_or(0.0);
        }
        days.push(Arc::new(DayList::new(
            log,
            list.values().copied().collect(),
            total(spent.values().copied()),
        )));
        list.retain(|_, row| row.ended.is_open());
        for row in list.values_mut() {
            row.came = Came::Carried;
            row.hours_before = jobs[row.job].hours_done();
        }
    }
}
