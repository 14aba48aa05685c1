//! Findings, written out: for a terminal, a line each, as data, as SARIF.
//!
//! In: diagnostics and the sources they speak of. Out: text or data to serialize. No renderer knows
//! which stage found what. What a book holds reaches a terminal only as [`visible`] characters.

mod excerpt;
pub mod json;
pub mod lines;
pub mod sarif;
pub mod terminal;
mod visible;

pub use visible::visible;
