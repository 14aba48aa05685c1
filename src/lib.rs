//! Shimbook: a plain-text build-book compiler.
//!
//! A crew writes Markdown day logs with fenced sums; the stages below turn a folder of them into a
//! linked record with worked, checked and traceable numbers:
//!
//! `desk` (read) → `text`, `prose`, `book` (parse) → `shop` ledger → `calc` (work out, judge) →
//! `shop` (jobs, hold list) → `record` (lay out) → `press` → `desk` (write).

pub mod book;
pub mod calc;
mod causes;
pub mod commands;
pub mod compile;
pub mod darkroom;
pub mod desk;
pub mod handover;
pub mod open_book;
pub mod photos;
pub mod press;
pub mod prose;
pub mod quantity;
pub mod record;
pub mod shop;
pub mod text;
pub mod wall;
pub mod writing;

/// Half of what a save costs is small strings and trees taken and given back; this is what they are
/// taken from.
// The fuzzers count what is asked of theirs.
#[cfg(not(fuzzing))]
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;
