//! The hold list: what must be right before the vehicle is moved or run.
//!
//! In: the worked checks and the job list. Out: its lines at the end of any day. Only four acts
//! take a line off: a stopgap is made good, a hold check is measured with its tolerance in limits
//! after the last change, two people withdraw it or take the hold off, a begun job with a caution
//! is done. Dropping a job, or writing a limit again, does not. What happened against the list
//! stays in its history ([`history`]).

pub mod cautions;
mod history;
mod stays;

use std::collections::BTreeSet;

use crate::book::Caution;
use crate::calc::{Check, Hold, Judgement, Results, Verdict};
use crate::jobs::{Job, JobList, Stopgap};
use crate::source::Span;

pub use history::{HeldLine, HoldEvent, HoldEventKind, Standing, history};

/// Why a line is on the list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoldKind {
    /// A stopgap.
    Temp,
    /// A check that ends in `, hold`.
    Check,
    /// A job with a caution, begun and not done.
    Job,
}

impl HoldKind {
    /// The word scripts may rely on.
    pub fn word(self) -> &'static str {
        match self {
            Self::Temp => "temp",
            Self::Check => "check",
            Self::Job => "job",
        }
    }
}

/// One line of the hold list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldLine {
    /// Why it is on the list.
    pub kind: HoldKind,
    /// The job or the value.
    pub id: String,
    /// What stands against it, in words.
    pub why: String,
    /// What takes it off.
    pub clears: &'static str,
    /// The line of the book it comes from.
    pub at: Span,
    /// Its hazards.
    pub cautions: BTreeSet<Caution>,
}

/// The hold list at the end of a day.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HoldList {
    /// Its lines: stopgaps, checks, jobs.
    pub lines: Vec<HoldLine>,
}

impl HoldList {
    /// Is a load off the ground, or somebody to go below?
    pub fn nobody_under(&self) -> bool {
        let under = [Caution::Lifting, Caution::UnderVehicle];
        self.lines
            .iter()
            .any(|line| under.iter().any(|caution| line.cautions.contains(caution)))
    }

    /// The first moves among jobs that are still to be done, each with how many lines must be
    /// cleared before it. Its own line does not hold a job up.
    pub fn moves_held<'a>(
        &self,
        jobs: impl Iterator<Item = &'a Job>,
    ) -> impl Iterator<Item = (&'a Job, usize)> {
        let movers =
            jobs.filter(|job| job.state.is_open() && job.cautions.contains(&Caution::FirstMove));
        let others = |job: &Job| {
            self.lines
                .iter()
                .filter(|line| line.kind != HoldKind::Job || line.id != job.id)
                .count()
        };
        movers
            .map(move |job| (job, others(job)))
            .filter(|(_, lines)| *lines > 0)
    }

    /// The words on the tag.
    pub fn tag(&self) -> &'static str {
        if self.nobody_under() {
            "Do not move it, run it or go under it."
        } else {
            "Do not move or run it."
        }
    }
}

/// The hold list at the end of `day`.
pub fn on_day(worked: &Results, jobs: &JobList, day: u32) -> HoldList {
    let stopgaps = jobs
        .stopgaps
        .iter()
        .filter(|stopgap| stopgap.open_on(day))
        .map(stopgap_line);
    let checks = worked
        .checks
        .iter()
        .filter_map(|check| check_line(worked, check, day));
    let hazards = jobs.all().filter(|job| !job.cautions.is_empty());
    let begun = hazards
        .filter(|job| is_begun_and_open(job, day))
        .map(job_line);
    HoldList {
        lines: stopgaps.chain(checks).chain(begun).collect(),
    }
}

fn stopgap_why(stopgap: &Stopgap) -> String {
    format!("a stopgap since day {}: {}", stopgap.since_day, stopgap.why)
}

fn stopgap_line(stopgap: &Stopgap) -> HoldLine {
    let clears = if stopgap.needs_two() {
        "have it made good by two named people"
    } else {
        "have it made good by a named person"
    };
    HoldLine {
        kind: HoldKind::Temp,
        id: stopgap.job.clone(),
        why: stopgap_why(stopgap),
        clears,
        at: stopgap.span,
        cautions: stopgap.cautions.clone(),
    }
}

fn check_line(worked: &Results, check: &Check, day: u32) -> Option<HoldLine> {
    let hold = check.hold_on_day(day)?;
    let (why, clears) = held_by(worked, check, hold, check.on_day(day))?;
    let id = worked.text(check.name).to_owned();
    Some(HoldLine {
        kind: HoldKind::Check,
        id,
        why,
        clears,
        at: check.rule.at,
        cautions: BTreeSet::new(),
    })
}

/// What keeps a check on the list, and what takes it off; `None` where it is clear.
fn held_by(
    worked: &Results,
    check: &Check,
    hold: Hold,
    judged: Option<&Judgement>,
) -> Option<(String, &'static str)> {
    let limit = judged.map_or(check.rule.written.as_str(), |judged| &judged.rule);
    Some(match hold {
        Hold::Clear | Hold::Ended => return None,
        Hold::Verdict(Verdict::NoReading) => {
            (format!("no reading, needs {limit}"), "measure it in limits")
        }
        Hold::Verdict(verdict) => {
            // What was judged at the end of the day may say more than what held it at that moment.
            let same = judged.filter(|judged| judged.verdict == verdict);
            let margin = same
                .map(Judgement::margin_words)
                .filter(|margin| !margin.is_empty());
            let margin = margin.map_or_else(String::new, |margin| format!(", {margin}"));
            (
                format!("{}{margin}, needs {limit}", verdict.words()),
                "measure it in limits, with its tolerance",
            )
        }
        Hold::Bare => (
            "in limits, but read without a tolerance: write the tolerance after the reading"
                .to_owned(),
            "measure it in limits, with its tolerance; write `± 0` if it is exact",
        ),
        Hold::Unread(line) => (
            format!(
                "a later line about it, on day {}, could not be read",
                line.day
            ),
            "correct that line",
        ),
        Hold::OnPaper => (
            "in limits on paper: measure it".to_owned(),
            "measure it in limits",
        ),
        Hold::Overtaken(cause) if cause == check.name => (
            "measured before its limit was changed: measure it again".to_owned(),
            "measure it again after the last change",
        ),
        Hold::Overtaken(cause) => (
            format!(
                "measured before {} changed: measure it again",
                worked.text(cause)
            ),
            "measure it again after the last change",
        ),
    })
}

/// Was it begun by the end of the day, and is it not done?
fn is_begun_and_open(job: &Job, day: u32) -> bool {
    stays::turns(job)
        .take_while(|(when, _)| when.day <= day)
        .last()
        .is_some_and(|(_, on)| on)
}

fn job_why(job: &Job) -> String {
    let cautions: Vec<&str> = job.cautions.iter().map(|caution| caution.word()).collect();
    format!(
        "begun but not done, caution {}",
        cautions.join(", ").replace('_', " ")
    )
}

fn job_line(job: &Job) -> HoldLine {
    HoldLine {
        kind: HoldKind::Job,
        id: job.id.clone(),
        why: job_why(job),
        clears: "finish the job",
        at: job.history.last().map_or(job.at, |last| last.span),
        cautions: job.cautions.clone(),
    }
}
