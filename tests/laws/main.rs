//! Laws that hold for every book, tried on random ones. The dice fall the same way each time.

// Where a law says exactly, it means to the last bit.
#![allow(clippy::float_cmp)]

#[path = "../bench/mod.rs"]
mod bench;
#[path = "../cases/mod.rs"]
mod cases;
mod choosing;
mod figures;
mod holding;
mod limits;
mod magnitudes;
mod nonsense;
mod printed;
mod proposals;
mod reading;
mod slopes;
mod spreads;
mod sums;
mod timeline;
mod units;
mod verdicts;
mod written;

use proptest::test_runner::Config;

/// The settings of a law that is tried `full` times in a full run.
fn dice(full: u32) -> Config {
    cases::dice("laws", full)
}

/// Are two figures the same but for a share of their size?
fn same(a: f64, b: f64, share: f64) -> bool {
    (a - b).abs() <= share * a.abs().max(b.abs())
}
