//! What happened against the hold list, and stays in the record.
//!
//! In: the worked checks and the job list. Out: each [`HoldEvent`] in the order of the book, and a
//! warning at its line. A later line never takes an event out. The vehicle is moved where a job
//! with `caution first_move` is ticked, or gets hours, while another line is open. A line counts as
//! open where it was open on the evening before, or anything in that day's log opened it, above or
//! below; and in either case its clearing is not above the tick.

use std::collections::{BTreeMap, BTreeSet};

use super::stays::{LineId, Stay, stays};
use super::{HoldKind, held_by, job_why, stopgap_why};
use crate::book::{Caution, When};
use crate::calc::{Act, Check, LimitChange, LimitLine, Results};
use crate::diagnostics::{Diagnostic, Slug};
use crate::jobs::{Job, JobList, MentionRecord};
use crate::source::Span;

/// So many lines are named of one event; the others are counted.
const MOST_LINES: usize = 40;
/// So many of them are named in its warning.
const MOST_SAID: usize = 6;

/// Something that happened against the hold list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldEvent {
    /// What happened.
    pub kind: HoldEventKind,
    /// The job that moved the vehicle, or the value whose limit was eased or withdrawn.
    pub id: String,
    /// The day.
    pub day: u32,
    /// The line of the book.
    pub at: Span,
    /// Who: those who have the job, or those who eased or withdrew the limit.
    pub by: Vec<String>,
    /// For a limit: what it was, and what it became where it was eased.
    pub limit: Option<String>,
    /// Was a crew of one enough for it?
    pub alone: bool,
    /// What else there is to say, in the crew's words.
    pub why: Option<String>,
    /// The lines that were open then, the first of them.
    pub lines: Vec<HeldLine>,
    /// How many more were open.
    pub more: usize,
}

/// What can happen against the hold list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HoldEventKind {
    /// The vehicle was moved while lines were open.
    Moved,
    /// A hold limit was eased.
    Eased,
    /// A hold limit was withdrawn.
    Withdrawn,
}

impl HoldEventKind {
    /// The word scripts may rely on.
    pub fn word(self) -> &'static str {
        match self {
            Self::Moved => "moved",
            Self::Eased => "eased",
            Self::Withdrawn => "withdrawn",
        }
    }
}

/// A line that was open when something happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldLine {
    /// Its kind.
    pub kind: HoldKind,
    /// The job or the value.
    pub id: String,
    /// Why it was on the list.
    pub why: String,
    /// Why it counts as open at that moment.
    pub stood: Standing,
    /// The line of the book that put it on the list.
    pub at: Span,
}

/// Why a line counts as open at a moment of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// It was open on the evening before.
    Before,
    /// That day's log opened it.
    ThatDay,
    /// It was cleared that day, but not above that moment.
    ClearedBelow,
}

impl Standing {
    /// The words beside its name.
    pub fn words(self) -> &'static str {
        match self {
            Self::Before => "open since the evening before",
            Self::ThatDay => "opened that day",
            Self::ClearedBelow => "cleared only after that line",
        }
    }
}

impl HoldEvent {
    /// How many lines were open.
    pub fn open(&self) -> usize {
        self.lines.len() + self.more
    }

    /// `moved on day 9 while 1 line was on hold`
    pub fn words(&self) -> String {
        let (kind, day) = (self.kind.word(), self.day);
        if self.kind == HoldEventKind::Moved {
            return match self.open() {
                1 => format!("{kind} on day {day} while 1 line was on hold"),
                open => format!("{kind} on day {day} while {open} lines were on hold"),
            };
        }
        let by = if self.by.is_empty() {
            String::new()
        } else {
            format!(" by {}", self.by.join(" and "))
        };
        let alone = if self.alone { ", a crew of one" } else { "" };
        let limit = self
            .limit
            .as_ref()
            .map_or_else(String::new, |limit| format!(", {limit},"));
        let why = self
            .why
            .as_ref()
            .map_or_else(String::new, |why| format!(": {why}"));
        format!("{kind} on day {day}{limit}{by}{alone}{why}")
    }
}

