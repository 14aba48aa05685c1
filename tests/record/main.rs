//! The written record, as a browser and the crew find it.
//!
//! In: the example book and small books, written up by the program itself. Out: tests over the
//! files.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]
#![allow(clippy::disallowed_types, reason = "tests look at a file's time")]

mod bounded;
mod escape;
mod hours;
mod light;
mod limits;
mod links;
mod orders;
mod same;
mod search;
mod shown;
mod written;
