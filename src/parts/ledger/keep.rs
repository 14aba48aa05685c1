//! Keeping the ledger: the events of the logs, one after the other.
//!
//! In: the book. Out: the ledger, and what is wrong with its events.

use rust_decimal::Decimal;

use super::{Altered, Ledger, PartEventRecord, PartHistory, PartState};
use crate::book::{Book, Entry, EventKind, Part, PartEvent};
use crate::diagnostics::{Diagnostic, Slug};
use crate::parts::unknown;
use crate::source::Span;

/// Works the ledger out from the parts and the events of the logs.
pub fn keep(book: &Book) -> (Ledger, Vec<Diagnostic>) {
    let mut keeper = entered(book);
    keeper.ledger.add_up(book);
    (keeper.ledger, keeper.wrong)
}

/// Every event of the logs, one after the other.
fn entered(book: &Book) -> Keeper<'_> {
    let mut keeper = Keeper::new(book);
    for (log, day) in book.days.iter().enumerate() {
        for (index, entry) in day.entries.iter().enumerate() {
            let Entry::Parts(block) = entry else { continue };
            for line in &block.lines {
                if let Some(event) = &line.event {
                    keeper.enter(
                        event,
                        &At {
                            day: day.day,
                            place: (log, index),
                            span: line.line.span,
                        },
                    );
                }
            }
        }
    }
    keeper
}

/// Where a line stands.
struct At {
    day: u32,
    place: (usize, usize),
    span: Span,
}

struct Keeper<'a> {
    book: &'a Book,
    ledger: Ledger,
    /// What is spent so far.
    spent: Decimal,
    wrong: Vec<Diagnostic>,
}

impl<'a> Keeper<'a> {
    fn new(book: &'a Book) -> Self {
        let parts = book
            .parts
            .iter()
            .map(|(id, part)| (id.clone(), before_the_first_day(part)));
        let ledger = Ledger {
            day: book.days.last().map_or(0, |log| log.day),
            parts: parts.collect(),
            ..Ledger::default()
        };
        Self {
            book,
            ledger,
            spent: Decimal::ZERO,
            wrong: Vec::new(),
        }
    }

    fn enter(&mut self, event: &PartEvent, at: &At) {
        let Some(part) = self.book.parts.get(&event.id.value) else {
            self.wrong
                .push(unknown::part(&event.id, &self.book.parts, self.wrong.len()));
            return;
        };
        let Some(story) = self.ledger.parts.get_mut(&event.id.value) else {
            return;
        };
        match story.state.after(event.what.value) {
            Some(next) => {
                self.wrong
                    .extend(costs_less(event, story, &self.ledger.happenings));
                self.spent = self.spent.saturating_sub(story.spent());
                story.take(event, next, part, at);
                self.spent = self.spent.saturating_add(story.spent());
                story.history.push(self.ledger.happenings.len());
                self.ledger
                    .happenings
                    .push(story.put_down(event, at, self.spent));
            }
            None => self
                .wrong
                .push(cannot_follow(event, story, &self.ledger.happenings)),
        }
    }
}

fn before_the_first_day(part: &Part) -> PartHistory {
    PartHistory {
        cost: part.cost.as_ref().map(|cost| cost.value),
        mass: part.mass.as_ref().map(|mass| mass.value.nominal),
        supplied: part.supplied,
        lead: part.lead,
        ..PartHistory::default()
    }
}

impl PartHistory {
    /// Takes over what an event that can happen says.
    fn take(&mut self, event: &PartEvent, next: PartState, part: &Part, at: &At) {
        let another_piece =
            event.what.value == EventKind::Ordered && self.state != PartState::Ordered;
        if event.what.value == EventKind::Altered {
            self.altered = Some(Altered {
                day: at.day,
                span: at.span,
                why: event.remark.clone(),
            });
        } else if another_piece {
            self.altered = None;
        }
        if next != self.state || self.since_day.is_none() {
            self.since_day = Some(at.day);
        }
        self.due_day = due(event, part, at.day);
        self.cost = event.cost.as_ref().map(|cost| cost.value).or(self.cost);
        self.state = next;
    }

    fn put_down(&self, event: &PartEvent, at: &At, spent: Decimal) -> PartEventRecord {
        PartEventRecord {
            part: event.id.value.clone(),
            day: at.day,
            place: at.place,
            span: at.span,
            event: event.what.value,
            state: self.state,
            since_day: self.since_day.unwrap_or(at.day),
            due_day: self.due_day,
            cost: event.cost.as_ref().map(|cost| cost.value),
            spent,
            remark: event.remark.clone(),
            altered: self.altered.is_some(),
        }
    }
}

/// The day the part is expected on after an event.
fn due(event: &PartEvent, part: &Part, day: u32) -> Option<u32> {
    match event.what.value {
        EventKind::Ordered => event.due.or_else(|| Some(day.saturating_add(part.lead?))),
        EventKind::SentBack => event.due,
        _ => None,
    }
}

/// A note on an order that costs less than the part did after an earlier order: it may be for one
/// piece of several.
fn costs_less(
    event: &PartEvent,
    story: &PartHistory,
    happenings: &[PartEventRecord],
) -> Option<Diagnostic> {
    let again = event.what.value == EventKind::Ordered && story.state != PartState::Needed;
    let (now, before) = (event.cost.as_ref().filter(|_| again)?, story.cost?);
    if now.value >= before {
        return None;
    }
    let id = &event.id.value;
    let message = format!(
        "the cost of {id} was {before}, and from this order on it is {}",
        now.value
    );
    let found = Diagnostic::note(Slug::BadEvent, now.span, message).expected(format!(
        "the cost of all of it; if only some pieces are ordered again, a part of its own for them, for example {id}_2"
    ));
    Some(
        match story.history.last().and_then(|last| happenings.get(*last)) {
            Some(last) => found.see(last.span, happened(last)),
            None => found,
        },
    )
}

fn cannot_follow(
    event: &PartEvent,
    story: &PartHistory,
    happenings: &[PartEventRecord],
) -> Diagnostic {
    let (id, what) = (&event.id.value, event.what.value.words());
    let state = story.state;
    let message = match story.since_day {
        Some(day) => format!(
            "`{id}` cannot be {what}: it has been {} since day {day}",
            state.words()
        ),
        None => format!("`{id}` cannot be {what}: it is needed and has no event yet"),
    };
    let can_be: Vec<&str> = state.can_be().map(EventKind::words).collect();
    let first = state.missing_before(event.what.value);
    let found = Diagnostic::error(Slug::WrongEvent, event.what.span, message)
        .expected(format!("one of {}", can_be.join(", ")))
        .maybe_instead(first.map(|first| format!("{id}: {}\n{id}: {what}", first.words())));
    match story.history.last().and_then(|last| happenings.get(*last)) {
        Some(last) => found.see(last.span, happened(last)),
        None => found,
    }
}

fn happened(last: &PartEventRecord) -> String {
    match last.event {
        EventKind::In => format!("{} came in here", last.part),
        event => format!("{} was {} here", last.part, event.words()),
    }
}