/// Everything that happened against the hold list, in the order of the book, and what is said of
/// it.
pub fn history(worked: &Results, jobs: &JobList) -> (Vec<HoldEvent>, Vec<Diagnostic>) {
    let (moved, found) = moved(worked, jobs);
    let mut events: Vec<(When, HoldEvent)> = moved.into_iter().chain(limits(worked)).collect();
    events.sort_by_key(|(when, _)| *when);
    (events.into_iter().map(|(_, event)| event).collect(), found)
}

/// Hold limits that were eased or withdrawn.
fn limits(worked: &Results) -> Vec<(When, HoldEvent)> {
    let of = |check: &Check, line: &LimitLine| {
        let (kind, signed) = match (line.change, &line.rule.act) {
            (LimitChange::Eased, Act::Eased(signed)) => (HoldEventKind::Eased, signed),
            (LimitChange::Withdrawn, Act::Withdrawn(signed)) => (HoldEventKind::Withdrawn, signed),
            _ => return None,
        };
        let off = if line.rule.hold { "" } else { ", not on hold" };
        let limit = match kind {
            HoldEventKind::Eased => format!("from {} to {}{off}", line.before, line.rule.written),
            _ => line.before.to_string(),
        };
        let event = HoldEvent {
            kind,
            id: worked.text(check.name).to_owned(),
            day: line.day,
            at: line.rule.at,
            by: signed.by.clone(),
            limit: Some(limit),
            alone: signed.by.len() == 1,
            why: Some(signed.why.clone()),
            lines: Vec::new(),
            more: 0,
        };
        Some((line.when, event))
    };
    let held = |check: &Check| {
        check
            .limits
            .iter()
            .filter(|line| line.hold)
            .filter_map(|line| of(check, line))
            .collect::<Vec<_>>()
    };
    worked.checks.iter().flat_map(|check| held(check)).collect()
}

/// The moves of the vehicle while lines were open.
fn moved(worked: &Results, jobs: &JobList) -> (Vec<(When, HoldEvent)>, Vec<Diagnostic>) {
    let moves = moves(jobs);
    if moves.is_empty() {
        return (Vec::new(), Vec::new());
    }
    let mut watch = Watch::new(stays(worked, jobs));
    let of = |(when, index, said): (When, usize, &MentionRecord)| {
        let own = LineId {
            kind: HoldKind::Job,
            index,
        };
        let open = watch.open_at(when);
        let open: Vec<&Stay> = open.filter(|stay| stay.line != own).collect();
        let job = &jobs.jobs[index];
        (!open.is_empty()).then(|| {
            let (event, found) = Teller { worked, jobs }.moved(job, said, &open);
            ((when, event), found)
        })
    };
    moves.into_iter().filter_map(of).unzip()
}

/// Every mention that moves the vehicle, in the order of the book, with the index of its job.
fn moves(jobs: &JobList) -> Vec<(When, usize, &MentionRecord)> {
    let movers = jobs
        .jobs
        .iter()
        .enumerate()
        .filter(|(_, job)| job.cautions.contains(&Caution::FirstMove));
    let said = movers.flat_map(|(index, job)| {
        job.history
            .iter()
            .map(move |said| (said.when(), index, said))
    });
    let mut moves: Vec<_> = said.filter(|(_, _, said)| said.is_hands_on()).collect();
    moves.sort_by_key(|(when, ..)| *when);
    moves
}

/// Walks through the stays from moment to moment.
struct Watch {
    stays: Vec<Stay>,
    /// Indices into `stays`, the last one first: by the day they open, and by what clears them.
    opening: Vec<usize>,
    clearing: Vec<usize>,
    /// The stays that count, by their line.
    open: BTreeMap<LineId, BTreeSet<usize>>,
}

impl Watch {
    fn new(stays: Vec<Stay>) -> Self {
        let mut opening: Vec<usize> = (0..stays.len()).collect();
        opening.sort_by_key(|stay| std::cmp::Reverse(stays[*stay].opens));
        let mut clearing: Vec<usize> = (0..stays.len())
            .filter(|stay| stays[*stay].clears.is_some())
            .collect();
        clearing.sort_by_key(|stay| std::cmp::Reverse(stays[*stay].clears));
        Self {
            stays,
            opening,
            clearing,
            open: BTreeMap::new(),
        }
    }

