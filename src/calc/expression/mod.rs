//! Expressions: from a line's text to a tree with places.
//!
//! In: text and where it stands. Out: an [`Expr`] whose every node knows its place. `scan` reads
//! numbers, units and names and checks that the pieces fit; evalexpr then finds which operator
//! binds what; `tree` turns its answer into ours.

mod scan;
mod tree;

pub use tree::{Comparison, Expr, ExprKind, Input, Math, Operator, built_in};

pub(super) use scan::word_length;
pub(super) use tree::{Reader, heat};
