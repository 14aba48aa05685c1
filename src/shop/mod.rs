//! The shop's two books: the job list (done against planned) and the parts ledger.
//!
//! In: a [`Book`](crate::book::Book). Out: a [`Ledger`](ledger::Ledger), the
//! [`Figures`](figures::Figures) that sums can name, and a [`JobList`](jobs::JobList), each with
//! what is wrong. Knows nothing of values or pages. The ledger comes first: jobs ask it where parts
//! are.

pub mod ahead;
pub mod cautions;
pub mod doubts;
pub mod figures;
pub mod hands;
pub mod hold;
pub mod jobs;
pub mod ledger;
pub mod orders;
#[cfg(test)]
mod testing;
pub mod tomorrow;
mod unknown;