    /// The stays that count as open at a moment, the latest of each line; later moments only.
    fn open_at(&mut self, when: When) -> impl Iterator<Item = &Stay> {
        while let Some(stay) = self
            .opening
            .pop_if(|stay| self.stays[*stay].opens.day <= when.day)
        {
            self.open
                .entry(self.stays[stay].line)
                .or_default()
                .insert(stay);
        }
        while let Some(stay) = self
            .clearing
            .pop_if(|stay| self.stays[*stay].clears < Some(when))
        {
            let line = self.stays[stay].line;
            if let Some(of_line) = self.open.get_mut(&line) {
                of_line.remove(&stay);
                if of_line.is_empty() {
                    self.open.remove(&line);
                }
            }
        }
        self.open
            .values()
            .filter_map(|of_line| of_line.first())
            .map(|stay| &self.stays[*stay])
    }
}

/// Puts a move into words.
struct Teller<'a> {
    worked: &'a Results,
    jobs: &'a JobList,
}

impl Teller<'_> {
    fn moved(&self, job: &Job, said: &MentionRecord, open: &[&Stay]) -> (HoldEvent, Diagnostic) {
        let lines: Vec<HeldLine> = open
            .iter()
            .take(MOST_LINES)
            .map(|stay| self.line(stay, said.when()))
            .collect();
        let event = HoldEvent {
            kind: HoldEventKind::Moved,
            id: job.id.clone(),
            day: said.day,
            at: said.span,
            by: if said.by.is_empty() {
                job.by.clone()
            } else {
                said.by.clone()
            },
            limit: None,
            alone: false,
            why: None,
            more: open.len() - lines.len(),
            lines,
        };
        let warning = warning(&event);
        (event, warning)
    }

    fn line(&self, stay: &Stay, when: When) -> HeldLine {
        let stood = match stay.clears {
            Some(clears) if clears.day == when.day => Standing::ClearedBelow,
            _ if stay.opens.day < when.day => Standing::Before,
            _ => Standing::ThatDay,
        };
        let (id, why, at) = self.words(stay);
        HeldLine {
            kind: stay.line.kind,
            id,
            why,
            stood,
            at,
        }
    }

    /// The line's id, what kept it on the list from its first moment on, and the line of the book
    /// that put it there.
    fn words(&self, stay: &Stay) -> (String, String, Span) {
        let index = stay.line.index;
        match stay.line.kind {
            HoldKind::Temp => {
                let stopgap = &self.jobs.stopgaps[index];
                (stopgap.job.clone(), stopgap_why(stopgap), stopgap.span)
            }
            HoldKind::Check => {
                let check = &self.worked.checks[index];
                (
                    self.worked.text(check.name).to_owned(),
                    self.held_then(check, stay.opens),
                    check.rule.at,
                )
            }
            HoldKind::Job => {
                let job = &self.jobs.jobs[index];
                (
                    job.id.clone(),
                    job_why(job),
                    job.history.first().map_or(job.at, |said| said.span),
                )
            }
        }
    }

    fn held_then(&self, check: &Check, opens: When) -> String {
        let hold = check
            .holds
            .iter()
            .find(|(when, hold)| *when == opens && hold.is_on());
        let held =
            hold.and_then(|(_, hold)| held_by(self.worked, check, *hold, check.on_day(opens.day)));
        held.map_or_else(String::new, |(why, _)| why)
    }
}

fn warning(event: &HoldEvent) -> Diagnostic {
    let named = event
        .lines
        .iter()
        .take(MOST_SAID)
        .map(|line| format!("{} ({})", line.id, line.stood.words()));
    let mut named: Vec<String> = named.collect();
    if event.open() > named.len() {
        named.push(format!("and {} more", event.open() - named.len()));
    }
    let message = format!(
        "{} is the first move: the vehicle was {}: {}",
        event.id,
        event.words(),
        named.join(", ")
    );
    let warning = Diagnostic::warning(Slug::MovedOnHold, event.at, message)
        .expected("every line of the hold list cleared above this line; this stays in the record");
    event
        .lines
        .iter()
        .take(MOST_SAID)
        .fold(warning, |warning, line| {
            warning.see(line.at, format!("{}: {}", line.id, line.why))
        })
}
