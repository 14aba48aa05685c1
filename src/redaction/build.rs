//! The worked book without what somebody outside may not see.
//!
//! In: a build. Out: a build of the same shape, so that everything laid out from it, drawings and
//! workings as well, is made without what is not there. A line of sums whose value is withheld
//! keeps its place and its name.

use std::collections::BTreeSet;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::{Redactor, WITHHELD, prose};
use crate::book::{Book, DayLog, Entry, Parts};
use crate::build::Build;
use crate::calc::{
    Check, Choice, ChoiceHistory, ChoiceOutcome, Content, Defined, Exclusion, LineResult,
    NameHistory, NameId, OnMoney, Outcome, Results, Version, is_cost, on_money,
};
use crate::diagnostics::{Diagnostic, Severity, Slug};
use crate::drawings::{DrawingRequest, Drawings};
use crate::forecast::Forecast;
use crate::hold::{self, HoldEvent, HoldKind};
use crate::io::LastTexts;
use crate::jobs::JobList;
use crate::parts::ledger::Ledger;
use crate::source::Span;

/// Findings that everybody is told: what they are about makes a vehicle less safe than its figures
/// look.
const SAFETY: [Slug; 12] = [
    Slug::MovedOnHold,
    Slug::EasedLimit,
    Slug::ReplacedLimit,
    Slug::UnreadLine,
    Slug::DoubtfulFigure,
    Slug::OutOfOrder,
    Slug::MadeGood,
    Slug::ConditionInDoubt,
    Slug::NearDomainEdge,
    Slug::NoWindow,
    Slug::EmptyLimits,
    Slug::NoNumber,
];

/// What is withheld of the sums.
#[derive(Default)]
struct Removed {
    /// Names without any figure.
    names: BTreeSet<NameId>,
    /// Names that depend on a cost and stay all the same, for a hold check is on them; without what
    /// they are worked from.
    held: BTreeSet<NameId>,
    checks: BTreeSet<usize>,
    /// The lines that say nothing.
    lines: Vec<Span>,
}

pub(super) fn redacted(redactor: &Redactor, build: &Build) -> Build {
    let removed = if redactor.permissions.costs {
        Removed::default()
    } else {
        Removed::of(&build.worked)
    };
    let worked = removed.worked(&build.worked);
    let book = book(redactor, &build.book, &removed, &build.worked);
    let jobs = jobs(redactor, &build.jobs);
    Build {
        sources: build.sources.clone(),
        ledger: ledger(redactor, &build.ledger),
        hold: hold::on_day(&worked, &jobs, build.day()),
        jobs,
        hold_history: build
            .hold_history
            .iter()
            .map(|event| hold_event(redactor, event))
            .collect(),
        ahead: Arc::new(ahead(redactor, &build.ahead)),
        drawings: drawings(&removed, build, &worked),
        album: build.album.clone(),
        diagnostics: build
            .diagnostics
            .iter()
            .filter_map(|found| removed.finding(found))
            .collect(),
        current: build.current.clone(),
        last: LastTexts::new(),
        book,
        worked,
    }
}

impl Removed {
    fn of(worked: &Results) -> Self {
        let OnMoney { names, checks } = on_money(worked);
        let is_hold = |check: &usize| worked.checks.get(*check).is_some_and(|check| check.hold);
        let on_hold: BTreeSet<NameId> = worked
            .checks
            .iter()
            .filter(|check| check.hold)
            .map(|check| check.name)
            .collect();
        let (held, names) = names.into_iter().partition(|name| on_hold.contains(name));
        let checks = checks.into_iter().filter(|check| !is_hold(check)).collect();
        let mut removed = Self {
            names,
            held,
            checks,
            lines: Vec::new(),
        };
        let lines = worked.blocks.values().flat_map(|lines| lines.iter());
        removed.lines = lines
            .filter(|line| removed.name_of(worked, line).is_some())
            .map(|line| line.at)
            .collect();
        removed.lines.sort();
        removed
    }

    /// The name of a line that says nothing.
    fn name_of(&self, worked: &Results, line: &LineResult) -> Option<NameId> {
        match &line.outcome {
            Outcome::Value { name, .. } => self.names.contains(name).then_some(*name),
            Outcome::Check { check, .. } => self
                .checks
                .contains(check)
                .then(|| worked.checks[*check].name),
            Outcome::Remark | Outcome::Unread => None,
        }
    }

