//! What the ledger holds, and what can be asked of it.
//!
//! In: what [`keep`](super::keep) put down. Out: states by day, what happened.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::{FittedMass, GroupWorth, PartState, Spent};
use crate::book::{EventKind, Supplied};
use crate::source::Span;

/// Every part and what happened to it.
#[derive(Clone, Debug, Default)]
pub struct Ledger {
    /// The latest day with a log; 0 before the first.
    pub day: u32,
    /// The parts of the book, by id.
    pub parts: BTreeMap<String, PartHistory>,
    /// Everything that happened, in the order of the book.
    pub happenings: Vec<PartEventRecord>,
    /// What is fitted now.
    pub fitted: FittedMass,
    /// What is spent now.
    pub spent: Spent,
    /// What came from each supplier, by name; parts without one under `None`.
    pub by_supplier: BTreeMap<Option<String>, GroupWorth>,
    /// What was bought, given, lent, owned.
    pub by_supplied: BTreeMap<Supplied, GroupWorth>,
}

/// One part: where it is now, and how it came there.
#[derive(Clone, Debug, Default)]
pub struct PartHistory {
    /// Where it is.
    pub state: PartState,
    /// The day it came to be there; `None` while nothing has happened.
    pub since_day: Option<u32>,
    /// The day it is to come in, while it is awaited.
    pub due_day: Option<u32>,
    /// What it costs: the latest event's cost, else the listed one.
    pub cost: Option<Decimal>,
    /// Mass in kg, where it is known.
    pub mass: Option<f64>,
    /// How it came to the crew.
    pub supplied: Supplied,
    /// Days from an order to the day it is in, if they are known.
    pub lead: Option<u32>,
    /// Its ratings no longer stand, and why.
    pub altered: Option<Altered>,
    /// Indices into [`Ledger::happenings`], in order.
    pub history: Vec<usize>,
}

/// A part was cut, drilled or machined.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Altered {
    /// The day.
    pub day: u32,
    /// The line that says so.
    pub span: Span,
    /// What was done, in the crew's words.
    pub why: Option<String>,
}

/// One event that happened.
#[derive(Clone, Debug, PartialEq)]
pub struct PartEventRecord {
    /// The part.
    pub part: String,
    /// The day.
    pub day: u32,
    /// Index of the log in the book's days, and of the block in that log's entries.
    pub place: (usize, usize),
    /// The line.
    pub span: Span,
    /// What happened.
    pub event: EventKind,
    /// Where the part was after it.
    pub state: PartState,
    /// Since when it is there.
    pub since_day: u32,
    /// The due day that stands after it.
    pub due_day: Option<u32>,
    /// The cost the line gives.
    pub cost: Option<Decimal>,
    /// What is spent on all parts after it.
    pub spent: Decimal,
    /// What else the line says.
    pub remark: Option<String>,
    /// The ratings of the piece do not stand after it.
    pub altered: bool,
}

impl PartHistory {
    /// Does somebody still have to order it?
    pub fn is_to_order(&self) -> bool {
        matches!(
            self.state,
            PartState::Needed | PartState::SentBack | PartState::Scrapped
        ) && self.due_day.is_none()
            && (self.supplied == Supplied::Bought || self.lead.is_some())
    }

    /// The day it can be expected on if it is not here; to be ordered today, if it has to be.
    /// Without a lead time it is expected today.
    pub fn expected(&self, today: u32) -> u32 {
        let ordered_today =
            || today.saturating_add(self.lead.filter(|_| self.is_to_order()).unwrap_or(0));
        self.due_day.unwrap_or_else(ordered_today)
    }

    /// What is spent on it, as far as its cost is known.
    pub fn spent(&self) -> Decimal {
        self.cost.filter(|_| self.is_spent()).unwrap_or_default()
    }

    /// Is its cost spent?
    pub fn is_spent(&self) -> bool {
        self.supplied == Supplied::Bought
            && !matches!(self.state, PartState::Needed | PartState::SentBack)
    }
}

impl Ledger {
    /// What happened to a part, in order.
    pub fn history(&self, part: &str) -> impl DoubleEndedIterator<Item = &PartEventRecord> {
        let indices = self.parts.get(part).map_or(&[][..], |story| &story.history);
        indices
            .iter()
            .filter_map(|index| self.happenings.get(*index))
    }

    /// The last thing that happened to a part by the end of a day.
    pub fn last_by(&self, part: &str, day: u32) -> Option<&PartEventRecord> {
        self.last_while(part, |event| self.happenings[event].day <= day)
    }

    /// The last thing that happened to a part in so many events of the ledger.
    pub fn last_within(&self, part: &str, events: usize) -> Option<&PartEventRecord> {
        self.last_while(part, |event| event < events)
    }

    fn last_while(&self, part: &str, is_early: impl Fn(usize) -> bool) -> Option<&PartEventRecord> {
        let history = &self.parts.get(part)?.history;
        let upto = history.partition_point(|event| is_early(*event));
        history[..upto].last().map(|event| &self.happenings[*event])
    }

    /// Where a part is at the end of a day; `None` where the book has no such part.
    pub fn state_on(&self, part: &str, day: u32) -> Option<PartState> {
        self.parts.get(part)?;
        Some(
            self.last_by(part, day)
                .map_or(PartState::Needed, |last| last.state),
        )
    }

    /// Do a part's ratings no longer stand at the end of a day?
    pub fn altered_on(&self, part: &str, day: u32) -> bool {
        self.last_by(part, day).is_some_and(|last| last.altered)
    }

    /// What happened on a day, in the order of its log.
    pub fn on_day(&self, day: u32) -> &[PartEventRecord] {
        let from = self
            .happenings
            .partition_point(|happening| happening.day < day);
        let to = self
            .happenings
            .partition_point(|happening| happening.day <= day);
        &self.happenings[from..to]
    }
}
