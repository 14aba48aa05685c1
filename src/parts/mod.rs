//! Bought, made and borrowed parts: their ledger and the figures that sums can name.
//!
//! In: a [`Book`](crate::book::Book). Out: a [`Ledger`](ledger::Ledger)
//! and [`Figures`](crate::calc::Figures), each with its findings. Knows nothing of jobs or pages.

pub mod figures;
pub mod ledger;
pub(crate) mod unknown;
