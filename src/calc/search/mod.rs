//! Searching: where checks are in limits along one value, and which pieces of stock make a sum.
//!
//! In: margins as a function of the value, or sizes and counts. Out: windows, or pieces. Knows
//! nothing of names or books.

mod stock;
mod windows;

pub(super) use stock::picks;
pub(super) use windows::{best, highest, windows};

/// A stretch of values, both ends belonging to it.
pub(super) type Window = (f64, f64);
