//! The job list: what was done against what was planned, day by day.
//!
//! In: the [`Book`](crate::book::Book) and its ledger (`needs` asks where parts are). Out: the
//! [`JobList`] and what is wrong. Each day balances:
//! planned + added + early = done + carried + dropped, over the jobs of that day's list.
//!
//! Where the format leaves room:
//! - A dropped job is taken up again by a mention that is ticked or says `again`, `held up`,
//!   `takes` or `took`: it is added that day, like a done job that is opened again. Any other
//!   mention is a remark.
//! - `took` counts on the day it is written, whatever the job's state; only a tick that is an error
//!   does not. Hours written with `again` are already those of the second time.
//! - Hours planned for a day are what was left of each job that morning. They use `takes` as it is
//!   at the end of the day, because a later one replaces it from that day.
//! - A tick that is also `dropped` is dropped; a tick that is also `held up` is done.
//! - `temp` counts on a done job too, for it is about the vehicle; in the plan it counts from the
//!   job's first mention in a log that is ticked or says `took`, `again` or `made good`. What else
//!   has happened (`took`, `again`, `held up`, `dropped`, `made good`) is not read in the plan,
//!   where nothing has happened yet.
//! - `follows`, `needs` and cautions of later mentions add to the earlier ones.
//! - A job planned twice is planned where it stands first.
//! - A job added under an id that is a slip away from another's, with nearly the same title, is
//!   added with a warning.
//! - A part that was taken off is in the shop: it is there for a job that needs it.

pub mod hands;
mod hours;
mod list;
mod mention;
mod misspelt;
mod model;
mod order;
pub mod orders;
mod stopgap;
#[cfg(test)]
mod tests;
mod unknown;
mod work;

pub use hours::{LEAST_PART, left, sharing, total};
pub use list::{Came, DayList, JobList, Row};
pub use model::{Job, JobState, MentionRecord};
pub use stopgap::{MadeGood, Stopgap};
pub use work::{JobCache, work_through, work_through_again};