    fn worked(&self, worked: &Results) -> Results {
        let places = Places::without(&self.checks, worked.checks.len());
        let mut seen = worked.clone();
        seen.values = worked
            .values
            .iter()
            .enumerate()
            .map(|(index, story)| self.story(NameId(index as u32), story, &places))
            .collect();
        seen.checks = places.kept(&worked.checks);
        let choices = worked
            .choices
            .iter()
            .filter(|(name, _)| !self.names.contains(name) && !self.held.contains(name));
        seen.choices = choices
            .map(|(name, story)| (*name, places.choice_story(story)))
            .collect();
        let block = |lines: &Arc<[LineResult]>| {
            lines
                .iter()
                .map(|line| self.line(worked, line, &places))
                .collect()
        };
        seen.blocks = worked
            .blocks
            .iter()
            .map(|(place, lines)| (*place, block(lines)))
            .collect();
        for day in seen.days.iter_mut().map(Arc::make_mut) {
            day.moved.retain(|name| !self.names.contains(name));
            day.judged = day
                .judged
                .iter()
                .filter_map(|check| places.of(*check))
                .collect();
        }
        let names: BTreeSet<&str> = self.names.iter().map(|name| worked.text(*name)).collect();
        seen.origins.rename(|origin| {
            let of = origin.label.split(", a ").next().unwrap_or_default();
            names.contains(of).then(|| WITHHELD.to_owned())
        });
        seen
    }

    fn story(&self, name: NameId, story: &Arc<NameHistory>, places: &Places) -> Arc<NameHistory> {
        if self.names.contains(&name) {
            return Arc::new(NameHistory {
                hidden: true,
                ..NameHistory::default()
            });
        }
        if !self.held.contains(&name) && places.nothing_went {
            return Arc::clone(story);
        }
        let mut seen = NameHistory::clone(story);
        seen.checks = story
            .checks
            .iter()
            .filter_map(|check| places.of(*check))
            .collect();
        if self.held.contains(&name) {
            seen.prediction = None;
            seen.moments.iter_mut().for_each(without_formula);
        }
        Arc::new(seen)
    }

    fn line(&self, worked: &Results, line: &LineResult, places: &Places) -> LineResult {
        if let Some(name) = self.name_of(worked, line) {
            let remark = Some(format!("{}: {WITHHELD}", worked.text(name)));
            return LineResult {
                at: line.at,
                remark,
                outcome: Outcome::Remark,
            };
        }
        let mut seen = line.clone();
        match &mut seen.outcome {
            Outcome::Check { check, .. } => match places.of(*check) {
                Some(now) => *check = now,
                None => seen.outcome = Outcome::Remark,
            },
            // What a held value is worked from goes, and so does what was remarked of it.
            Outcome::Value { name, .. } if self.held.contains(name) => seen.remark = None,
            Outcome::Value { .. } | Outcome::Remark | Outcome::Unread => {}
        }
        seen
    }

    /// A finding that concerns safety; where its line says nothing, only what it is about.
    fn finding(&self, found: &Diagnostic) -> Option<Diagnostic> {
        if found.severity == Severity::Note || !SAFETY.contains(&found.slug) {
            return None;
        }
        let at = found.at;
        let on =
            |line: &Span| line.file == at.file && line.start <= at.start && at.start <= line.end;
        let withheld = self.lines.iter().any(on);
        let message = if withheld {
            found.slug.about().trim_end_matches('.')
        } else {
            &found.message
        };
        Some(Diagnostic {
            message: message.to_owned(),
            because: None,
            expected: None,
            instead: None,
            ..found.clone()
        })
    }
}

/// The moment without what it was worked from.
fn without_formula(moment: &mut Version) {
    let content = match (&moment.defined.content, moment.value()) {
        (Content::Formula { .. }, Some(value)) => {
            Content::Value(value.clone(), moment.unit.clone())
        }
        (Content::Formula { .. }, None) => Content::Unknown,
        (content, _) => content.clone(),
    };
    moment.defined = Arc::new(Defined {
        written: WITHHELD.to_owned(),
        remark: None,
        content,
        ..Defined::clone(&moment.defined)
    });
}

/// Where each check stands once some are gone.
struct Places {
    now: Vec<Option<usize>>,
    nothing_went: bool,
}

impl Places {
    fn without(removed: &BTreeSet<usize>, count: usize) -> Self {
        let mut next = 0;
        let mut place = |check: usize| {
            (!removed.contains(&check)).then(|| {
                next += 1;
                next - 1
            })
        };
        Self {
            now: (0..count).map(&mut place).collect(),
            nothing_went: removed.is_empty(),
        }
    }

    fn of(&self, check: usize) -> Option<usize> {
        self.now.get(check).copied().flatten()
    }

    fn kept(&self, checks: &[Arc<Check>]) -> Vec<Arc<Check>> {
        checks
            .iter()
            .zip(&self.now)
            .filter(|(_, now)| now.is_some())
            .map(|(check, _)| Arc::clone(check))
            .collect()
    }

    fn choice_story(&self, story: &Arc<ChoiceHistory>) -> Arc<ChoiceHistory> {
        let mut seen = ChoiceHistory::clone(story);
        seen.found.iter_mut().for_each(|choice| self.choice(choice));
        Arc::new(seen)
    }

