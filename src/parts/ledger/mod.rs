//! The parts ledger: where each part is, since when, what it cost, what is fitted.
//!
//! In: the [`Book`](crate::book::Book). Out: the [`Ledger`] and an error for every event that
//! cannot follow on where its part is, or that speaks of no known part. Such an event changes
//! nothing. Everything is worked out from the events in the order of the book, so the state at the
//! end of any day can be asked for.
//!
//! Where the format leaves room:
//! - `due day N` counts on `ordered` and on `sent back` (sent away to be put right, expected
//!   again).
//! - Ordering anew a part that was sent back, scrapped or taken off means another piece: what was
//!   altered on the old one does not follow it. Sent back and in again is the same piece.
//! - A part has one cost, the latest written. It is spent while the part is bought, was ordered or
//!   came in, and was not sent back; a scrapped part stays spent.

mod events;
mod keep;
mod model;
#[cfg(test)]
mod tests;
mod totals;

pub use events::PartState;
pub use keep::keep;
pub use model::{Altered, Ledger, PartEventRecord, PartHistory};
pub use totals::{FittedMass, GroupWorth, Spent};
