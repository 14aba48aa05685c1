//! The record: what the pages show, as plain data.
//!
//! In: the worked book. Out: what a page needs, ready to print. Knows nothing of files.

pub mod drawing;
