//! Physical quantities: dimensions, units, literals, and values that carry their spread.
//!
//! In: text such as `3.4 ± 0.4 deg`. Out: quantities in SI, and text again. Knows nothing of books.
//! A quantity is always finite, and a spread is never negative.

mod dimension;
mod literal;
mod unit;

pub use dimension::Dimension;
pub use literal::{Fault, Literal};
pub use unit::{Unit, Units};
