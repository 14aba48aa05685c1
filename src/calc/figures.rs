//! What the parts ledger gives to sums: figures that sums can name.
//!
//! In: nothing; the ledger fills these types. Out: [`Figures`], each with its line. A figure is
//! there from a place in the book on.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use crate::quantity::Literal;
use crate::source::Span;

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

impl Figure {
    /// Is it a total of the ledger, and no part's own figure?
    pub fn is_total(&self) -> bool {
        matches!(self.name.as_str(), FITTED | SPENT)
    }
}

/// The mass of what is fitted, as sums name it.
pub const FITTED: &str = "fitted.mass";
/// The money that is spent, as sums name it.
pub const SPENT: &str = "spent.total";

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
