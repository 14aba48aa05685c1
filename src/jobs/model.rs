//! A job and what was said about it.
//!
//! In: the mentions of one id. Out: its state on any day, its hours, its slip.

use std::collections::BTreeSet;

use crate::book::{Caution, When};
use crate::source::{Span, Spanned};

/// How a job stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum JobState {
    /// Planned, and its day has not come.
    Planned,
    /// Done.
    Done,
    /// Its day has come, and it is neither done nor dropped.
    Carried,
    /// Stopped, and on what was said.
    HeldUp,
    /// It will not be done.
    Dropped,
}

impl JobState {
    /// The words scripts may rely on.
    pub fn words(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Done => "done",
            Self::Carried => "carried",
            Self::HeldUp => "held up",
            Self::Dropped => "dropped",
        }
    }

    /// Is there still something to do?
    pub fn is_open(self) -> bool {
        !matches!(self, Self::Done | Self::Dropped)
    }
}

/// One job, as all its mentions together make it.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its id.
    pub id: String,
    /// The first title given, Markdown source; the id where there is none.
    pub title: String,
    pub(super) has_title: bool,
    /// The first mention, in the plan or in a log.
    pub at: Span,
    /// The day it was planned for; `None` where it was added.
    pub planned_day: Option<u32>,
    /// The day whose log added it; `None` where it was planned.
    pub added_day: Option<u32>,
    /// The first day with a log whose list held it.
    pub listed_day: Option<u32>,
    /// How it stands now.
    pub state: JobState,
    /// Who has it.
    pub by: Vec<String>,
    /// Who had it by its first mention.
    pub(super) first_by: Vec<String>,
    /// Planned hours, where they are given.
    pub takes: Option<f64>,
    /// Hours spent so far.
    pub hours_spent: f64,
    /// Of those, the hours of work that had to be made again.
    pub hours_twice: f64,
    /// The day it was done, where it is done.
    pub done_day: Option<u32>,
    /// Days between the planned day (or the day it was added) and the day done (else the latest day
    /// with a log).
    pub slipped: u32,
    /// Its hazards.
    pub cautions: BTreeSet<Caution>,
    /// The jobs it follows.
    pub follows: Vec<Spanned<String>>,
    /// The parts it needs.
    pub needs: Vec<Spanned<String>>,
    /// What carries the vehicle meanwhile, as the plan has it.
    pub planned_temp: Option<String>,
    /// Its mentions in the logs, in order.
    pub history: Vec<MentionRecord>,
}

/// What one mention in a log said, and how the job stood after it.
#[derive(Clone, Debug, PartialEq)]
pub struct MentionRecord {
    /// The day of the log.
    pub day: u32,
    /// Index of the log in the book's days, and of the mention in that log's entries.
    pub place: (usize, usize),
    /// The line.
    pub span: Span,
    /// How the job stood after it.
    pub state: JobState,
    /// Was the box ticked?
    pub ticked: bool,
    /// Was it an error? Then it changed neither state nor hours.
    pub refused: bool,
    /// Hours spent.
    pub took: Option<f64>,
    /// Hours planned from here on.
    pub takes: Option<f64>,
    /// Who has it from here on; empty where nothing was said.
    pub by: Vec<String>,
    /// A title other than the job's own.
    pub remark: Option<String>,
    /// `held up: why`
    pub held_up: Option<String>,
    /// `again: why`
    pub again: Option<String>,
    /// `dropped: why`
    pub dropped: Option<String>,
    /// `temp: what carries it`
    pub temp: Option<String>,
    /// Who made it good.
    pub made_good: Option<Vec<String>>,
}

impl MentionRecord {
    /// Its moment in the book.
    pub fn when(&self) -> When {
        When {
            day: self.day,
            entry: self.place.1,
        }
    }

    /// Was the vehicle touched: a tick, or hours? A mention that was refused says neither.
    pub fn is_hands_on(&self) -> bool {
        !self.refused && (self.ticked || self.took.is_some_and(|hours| hours > 0.0))
    }

    /// Was something done at the vehicle? A line that only carries a job on says nothing of the
    /// kind.
    pub(super) fn is_work(&self) -> bool {
        self.ticked || self.took.is_some() || self.again.is_some() || self.made_good.is_some()
    }
}

impl Job {
    /// What was said last by the end of a day.
    pub fn last_by(&self, day: u32) -> Option<&MentionRecord> {
        let upto = self
            .history
            .partition_point(|happening| happening.day <= day);
        self.history[..upto].last()
    }

    /// How it stood at the end of a day; `None` before it was added.
    pub fn state_on(&self, day: u32) -> Option<JobState> {
        let listed = self.listed_day.is_some_and(|first| first <= day);
        let said = self.last_by(day).map(|last| last.state);
        match said {
            Some(JobState::Planned) | None if listed => Some(JobState::Carried),
            None => self.planned_day.map(|_| JobState::Planned),
            said => said,
        }
    }

    /// Why it is held up now.
    pub fn held_up(&self) -> Option<&str> {
        let last = self
            .history
            .iter()
            .rev()
            .find(|happening| !happening.refused)?;
        (self.state == JobState::HeldUp).then_some(last.held_up.as_deref())?
    }

    /// The day its slip is counted from: the planned day, or the day it was added.
    pub fn first_day(&self) -> Option<u32> {
        self.planned_day.or(self.added_day)
    }

    /// Days it has slipped by a day; if it is done, by the day it was.
    pub fn slip(&self, day: u32) -> u32 {
        let until = self.done_day.unwrap_or(day);
        self.first_day()
            .map_or(0, |first| until.saturating_sub(first))
    }
}
