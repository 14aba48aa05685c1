//! Photos come out upright, in two sizes, and tell nothing but what can be seen.
//!
//! In: pictures made here, with all that a camera writes into them. Out: tests over every byte that
//! leaves the house, read by a reader that is not ours.
#![allow(
    clippy::disallowed_methods,
    reason = "tests read and write files and run programs"
)]

mod broken;
mod camera;
mod drawn;
mod kept;
mod nothing_left;
mod reader;
mod shop;
mod upright;
