//! The worked book without what somebody outside may not see.
//!
//! In: a build. Out: a build of the same shape, so that everything laid out from it, drawings and
//! workings as well, is made without what is not there. A line of sums whose value is withheld
//! keeps its place and its name.

use std::collections::BTreeSet;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::{Veil, WITHHELD, prose};
use crate::book::{Book, DayLog, Entry, Parts};
use crate::build::Build;
use crate::calc::{
    Check, Choice, ChoiceOutcome, ChoiceStory, Content, Defined, Exclusion, Moment, NameId,
    NameStory, OnMoney, Outcome, Worked, WorkedLine, is_cost, on_money,
};
use crate::diagnostics::{Diagnostic, Severity, Slug};
use crate::drawings::{Asked, Drawings};
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
struct Gone {
    /// Names without any figure.
    names: BTreeSet<NameId>,
    /// Names that hang on a cost and stay all the same, for a hold check is on them; without what
    /// they are worked from.
    held: BTreeSet<NameId>,
    checks: BTreeSet<usize>,
    /// The lines that say nothing.
    lines: Vec<Span>,
}

pub(super) fn veiled(veil: &Veil, build: &Build) -> Build {
    let gone = if veil.sight.costs {
        Gone::default()
    } else {
        Gone::of(&build.worked)
    };
    let worked = gone.worked(&build.worked);
    let book = book(veil, &build.book, &gone, &build.worked);
    let jobs = jobs(veil, &build.jobs);
    Build {
        sources: build.sources.clone(),
        ledger: ledger(veil, &build.ledger),
        hold: hold::on_day(&worked, &jobs, build.day()),
        jobs,
        hold_history: build
            .hold_history
            .iter()
            .map(|event| hold_event(veil, event))
            .collect(),
        ahead: Arc::new(ahead(veil, &build.ahead)),
        drawings: drawings(&gone, build, &worked),
        album: build.album.clone(),
        diagnostics: build
            .diagnostics
            .iter()
            .filter_map(|found| gone.finding(found))
            .collect(),
        current: build.current.clone(),
        last: LastTexts::new(),
        book,
        worked,
    }
}

impl Gone {
    fn of(worked: &Worked) -> Self {
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
        let mut gone = Self {
            names,
            held,
            checks,
            lines: Vec::new(),
        };
        let lines = worked.blocks.values().flat_map(|lines| lines.iter());
        gone.lines = lines
            .filter(|line| gone.name_of(worked, line).is_some())
            .map(|line| line.at)
            .collect();
        gone.lines.sort();
        gone
    }

    /// The name of a line that says nothing.
    fn name_of(&self, worked: &Worked, line: &WorkedLine) -> Option<NameId> {
        match &line.outcome {
            Outcome::Value { name, .. } => self.names.contains(name).then_some(*name),
            Outcome::Check { check, .. } => self
                .checks
                .contains(check)
                .then(|| worked.checks[*check].name),
            Outcome::Remark | Outcome::Unread => None,
        }
    }

