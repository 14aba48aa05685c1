//! What the sums of a large book cost: reading them, working them out with spreads, and the least
//! that plain numbers would cost on the same trees; then one reading measured again on the last
//! day.
//!
//! In: nothing but a seed. Out: a table, all from one run on one thread. Every time is the least of
//! several rounds.
//!
//! `cargo bench --bench sums`

#![allow(clippy::disallowed_methods, reason = "a bench looks at the clock")]

mod big_book;
mod plain;

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use big_book::{Scale, book};
use shimbook::book::{self, Book};
use shimbook::calc::Figures;
use shimbook::calc::{Results, Timeline};
use shimbook::io::BookFiles;
use shimbook::parts::figures;
use shimbook::parts::ledger;
use shimbook::quantity::Units;

const SEED: u64 = 41;
const DAYS: u32 = 365;
const ROUNDS: usize = 15;

fn main() {
    let sums = Sums::new(&book(Scale::days(DAYS), SEED));
    let (worked, _) = sums.work_out();
    let lines: usize = worked.blocks.values().map(|block| block.len()).sum();
    let trees = plain::trees(&worked);
    println!(
        "{DAYS} days, {lines} lines of sums, {} names, {} evaluations",
        worked.values.len(),
        worked.evaluations
    );
    row(
        "read, worked out with spreads, judged",
        least(|| sums.work_out()),
    );
    row("plain f64 over the same trees", least(|| trees.evaluate()));
    row(
        "one reading of the last day again",
        remeasured(&book(Scale::days(DAYS), SEED), &worked),
    );
}

fn row(what: &str, time: Duration) {
    println!("{what:<36} {:9.3} ms", time.as_secs_f64() * 1e3);
}

fn least<T>(mut work: impl FnMut() -> T) -> Duration {
    least_with(|| (), |()| work())
}

/// The least time of `work`; what it is given is made, and what it gives is dropped, outside the
/// time.
fn least_with<I, T>(mut given: impl FnMut() -> I, mut work: impl FnMut(I) -> T) -> Duration {
    let one = |_| {
        let input = given();
        let start = Instant::now();
        let output = work(input);
        let time = start.elapsed();
        drop(std::hint::black_box(output));
        time
    };
    (0..ROUNDS).map(one).min().unwrap()
}

struct Sums {
    book: Book,
    figures: Figures,
    units: Units,
}

impl Sums {
    fn new(texts: &BTreeMap<String, String>) -> Self {
        let files = BookFiles::from_texts(
            texts
                .iter()
                .map(|(path, text)| (path.as_str(), text.as_str())),
        );
        let (book, _) = book::read(&files);
        let figures = figures::from(&book, &ledger::keep(&book).0);
        let units = Units::new(&book.sheet.money);
        Self {
            book,
            figures,
            units,
        }
    }

    fn work_out(&self) -> (Results, Vec<shimbook::diagnostics::Diagnostic>) {
        self.up_to(self.book.days.len()).finish()
    }

    /// The timeline with so many days worked out.
    fn up_to(&self, days: usize) -> Timeline<'_> {
        let mut timeline = Timeline::new(&self.book, &self.units);
        timeline.start(&self.figures);
        for index in 0..days {
            timeline.work_day(index, &self.figures);
        }
        timeline
    }
}

/// One more day with one line: the reading that most others depend on, measured again.
fn remeasured(texts: &BTreeMap<String, String>, worked: &Results) -> Duration {
    let name = plain::busiest_reading(worked);
    let last = worked
        .names
        .find(&name)
        .and_then(|id| worked.latest(id))
        .unwrap();
    let again = last.value().unwrap().nominal * 1.001;
    let unit = &last.unit;
    let line = format!("{name} measured {} {}", unit.reading(again), unit.name);
    let mut texts = texts.clone();
    texts.insert(
        format!("days/day-{}.md", DAYS + 1),
        format!("---\nday: {}\n---\n```sums\n{line}\n```\n", DAYS + 1),
    );
    let sums = Sums::new(&texts);
    least_with(
        || sums.up_to(DAYS as usize),
        |mut timeline| {
            timeline.work_day(DAYS as usize, &sums.figures);
            timeline
        },
    )
}
