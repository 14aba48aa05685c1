//! What a forecast of 3,000 open jobs costs on one core.
//!
//! In: nothing but a fixed plan. Out: a table. The time is the least of several rounds.
//!
//! `cargo bench --bench ahead`

#![allow(clippy::disallowed_methods, reason = "a bench looks at the clock")]

use std::fmt::Write as _;
use std::time::Instant;

use shimbook::book::{self, Book};
use shimbook::forecast::{self, RUNS};
use shimbook::io::BookFiles;
use shimbook::jobs::{self, JobList};
use shimbook::parts::ledger::{self, Ledger};

const JOBS: u32 = 3000;
const DAYS: u32 = 400;
const ROUNDS: usize = 7;

const SHEET: &str = "title: Bench\nstart: 2031-05-02\ndays: 400\ncrew:\n  - {name: Ines, hours: 9}\n  - {name: Bashir, hours: 8}\n  \
                     - {name: Odd, hours: 8}\n  - {name: Wen, hours: 7}\n";

fn main() {
    let (book, jobs, ledger) = planned();
    let one_core = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    let round = |_| {
        let start = Instant::now();
        let (forecast, _) = one_core.install(|| forecast::look(&book, &jobs, &ledger));
        let time = start.elapsed();
        assert_eq!(forecast.schedule.slots.len(), JOBS as usize - 20);
        time
    };
    let least = (0..ROUNDS).map(round).min().unwrap();
    println!(
        "{JOBS} jobs, {RUNS} runs, one core  {:9.1} ms",
        least.as_secs_f64() * 1e3
    );
}

/// A plan of jobs that follow each other and a first day on which twenty are done.
fn planned() -> (Book, JobList, Ledger) {
    let people = ["Ines", "Bashir", "Odd", "Wen"];
    let mut plan = String::new();
    let mut log = String::from("---\nday: 1\n---\n# Begun\n\n");
    let mut day = 0;
    for job in 0..JOBS {
        if job * DAYS / JOBS >= day {
            day += 1;
            writeln!(plan, "\n## Day {day}\n").unwrap();
        }
        let by = people[(job * 7 % 4) as usize];
        let follows = if job % 3 == 0 && job > 40 {
            format!(", follows job_{}", job - 1 - job * 13 % 37)
        } else {
            String::new()
        };
        writeln!(
            plan,
            "- [ ] Job {job} {{job_{job}, by {by}, takes {} h{follows}}}",
            1 + job % 4
        )
        .unwrap();
        if job < 20 {
            writeln!(log, "- [x] {{job_{job}, took {} h}}", 2 + job % 4).unwrap();
        }
    }
    let files = BookFiles::from_texts([
        ("build-sheet.yaml", SHEET),
        ("plan.md", &plan),
        ("days/day-01.md", &log),
    ]);
    let (book, _) = book::read(&files);
    let ledger = ledger::keep(&book).0;
    let jobs = jobs::work_through(&book, &ledger).0;
    (book, jobs, ledger)
}
