//! `morning`: the next day's log.

use std::path::PathBuf;

use clap::Args;

use super::terminal;
use super::{Done, Failure, Status, not_current};
use crate::build::{Build, Current, compile, compile_until};
use crate::diagnostics::Severity;
use crate::io::{self, BookFiles, SHEET};
use crate::morning::{self, Tomorrow};
use crate::open_book::OpenBook;

/// Write the next day's log: planned jobs, carried jobs and notes to read before work begins.
///
/// A carried job is a line `- [ ] Title {id, by Ines}`; tick it and add the hours it took. The
/// notes below the jobs are not read; delete them if you like. Never overwrites an existing file.
#[derive(Debug, Args)]
#[command(
    after_help = "Example: shimbook morning my-build   (writes my-build/days/day-02.md after day-01.md)"
)]
pub(super) struct Morning {
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
}

impl Morning {
    pub(super) fn run(self) -> Done {
        let folder = io::find_book(self.book.as_deref())?;
        if !io::is_there(&folder.join(SHEET)) {
            let folder = folder.display();
            return Err(Failure(format!(
                "{folder} is not a book: it has no {SHEET}\n  nothing was written"
            )));
        }
        let files = OpenBook::new(&folder).files()?;
        let build = compile(files.clone());
        if let Some(path) = untouched(files, &build) {
            return Err(Failure(format!(
                "{path} exists already and is still as `morning` wrote it\n  nothing was written; continue with that log"
            )));
        }
        let tomorrow = next_day(&build).ok_or_else(|| full(&build))?;
        let path = format!("days/{}.md", tomorrow.stem);
        io::create_in_book(&folder, &path, tomorrow.text.as_bytes())?;
        terminal::print(&told(
            &build,
            &tomorrow,
            &folder.join(path).display().to_string(),
        ))?;
        Ok(if build.current.is_current() {
            Status::Fine
        } else {
            Status::Wrong
        })
    }
}

fn next_day(build: &Build) -> Option<Tomorrow> {
    let hold = &build.hold;
    let unread: Vec<&str> = build
        .current
        .unread
        .iter()
        .map(|unread| unread.path.as_str())
        .collect();
    let warning = match unread.as_slice() {
        [] => String::new(),
        paths => format!(
            "{}: {} could not be read this morning.",
            Current::NOT,
            paths.join(", ")
        ),
    };
    morning::next_day(
        &build.book,
        &build.jobs,
        &build.ahead.orders,
        &hold,
        &warning,
    )
}

/// The path of the latest log, where it still is as this command writes it: a second call must not
/// make a second day.
fn untouched(files: BookFiles, build: &Build) -> Option<String> {
    let latest = build.book.days.last()?;
    let before = compile_until(files, latest.day - 1);
    let made = next_day(&before)?;
    let same = made.day == latest.day && made.text == build.sources.text(latest.file);
    same.then(|| build.sources.path(latest.file).to_owned())
}

fn full(build: &Build) -> Failure {
    Failure(format!(
        "day {} is the last day a book can have\n  nothing was written",
        build.day()
    ))
}

fn told(build: &Build, tomorrow: &Tomorrow, path: &str) -> String {
    let Tomorrow {
        day,
        planned,
        carried,
        ..
    } = tomorrow;
    let mut text =
        format!("Wrote {path}: day {day}, {planned} from the plan, {carried} carried.\n");
    if let Some(last) = build.book.sheet.days.filter(|last| day > last) {
        text.push_str(&format!(
            "Day {day} is after the last day allowed, day {last}.\n"
        ));
    }
    match build.count(Severity::Error) {
        0 => {}
        1 => text.push_str("The book has one error; `shimbook check` shows it.\n"),
        errors => text.push_str(&format!(
            "The book has {errors} errors; `shimbook check` shows them.\n"
        )),
    }
    text.push_str(&not_current(build));
    text.push_str(
        "Next: tick finished jobs, add the hours they took, write what happened; then run `shimbook writeup`.\n",
    );
    text
}
