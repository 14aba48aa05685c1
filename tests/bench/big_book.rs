//! A large book out of a seed: what a crew would have after a year of writing.
//!
//! In: a [`Scale`] and a seed. Out: the texts of a book by path. The same seed gives the same
//! bytes, `check` finds no error in it, and twice the scale is twice of everything: also of what
//! stays central.

#[path = "big_book/jobs.rs"]
mod jobs;
#[path = "big_book/parts.rs"]
mod parts;
#[path = "big_book/prose.rs"]
mod prose;
#[path = "big_book/random.rs"]
mod random;
#[path = "big_book/sums.rs"]
mod sums;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use jobs::Jobs;
use parts::Parts;
use random::Random;
use sums::Sums;

/// Who builds it.
const CREW: [&str; 6] = ["Ines", "Bashir", "Odd", "Wen", "Tilda", "Rune"];

/// How much there is of everything.
#[derive(Clone, Copy)]
pub struct Scale {
    /// Days with a log.
    pub days: u32,
    /// Lines in sums blocks.
    pub sums: u32,
    /// Jobs.
    pub jobs: u32,
    /// Parts.
    pub parts: u32,
}

impl Scale {
    /// As many days of work as that; a year has 10,000 lines of sums, 3,000 jobs and 1,000 parts.
    pub fn days(days: u32) -> Self {
        let share = |of: u32| of * days / 365;
        Self {
            days,
            sums: share(10_000),
            jobs: share(3_000),
            parts: share(1_000),
        }
    }
}

/// The book's texts by path.
pub fn book(scale: Scale, seed: u64) -> BTreeMap<String, String> {
    let mut random = Random(seed);
    let parts = Parts::new(scale, &mut random);
    let jobs = Jobs::new(scale, &parts, &mut random);
    let mut sums = Sums::new(scale);
    let mut texts = BTreeMap::from([
        ("build-sheet.yaml".to_owned(), sheet(scale)),
        ("parts.yaml".to_owned(), parts.list()),
        ("plan.md".to_owned(), jobs.plan(scale.days)),
    ]);
    for day in 1..=scale.days {
        let log = log(day, &jobs, &parts, &mut sums, &mut random);
        texts.insert(format!("days/day-{day:03}.md"), log);
    }
    texts
}

fn sheet(scale: Scale) -> String {
    let mut sheet = format!(
        "title: Heron, a van rebuilt over a year\nstart: 2031-01-06\ndays: {}\ncrew:\n",
        scale.days + 5
    );
    for name in CREW {
        writeln!(sheet, "  - {{name: {name}, hours: 8}}").unwrap();
    }
    sheet
        + "units: metric\nmoney: EUR\njudge: worst-case\ntargets: |\n  fitted.mass at most 90000 kg\n  spent.total at most 9000000 EUR\n"
}

fn log(day: u32, jobs: &Jobs, parts: &Parts, sums: &mut Sums, random: &mut Random) -> String {
    let mut text = format!(
        "---\nday: {day}\ncrew: [{}]\n---\n# {}\n\n",
        CREW.join(", "),
        prose::heading(random)
    );
    text += &jobs.on_day(day, random);
    text += &parts.on_day(day);
    let blocks = sums.on_day(day, random);
    for block in blocks {
        text += &prose::section(
            &prose::Names {
                sums,
                jobs,
                parts,
                day,
            },
            random,
        );
        write!(text, "```sums\n{block}```\n\n").unwrap();
    }
    if day.is_multiple_of(5) {
        let name = sums.recent(random);
        write!(text, "```drawing\nband {name}\nhistory {name}\n```\n\n").unwrap();
    }
    text += &prose::section(
        &prose::Names {
            sums,
            jobs,
            parts,
            day,
        },
        random,
    );
    text += &prose::table(random);
    text
}
