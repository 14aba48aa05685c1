//! The figures of parts that sums can name: `motor.mass`, `fitted.mass`, `spent.total`.
//!
//! In: the ledger. Out: what each figure is at the start, and how it changes at each `parts` block.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::quantity::Literal;
use crate::text::Span;

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
    /// The sum of other figures, by name: `fitted.mass`.
    Sum(Vec<String>),
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
