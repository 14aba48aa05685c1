//! The figures of parts that sums can name: `motor.mass`, `fitted.mass`, `spent.total`.
//!
//! In: the ledger. Out: what each figure is at the start, and how it changes at each `parts` block.
//! Only what is known is a figure: a part without a mass has none, and does not count in
//! `fitted.mass` (the ledger names it). An altered part keeps its ratings; the ledger flags them.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use rust_decimal::Decimal;

use crate::book::{Book, Part};
use crate::calc::{FITTED, Figure, FigureValue, Figures, SPENT};
use crate::parts::ledger::{Ledger, PartEventRecord, PartState};
use crate::source::Sources;

/// Every figure of the book's parts, at the start and as the events of the ledger move it.
pub fn from(book: &Book, ledger: &Ledger) -> Figures {
    from_day(book, ledger, 0)
}

/// The same for whoever knows what stood before the day with that index in the book: what moves
/// from then on.
pub fn from_day(book: &Book, ledger: &Ledger, first: usize) -> Figures {
    let earlier = ledger
        .happenings
        .partition_point(|happening| happening.place.0 < first);
    let mut changes = BTreeMap::new();
    let mut from = earlier;
    for block in ledger.happenings[earlier..].chunk_by(|a, b| a.place == b.place) {
        let moved = block_of(book, ledger, from..from + block.len());
        if let (Some(first), false) = (block.first(), moved.is_empty()) {
            changes.insert(first.place, moved);
        }
        from += block.len();
    }
    Figures {
        at_start: if first == 0 {
            at_start(book)
        } else {
            Vec::new()
        },
        changes,
    }
}

fn at_start(book: &Book) -> Vec<Figure> {
    let top = Sources::top(book.sheet.file);
    let mut figures: Vec<Figure> = book
        .parts
        .iter()
        .flat_map(|(id, part)| listed(id, part))
        .collect();
    figures.push(Figure {
        name: FITTED.into(),
        value: FigureValue::Fitted {
            on: Vec::new(),
            off: Vec::new(),
        },
        span: top,
    });
    figures.push(Figure {
        name: SPENT.into(),
        value: FigureValue::Money(Decimal::ZERO),
        span: top,
    });
    figures
}

/// What parts.yaml says of one part.
fn listed(id: &str, part: &Part) -> Vec<Figure> {
    let mass = part
        .mass
        .iter()
        .map(|mass| ("mass", FigureValue::Quantity(mass.value.clone()), mass.span));
    let cost = part
        .cost
        .iter()
        .map(|cost| ("cost", FigureValue::Money(cost.value), cost.span));
    let ratings = part
        .ratings
        .iter()
        .filter(|(key, _)| !matches!(key.as_str(), "mass" | "cost"))
        .map(|(key, rating)| {
            (
                key.as_str(),
                FigureValue::Quantity(rating.value.clone()),
                rating.span,
            )
        });
    mass.chain(cost)
        .chain(ratings)
        .map(|(key, value, span)| Figure {
            name: format!("{id}.{key}"),
            value,
            span,
        })
        .collect()
}

/// What the events of one block changed; `events` are their places among all that happened.
fn block_of(book: &Book, ledger: &Ledger, events: Range<usize>) -> Vec<Figure> {
    let block = &ledger.happenings[events.clone()];
    let Some(span) = block.last().map(|last| last.span) else {
        return Vec::new();
    };
    let mut figures = costs(block);
    let touched: BTreeSet<&str> = block
        .iter()
        .map(|happening| happening.part.as_str())
        .collect();
    let weighed = touched
        .into_iter()
        .filter(|id| book.parts.get(*id).is_some_and(|part| part.mass.is_some()));
    let is_fitted = |id, events| {
        ledger
            .last_within(id, events)
            .is_some_and(|last| last.state == PartState::Fitted)
    };
    let moved = weighed.map(|id| (id, is_fitted(id, events.start), is_fitted(id, events.end)));
    let moved: Vec<(&str, bool, bool)> = moved.filter(|(_, was, is)| was != is).collect();
    if !moved.is_empty() {
        let masses = |on: bool| {
            moved
                .iter()
                .filter(|(.., is)| *is == on)
                .map(|(id, ..)| format!("{id}.mass"))
                .collect()
        };
        let value = FigureValue::Fitted {
            on: masses(true),
            off: masses(false),
        };
        figures.push(Figure {
            name: FITTED.into(),
            value,
            span,
        });
    }
    let spent = |events: usize| {
        ledger.happenings[..events]
            .last()
            .map_or(Decimal::ZERO, |last| last.spent)
    };
    if spent(events.start) != spent(events.end) {
        let value = FigureValue::Money(spent(events.end));
        figures.push(Figure {
            name: SPENT.into(),
            value,
            span,
        });
    }
    figures
}

/// The costs that a block gives, by the name of their figure; the last line on a part stands.
fn costs(block: &[PartEventRecord]) -> Vec<Figure> {
    let figure = |happening: &PartEventRecord| {
        let (name, value) = (
            format!("{}.cost", happening.part),
            FigureValue::Money(happening.cost?),
        );
        Some((
            name.clone(),
            Figure {
                name,
                value,
                span: happening.span,
            },
        ))
    };
    block
        .iter()
        .filter_map(figure)
        .collect::<BTreeMap<_, _>>()
        .into_values()
        .collect()
}
