//! Working through the days: the list in the morning, what was said, the balance in the evening.
//!
//! In: the book and the ledger. Out: the [`JobList`]. A day costs what is on its list and in its log.

use std::collections::{BTreeMap, BTreeSet};

use super::mention::At;
use super::misspelt::Misspelt;
use super::order::{self, Jobs};
use super::stopgap::Stopgaps;
use super::{Came, DayList, Job, JobList, JobState, Row};
use crate::book::{Book, DayLog, Entry, Mention, Planned};
use crate::shop::ledger::Ledger;
use crate::shop::unknown;
use crate::text::Diagnostic;

/// Works the job list out from the plan and the logs.
pub fn work_through(book: &Book, ledger: &Ledger) -> (JobList, Vec<Diagnostic>) {
    let mut work = Work::of(ledger);
    for planned in book.plan.iter() {
        work.plan(planned);
    }
    let mut coming: Vec<usize> = (0..work.jobs.len()).collect();
    coming.sort_by_key(|job| work.jobs[*job].planned_day);
    let mut coming = coming.into_iter().peekable();
    for (index, log) in book.days.iter().enumerate() {
        while let Some(job) = coming.next_if(|job| work.jobs[*job].planned_day <= Some(log.day)) {
            work.comes_up(job, log.day);
        }
        work.day(index, log);
    }
    work.finish(book)
}

/// What changes from day to day.
#[derive(Default)]
struct Shop {
    /// The list: by job index. Between days it holds what is carried.
    list: BTreeMap<usize, Row>,
    /// Hours written today, by job index.
    spent: BTreeMap<usize, f64>,
    /// Jobs mentioned today.
    mentioned: BTreeSet<usize>,
    stopgaps: Stopgaps,
    days: Vec<DayList>,
}

struct Work<'a> {
    ledger: &'a Ledger,
    jobs: Vec<Job>,
    by_id: BTreeMap<String, usize>,
    shop: Shop,
    misspelt: Misspelt,
    wrong: Vec<Diagnostic>,
}

impl<'a> Work<'a> {
    fn of(ledger: &'a Ledger) -> Self {
        Self {
            ledger,
            jobs: Vec::new(),
            by_id: BTreeMap::new(),
            shop: Shop::default(),
            misspelt: Misspelt::default(),
            wrong: Vec::new(),
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
        self.by_id.insert(job.id.clone(), index);
        self.jobs.push(job);
        index
    }

    /// The planned day of a job has come.
    fn comes_up(&mut self, index: usize, day: u32) {
        let job = &mut self.jobs[index];
        if !job.state.is_open() || job.listed_day.is_some() {
            return;
        }
        job.listed_day = Some(day);
        if job.state == JobState::Planned {
            job.state = JobState::Carried;
        }
        self.join(index, Came::Planned);
    }

    fn join(&mut self, index: usize, came: Came) {
        let row = Row { job: index, came, ended: JobState::Carried, hours_planned: 0.0, hours_spent: 0.0 };
        self.shop.list.entry(index).or_insert(row);
    }

    fn day(&mut self, log_index: usize, log: &DayLog) {
        for (entry_index, entry) in log.entries.iter().enumerate() {
            if let Entry::Mention(mention) = entry {
                self.mention(mention, At { day: log.day, place: (log_index, entry_index) });
            }
        }
        self.judge_order(log.day);
        self.evening(log);
    }

    fn mention(&mut self, mention: &Mention, at: At) {
        let Some(index) = self.find_or_add(mention, at) else { return };
        self.open_again(index, mention, at);
        let job = &mut self.jobs[index];
        let was_open = job.state.is_open();
        match job.take_work(mention, at) {
            Err(wrong) => self.wrong.push(wrong),
            Ok(()) => *self.shop.spent.entry(index).or_default() += mention.took.unwrap_or(0.0),
        }
        let job = &self.jobs[index];
        if let Some(said) = job.history.last() {
            self.wrong.extend(self.shop.stopgaps.take(index, job, mention, said));
        }
        self.shop.mentioned.insert(index);
        if was_open && !job.state.is_open() {
            self.join(index, Came::Early);
        }
    }

    fn find_or_add(&mut self, mention: &Mention, at: At) -> Option<usize> {
        if let Some(known) = self.by_id.get(&mention.id.value) {
            return Some(*known);
        }
        if mention.title.is_none() {
            self.wrong.push(unknown::job(&mention.id, &self.by_id, self.wrong.len()));
            return None;
        }
        let mut job = Job::first(mention);
        job.added_day = Some(at.day);
        job.listed_day = Some(at.day);
        if let Some(meant) = self.misspelt.meant(&job, &self.jobs, &self.by_id) {
            self.wrong.push(unknown::misspelt(&mention.id, meant));
        }
        let index = self.enter(job);
        self.join(index, Came::Added);
        Some(index)
    }

    /// A done or dropped job that a mention opens again is added to the day's list.
    fn open_again(&mut self, index: usize, mention: &Mention, at: At) {
        let job = &mut self.jobs[index];
        if !job.opens(mention) {
            return;
        }
        job.listed_day.get_or_insert(at.day);
        self.join(index, Came::Added);
        if let Some(row) = self.shop.list.get_mut(&index).filter(|row| row.came == Came::Early) {
            row.came = Came::Added;
        }
    }

    fn judge_order(&mut self, day: u32) {
        let jobs = Jobs { all: &self.jobs, by_id: &self.by_id };
        for index in &self.shop.mentioned {
            let job = &self.jobs[*index];
            if job.done_day == Some(day) {
                self.wrong.extend(order::at_end_of_day(job, day, &jobs, self.ledger));
            }
        }
    }

    /// Closes the day's list and keeps what is carried.
    fn evening(&mut self, log: &DayLog) {
        let Shop { list, spent, mentioned, days, .. } = &mut self.shop;
        for (index, row) in list.iter_mut() {
            let job = &self.jobs[*index];
            row.ended = job.state;
            row.hours_planned = job.takes.filter(|_| row.came.in_the_morning()).unwrap_or(0.0);
            row.hours_spent = spent.get(index).copied().unwrap_or(0.0);
        }
        days.push(DayList::new(log, list.values().copied().collect(), spent.values().sum()));
        list.retain(|_, row| row.ended.is_open());
        for row in list.values_mut() {
            row.came = Came::Carried;
        }
        spent.clear();
        mentioned.clear();
    }

    fn finish(mut self, book: &Book) -> (JobList, Vec<Diagnostic>) {
        let day = book.days.last().map_or(0, |log| log.day);
        for job in &mut self.jobs {
            job.slipped = job.slip(day);
        }
        let jobs = Jobs { all: &self.jobs, by_id: &self.by_id };
        self.wrong.extend(order::at_end_of_book(&jobs, book));
        let Shop { stopgaps, days, .. } = self.shop;
        let stopgaps = stopgaps.finish(&self.jobs);
        (JobList { day, jobs: self.jobs, by_id: self.by_id, days, stopgaps }, self.wrong)
    }
}
