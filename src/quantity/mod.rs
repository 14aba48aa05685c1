//! Physical quantities: dimensions, units, written values, and values that carry their spread.
//!
//! In: text such as `3.4 ± 0.4 deg`. Out: quantities in SI, and text again. Knows nothing of books.
//! A quantity is always finite, and a spread is never negative.

mod amount;
pub mod data;
mod dimension;
pub mod format;
mod literal;
pub mod printed;
mod unit;
mod unknown;
mod value;

pub use amount::{Amount, NumberContext};
pub use dimension::Dimension;
pub use literal::{Literal, LiteralError};
pub use unit::{Unit, UnitFault, Units};
pub use value::{Sides, SourceId, TemperatureKind, Term, Value};

pub(crate) use amount::{decimal_comma, first_in as first_amount};
pub(crate) use literal::{lower_side, plus_minus};
