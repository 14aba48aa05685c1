//! How long a writeup of a large book takes, beside the least that any program would do with its
//! files.
//!
//! In: nothing but a seed. Out: a table of the stages, the floor and the ratio, all from one run;
//! then the same under the usual harness, for those who compare runs. Every time is the least of
//! several rounds.
//!
//! `cargo bench --bench writeup`

#![allow(
    clippy::disallowed_methods,
    reason = "a bench makes folders of its own and looks at the clock"
)]

mod big_book;
mod floor;
mod fresh;
mod stages;

use std::fmt::Write as _;
use std::path::Path;
use std::time::{Duration, Instant};

use big_book::{Scale, book};

const SEED: u64 = 41;
/// A year, with 10,000 lines of sums, 3,000 jobs and 1,000 parts.
const DAYS: u32 = 365;
const ROUNDS: usize = 9;
/// A whole writeup takes at most so many times the floor.
const AIM: f64 = 2.5;

fn main() {
    // `cargo bench --bench writeup NAME` measures one thing only.
    if std::env::args()
        .skip(1)
        .all(|argument| argument.starts_with("--"))
    {
        println!("{}", table());
    }
    divan::main();
    fresh::remove_all();
}

/// The stages, the writeup, the floor and their ratio.
fn table() -> String {
    let folder = written();
    let mut table = format!("{}\n\n", size(&book(Scale::days(DAYS), SEED)));
    let stages = stages::least(folder.path(), ROUNDS);
    for (stage, time) in &stages {
        writeln!(table, "{stage:<28} {}", milliseconds(*time)).unwrap();
    }
    let (full, floor) = beside_each_other(folder.path());
    let ratio = full.as_secs_f64() / floor.as_secs_f64();
    writeln!(table, "\n{:<28} {}", "whole writeup", milliseconds(full)).unwrap();
    writeln!(
        table,
        "{:<28} {}",
        "floor: Markdown to HTML",
        milliseconds(floor)
    )
    .unwrap();
    writeln!(table, "{:<28} {ratio:8.2}  (aim: at most {AIM})", "ratio").unwrap();
    table
}

/// The book in a folder that goes when it is dropped.
fn written() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("days")).unwrap();
    for (path, text) in book(Scale::days(DAYS), SEED) {
        std::fs::write(folder.path().join(path), text).unwrap();
    }
    folder
}

fn size(book: &std::collections::BTreeMap<String, String>) -> String {
    let bytes: usize = book.values().map(String::len).sum();
    format!("{} files, {:.1} MB of text", book.len(), bytes as f64 / 1e6)
}

fn milliseconds(time: Duration) -> String {
    format!("{:8.1} ms", time.as_secs_f64() * 1e3)
}

/// The writeup and the floor in turns, so that both see the same machine.
fn beside_each_other(folder: &Path) -> (Duration, Duration) {
    let mut least = (Duration::MAX, Duration::MAX);
    for _ in 0..ROUNDS {
        least.0 = least
            .0
            .min(timed(|| stages::write_up(folder, &fresh::folder())));
        least.1 = least
            .1
            .min(timed(|| floor::write_up(folder, &fresh::folder())));
    }
    least
}

fn timed(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn whole_writeup(bencher: divan::Bencher) {
    let folder = written();
    bencher
        .with_inputs(fresh::folder)
        .bench_values(|out| stages::write_up(folder.path(), &out));
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn floor_markdown_to_html(bencher: divan::Bencher) {
    let folder = written();
    bencher
        .with_inputs(fresh::folder)
        .bench_values(|out| floor::write_up(folder.path(), &out));
}

#[divan::bench(sample_count = 10, sample_size = 1)]
fn sums_with_spreads(bencher: divan::Bencher) {
    let folder = written();
    let sums = stages::Sums::read(folder.path());
    bencher.bench_local(|| sums.work_out());
}
