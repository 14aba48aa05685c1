//! The figures of parts that sums can name: `motor.mass`, `fitted.mass`, `spent.total`.
//!
//! In: the ledger. Out: what each figure is at the start, and how it changes at each `parts` block.
//! Only what is known is a figure: a part without a mass has none, and does not count in
//! `fitted.mass` (the ledger names it). An altered part keeps its ratings; the ledger flags them.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use crate::book::{Book, Part, Supplied};
use crate::quantity::Literal;
use crate::shop::ledger::{Happening, Ledger, PartState};
use crate::text::{Sources, Span};

/// What a figure is from some place in the book on.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// The name sums use: `drive_motor.mass`.
    pub name: String,
    /// What it is.
    pub value: FigureValue,
    /// The line it comes from.
    pub span: Span,
}

/// A figure's value.
#[derive(Clone, Debug, PartialEq)]
pub enum FigureValue {
    /// A mass or a rating; a source of spread of its own.
    Quantity(Literal),
    /// An amount in the book's currency.
    Money(Decimal),
    /// `fitted.mass` from here on: it counts these figures more, and those no longer, by name.
    Fitted {
        /// The masses that came on.
        on: Vec<String>,
        /// The masses that went off.
        off: Vec<String>,
    },
    /// Something it needs is not known; the words say what.
    Unknown(String),
}

/// All figures, in the order of the book.
#[derive(Clone, Debug, Default)]
pub struct Figures {
    /// Before the first log.
    pub at_start: Vec<Figure>,
    /// What changed at a `parts` block: by index into the book's days and into that day's entries.
    pub changes: BTreeMap<(usize, usize), Vec<Figure>>,
}

/// Every figure of the book's parts, at the start and as the events of the ledger move it.
pub fn from(book: &Book, ledger: &Ledger) -> Figures {
    let mut tally = Tally::new(book);
    let mut changes = BTreeMap::new();
    for block in ledger.happenings.chunk_by(|a, b| a.place == b.place) {
        let moved = tally.block(block);
        if let (Some(first), false) = (block.first(), moved.is_empty()) {
            changes.insert(first.place, moved);
        }
    }
    Figures { at_start: at_start(book), changes }
}

fn at_start(book: &Book) -> Vec<Figure> {
    let top = Sources::top(book.sheet.file);
    let mut figures: Vec<Figure> = book.parts.iter().flat_map(|(id, part)| listed(id, part)).collect();
    figures.push(Figure {
        name: "fitted.mass".into(),
        value: FigureValue::Fitted { on: Vec::new(), off: Vec::new() },
        span: top,
    });
    figures.push(Figure { name: "spent.total".into(), value: FigureValue::Money(Decimal::ZERO), span: top });
    figures
}

/// What parts.yaml says of one part.
fn listed(id: &str, part: &Part) -> Vec<Figure> {
    let mass = part.mass.iter().map(|mass| ("mass", FigureValue::Quantity(mass.value.clone()), mass.span));
    let cost = part.cost.iter().map(|cost| ("cost", FigureValue::Money(cost.value), cost.span));
    let ratings = part
        .ratings
        .iter()
        .filter(|(key, _)| !matches!(key.as_str(), "mass" | "cost"))
        .map(|(key, rating)| (key.as_str(), FigureValue::Quantity(rating.value.clone()), rating.span));
    mass.chain(cost)
        .chain(ratings)
        .map(|(key, value, span)| Figure { name: format!("{id}.{key}"), value, span })
        .collect()
}

fn masses<'a>(ids: impl Iterator<Item = &'a &'a str>) -> Vec<String> {
    ids.map(|id| format!("{id}.mass")).collect()
}

/// What counts for the two sums, kept from block to block.
struct Tally<'a> {
    book: &'a Book,
    costs: BTreeMap<&'a str, Decimal>,
    fitted: BTreeSet<&'a str>,
    counted: BTreeSet<&'a str>,
    spent: Decimal,
}

impl<'a> Tally<'a> {
    fn new(book: &'a Book) -> Self {
        let costs = book.parts.iter().filter_map(|(id, part)| Some((id.as_str(), part.cost.as_ref()?.value)));
        Self { book, costs: costs.collect(), fitted: BTreeSet::new(), counted: BTreeSet::new(), spent: Decimal::ZERO }
    }

    /// What one block changed.
    fn block(&mut self, happenings: &'a [Happening]) -> Vec<Figure> {
        let touched: BTreeSet<&str> = happenings.iter().map(|happening| happening.part.as_str()).collect();
        let fitted: BTreeSet<&str> = self.fitted.intersection(&touched).copied().collect();
        let spent = self.spent;
        let mut changed: BTreeMap<String, Figure> = BTreeMap::new();
        let mut last_span = None;
        for happening in happenings {
            last_span = Some(happening.span);
            if let Some(figure) = self.happening(happening) {
                changed.insert(figure.name.clone(), figure);
            }
        }
        let mut figures: Vec<Figure> = changed.into_values().collect();
        let Some(span) = last_span else { return figures };
        let now_fitted: BTreeSet<&str> = self.fitted.intersection(&touched).copied().collect();
        if now_fitted != fitted {
            let (on, off) = (masses(now_fitted.difference(&fitted)), masses(fitted.difference(&now_fitted)));
            figures.push(Figure { name: "fitted.mass".into(), value: FigureValue::Fitted { on, off }, span });
        }
        if self.spent != spent {
            let value = FigureValue::Money(self.spent);
            figures.push(Figure { name: "spent.total".into(), value, span });
        }
        figures
    }

    /// Takes one event in; gives the part's cost where it changed.
    fn happening(&mut self, happening: &'a Happening) -> Option<Figure> {
        let id = happening.part.as_str();
        let part = self.book.parts.get(id)?;
        self.uncount(id);
        if let Some(cost) = happening.cost {
            self.costs.insert(id, cost);
        }
        if part.supplied == Supplied::Bought && !matches!(happening.state, PartState::Needed | PartState::SentBack) {
            self.count(id);
        }
        if happening.state == PartState::Fitted && part.mass.is_some() {
            self.fitted.insert(id);
        } else {
            self.fitted.remove(id);
        }
        let value = FigureValue::Money(happening.cost?);
        Some(Figure { name: format!("{id}.cost"), value, span: happening.span })
    }

    fn uncount(&mut self, id: &'a str) {
        if self.counted.remove(id) {
            self.spent = self.spent.saturating_sub(self.costs.get(id).copied().unwrap_or_default());
        }
    }

    fn count(&mut self, id: &'a str) {
        self.counted.insert(id);
        self.spent = self.spent.saturating_add(self.costs.get(id).copied().unwrap_or_default());
    }
}