    /// None of the checks of a choice that is still there went, for the choice would have gone with
    /// it.
    fn choice(&self, choice: &mut Choice) {
        let set = |check: &mut usize| *check = self.of(*check).unwrap_or_default();
        choice.checks.iter_mut().for_each(set);
        match &mut choice.outcome {
            ChoiceOutcome::Found(found) => {
                found
                    .handy
                    .iter_mut()
                    .flat_map(|handy| &mut handy.gives)
                    .for_each(|gives| set(&mut gives.check));
            }
            ChoiceOutcome::Nothing(Exclusion::Alone { check, .. }) => set(check),
            ChoiceOutcome::Nothing(Exclusion::Pair { first, second, .. }) => {
                [first, second].into_iter().for_each(set);
            }
            _ => {}
        }
    }
}

fn book(redactor: &Redactor, book: &Book, removed: &Removed, worked: &Results) -> Book {
    let anchors = prose::anchors(book);
    let withheld = |text: &str| !redactor.permissions.costs && is_withheld(text, removed, worked);
    let days = book.days.iter().map(|log| {
        let mut seen = DayLog::clone(log);
        seen.prose = prose::outside(
            &log.prose,
            &format!("{}.html", log.stem),
            &anchors,
            withheld,
        );
        seen.entries
            .iter_mut()
            .for_each(|entry| part_lines(redactor, entry));
        Arc::new(seen)
    });
    Book {
        days: days.collect(),
        parts: Arc::new(parts(redactor, &book.parts)),
        ..book.clone()
    }
}

/// Does a reference in the text show a value that is withheld?
fn is_withheld(text: &str, removed: &Removed, worked: &Results) -> bool {
    let name = match text.split_once('.') {
        Some((first, rest)) if first.starts_with("day") => rest,
        _ => text,
    };
    worked
        .names
        .find(name)
        .is_some_and(|id| removed.names.contains(&id))
        || is_cost(name)
}

fn part_lines(redactor: &Redactor, entry: &mut Entry) {
    let Entry::Parts(block) = entry else { return };
    for line in &mut block.lines {
        if let Some(event) = line.event.as_mut().filter(|_| !redactor.permissions.costs) {
            event.cost = None;
        }
    }
}

fn parts(redactor: &Redactor, parts: &Parts) -> Parts {
    let mut seen = parts.clone();
    for part in seen.values_mut() {
        // Long words are cut short in drawings, and a name cut short is found by nobody.
        part.what = redactor.remark(&part.what);
        if !redactor.permissions.costs {
            part.cost = None;
        }
        if !redactor.permissions.serials {
            part.serial = None;
        }
        if !redactor.permissions.suppliers {
            (part.from, part.number) = (None, None);
        }
    }
    seen
}

/// The jobs without names and sums of money. Titles are cut short in drawings, and a name cut short
/// is found by nobody; what a stopgap is goes into lines of the hold list, in which a check keeps
/// its figures, whatever they are of.
fn jobs(redactor: &Redactor, jobs: &JobList) -> JobList {
    let mut seen = jobs.clone();
    for job in seen.jobs.iter_mut().map(Arc::make_mut) {
        job.title = redactor.remark(&job.title);
        job.by = redactor.people(&job.by);
    }
    for stopgap in &mut seen.stopgaps {
        stopgap.why = redactor.remark(&stopgap.why);
    }
    seen
}

fn hold_event(redactor: &Redactor, event: &HoldEvent) -> HoldEvent {
    let mut seen = event.clone();
    seen.by = redactor.people(&event.by);
    seen.why = event.why.as_ref().map(|why| redactor.remark(why));
    for line in seen
        .lines
        .iter_mut()
        .filter(|line| line.kind == HoldKind::Temp)
    {
        line.why = redactor.remark(&line.why);
    }
    seen
}

fn ahead(redactor: &Redactor, ahead: &Forecast) -> Forecast {
    let mut seen = ahead.clone();
    seen.schedule
        .slots
        .iter_mut()
        .for_each(|slot| slot.by = redactor.people(&slot.by));
    seen
}

fn ledger(redactor: &Redactor, ledger: &Ledger) -> Ledger {
    let mut seen = ledger.clone();
    if !redactor.permissions.costs {
        seen.parts.values_mut().for_each(|part| part.cost = None);
        seen.happenings
            .iter_mut()
            .for_each(|happening| (happening.cost, happening.spent) = (None, Decimal::ZERO));
    }
    if !redactor.permissions.suppliers {
        seen.by_supplier.clear();
    }
    seen
}

/// The drawings of each block: without those about a name that is withheld, and without what the
/// spread of a held value comes from.
fn drawings(removed: &Removed, build: &Build, worked: &Results) -> Drawings {
    let may_be_seen = |asked: &DrawingRequest| {
        let comes_from = matches!(asked, DrawingRequest::Sources(_));
        let withheld = |name: &NameId| {
            removed.names.contains(name) || (comes_from && removed.held.contains(name))
        };
        !asked.names().iter().any(withheld) && asked.can_be_drawn(worked)
    };
    let mut seen = build.drawings.clone();
    for drawings in seen.values_mut() {
        drawings.retain(may_be_seen);
    }
    seen
}
