//! The shop: parts.
mod figures;
pub use figures::{Figure, FigureValue, Figures};
