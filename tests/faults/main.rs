//! What the world does to a run: disks that fill up, folders that cannot be written, kills at any
//! moment, two runs at once.
//!
//! Whatever happens, each page of a record is as it was before or as it will be after, the next run
//! mends the whole, the crew's own files stay as they are, and what cannot be done is said with
//! what to do about it.
#![allow(clippy::disallowed_methods, reason = "tests read and write files")]
#![cfg(unix)]

#[path = "../cases/mod.rs"]
mod cases;
mod disk;
mod handed;
mod kill;
mod law;
mod own;
#[path = "../bench/big_book/random.rs"]
#[allow(dead_code, reason = "books of other tests use more of it")]
mod random;
mod shop;
mod together;
mod unread;
