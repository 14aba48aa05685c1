//! `morning`: what it writes reads back to the same jobs, is written once, and says what to know.
#![allow(
    clippy::disallowed_methods,
    reason = "a test sets books up and looks at what was written"
)]

#[path = "../cases/mod.rs"]
mod cases;
mod command;
mod law;
mod written;

use shimbook::build::{Build, compile};
use shimbook::hold;
use shimbook::io::BookFiles;
use shimbook::morning::{self, Tomorrow};

/// A book's texts by path.
type Texts = Vec<(String, String)>;

const SHEET: &str = "title: Kittiwake\nstart: 2031-05-02\ndays: 8\ncrew:\n  - {name: Ines, hours: 9}\n  - {name: Odd Ö., hours: 8}\n";

/// A build sheet, a plan, and logs by day.
fn texts(plan: &str, logs: &[(u32, &str)]) -> Texts {
    let mut texts = vec![
        ("build-sheet.yaml".to_owned(), SHEET.to_owned()),
        ("plan.md".to_owned(), plan.to_owned()),
    ];
    texts.extend(logs.iter().map(|(day, log)| {
        (
            format!("days/day-{day:02}.md"),
            format!("---\nday: {day}\n---\n{log}"),
        )
    }));
    texts
}

fn built(texts: &Texts) -> Build {
    compile(BookFiles::from_texts(
        texts
            .iter()
            .map(|(path, text)| (path.as_str(), text.as_str())),
    ))
}

fn next_day(build: &Build) -> Tomorrow {
    let hold = hold::on_day(&build.worked, &build.jobs, build.day());
    morning::next_day(&build.book, &build.jobs, &build.ahead.orders, &hold, "")
        .expect("a further day")
}

/// The book with a log more.
fn with_log(texts: &Texts, tomorrow: &Tomorrow, log: &str) -> Build {
    let mut texts = texts.clone();
    texts.push((format!("days/{}.md", tomorrow.stem), log.to_owned()));
    built(&texts)
}
