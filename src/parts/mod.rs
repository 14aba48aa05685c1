//! Bought, made and borrowed parts: their ledger, the figures that sums can name, what to order.
//!
//! In: a [`Book`](crate::book::Book). Out: a [`Ledger`](ledger::Ledger),
//! [`Figures`](figures::Figures) and [`Orders`](orders::Orders), each with its findings. Knows
//! nothing of values or pages.

pub mod figures;
pub mod ledger;
pub mod orders;
