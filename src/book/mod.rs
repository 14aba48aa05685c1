//! The book as plain data: what the crew wrote, parsed and placed, not yet worked out.
//!
//! In: [`Sources`](crate::text::Sources). Out: a [`Book`] and what is wrong with it. Knows nothing of
//! values: sums stay lines of text with their places. One bad line never hides the next, and
//! whatever could be read is in the [`Book`].

mod model;

pub use model::*;
