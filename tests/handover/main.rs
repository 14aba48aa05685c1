//! What leaves the house: nothing an audience may not see, everything that concerns safety, and a
//! seal that holds.
//!
//! In: generated books full of secrets and of safety lines; handovers on disk. Out: tests over
//! every byte.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]

mod book;
mod canary;
#[path = "../cases/mod.rs"]
mod cases;
mod decode;
mod fields;
mod narrow;
mod paper;
mod photos;
#[path = "../bench/big_book/random.rs"]
#[allow(dead_code, reason = "the big book draws more")]
mod random;
#[path = "../photos/reader.rs"]
mod reader;
mod sealed;
mod search;
mod zips;