    fn worked(&self, worked: &Worked) -> Worked {
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
        let block = |lines: &Arc<[WorkedLine]>| {
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

    fn story(&self, name: NameId, story: &Arc<NameStory>, places: &Places) -> Arc<NameStory> {
        if self.names.contains(&name) {
            return Arc::new(NameStory {
                hidden: true,
                ..NameStory::default()
            });
        }
        if !self.held.contains(&name) && places.nothing_went {
            return Arc::clone(story);
        }
        let mut seen = NameStory::clone(story);
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

    fn line(&self, worked: &Worked, line: &WorkedLine, places: &Places) -> WorkedLine {
        if let Some(name) = self.name_of(worked, line) {
            let remark = Some(format!("{}: {WITHHELD}", worked.text(name)));
            return WorkedLine {
                at: line.at,
                remark,
                outcome: Outcome::Remark,
            };
        }
        let mut seen = line.clone();
        match &mut seen.outcome {
            Outcome::Check { check, .. } => *check = places.of(*check).unwrap_or_default(),
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
fn without_formula(moment: &mut Moment) {
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
    fn without(gone: &BTreeSet<usize>, count: usize) -> Self {
        let mut next = 0;
        let mut place = |check: usize| {
            (!gone.contains(&check)).then(|| {
                next += 1;
                next - 1
            })
        };
        Self {
            now: (0..count).map(&mut place).collect(),
            nothing_went: gone.is_empty(),
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

    fn choice_story(&self, story: &Arc<ChoiceStory>) -> Arc<ChoiceStory> {
        let mut seen = ChoiceStory::clone(story);
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

fn book(veil: &Veil, book: &Book, gone: &Gone, worked: &Worked) -> Book {
    let anchors = prose::anchors(book);
    let withheld = |text: &str| !veil.sight.costs && is_withheld(text, gone, worked);
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
            .for_each(|entry| part_lines(veil, entry));
        Arc::new(seen)
    });
    Book {
        days: days.collect(),
        parts: Arc::new(parts(veil, &book.parts)),
        ..book.clone()
    }
}

/// Does a reference in the text show a value that is withheld?
fn is_withheld(text: &str, gone: &Gone, worked: &Worked) -> bool {
    let name = match text.split_once('.') {
        Some((first, rest)) if first.starts_with("day") => rest,
        _ => text,
    };
    worked
        .names
        .find(name)
        .is_some_and(|id| gone.names.contains(&id))
        || is_cost(name)
}

fn part_lines(veil: &Veil, entry: &mut Entry) {
    let Entry::Parts(block) = entry else { return };
    for line in &mut block.lines {
        if let Some(event) = line.event.as_mut().filter(|_| !veil.sight.costs) {
            event.cost = None;
        }
    }
}

fn parts(veil: &Veil, parts: &Parts) -> Parts {
    let mut seen = parts.clone();
    for part in seen.values_mut() {
        // Long words are cut short in drawings, and a name cut short is found by nobody.
        part.what = veil.remark(&part.what);
        if !veil.sight.costs {
            part.cost = None;
        }
        if !veil.sight.serials {
            part.serial = None;
        }
        if !veil.sight.suppliers {
            (part.from, part.number) = (None, None);
        }
    }
    seen
}

/// The jobs without names and sums of money. Titles are cut short in drawings, and a name cut short
/// is found by nobody; what a stopgap is goes into lines of the hold list, in which a check keeps
/// its figures, whatever they are of.
fn jobs(veil: &Veil, jobs: &JobList) -> JobList {
    let mut seen = jobs.clone();
    for job in seen.jobs.iter_mut().map(Arc::make_mut) {
        job.title = veil.remark(&job.title);
        job.by = veil.people(&job.by);
    }
    for stopgap in &mut seen.stopgaps {
        stopgap.why = veil.remark(&stopgap.why);
    }
    seen
}

fn hold_event(veil: &Veil, event: &HoldEvent) -> HoldEvent {
    let mut seen = event.clone();
    seen.by = veil.people(&event.by);
    seen.why = event.why.as_ref().map(|why| veil.remark(why));
    for line in seen
        .lines
        .iter_mut()
        .filter(|line| line.kind == HoldKind::Temp)
    {
        line.why = veil.remark(&line.why);
    }
    seen
}

fn ahead(veil: &Veil, ahead: &Forecast) -> Forecast {
    let mut seen = ahead.clone();
    seen.schedule
        .slots
        .iter_mut()
        .for_each(|slot| slot.by = veil.people(&slot.by));
    seen
}

fn ledger(veil: &Veil, ledger: &Ledger) -> Ledger {
    let mut seen = ledger.clone();
    if !veil.sight.costs {
        seen.parts.values_mut().for_each(|part| part.cost = None);
        seen.happenings
            .iter_mut()
            .for_each(|happening| (happening.cost, happening.spent) = (None, Decimal::ZERO));
    }
    if !veil.sight.suppliers {
        seen.by_supplier.clear();
    }
    seen
}

/// The drawings of each block: without those about a name that is withheld, and without what the
/// spread of a held value comes from.
fn drawings(gone: &Gone, build: &Build, worked: &Worked) -> Drawings {
    let may_be_seen = |asked: &Asked| {
        let comes_from = matches!(asked, Asked::Sources(_));
        let withheld =
            |name: &NameId| gone.names.contains(name) || (comes_from && gone.held.contains(name));
        !asked.names().iter().any(withheld) && asked.can_be_drawn(worked)
    };
    let mut seen = build.drawings.clone();
    for drawings in seen.values_mut() {
        drawings.retain(may_be_seen);
    }
    seen
}
