//! Shimbook: a plain-text build-book compiler.
//!
//! A crew writes Markdown day logs with fenced sums; the stages below turn a folder of them into a
//! linked record with worked, checked and traceable numbers:
//!
//! `io` (read) → `markdown`, `book` (parse) → `calc` (calculate, judge) → `parts`, `jobs`, `hold`,
//! `forecast` → `pages` (lay out), `drawings`, `export` → `redaction` → `render` → `io` (write).

pub mod book;
pub mod build;
pub mod calc;
mod causes;
pub mod commands;
pub mod diagnostics;
pub mod drawings;
pub mod export;
pub mod forecast;
pub mod handover;
pub mod hold;
pub mod io;
pub mod jobs;
pub mod markdown;
pub mod morning;
pub mod open_book;
pub mod pages;
pub mod parts;
pub mod photo_cache;
pub mod photos;
pub mod quantity;
pub mod redaction;
pub mod render;
pub mod source;
#[cfg(test)]
mod testing;
pub mod wall;
pub mod warnings;
pub mod writeup;

/// Half of what a save costs is small strings and trees taken and given back; this is what they are
/// taken from.
// The fuzzers count what is asked of theirs.
#[cfg(not(fuzzing))]
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;
