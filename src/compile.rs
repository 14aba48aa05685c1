//! From a book's files to everything known about it: the stages in their order.
//!
//! In: the files as read. Out: a [`Build`]. Nothing here touches files or knows pages.

use crate::book::{self, Book};
use crate::calc::{self, Worked};
use crate::desk::BookFiles;
use crate::shop::figures;
use crate::shop::jobs::{self, JobList};
use crate::shop::ledger::{self, Ledger};
use crate::text::{Diagnostic, Severity, Sources};

/// A book, parsed, worked out and judged.
#[derive(Debug)]
pub struct Build {
    /// The text of its files.
    pub sources: Sources,
    /// What the crew wrote.
    pub book: Book,
    /// Where the parts are.
    pub ledger: Ledger,
    /// The job list.
    pub jobs: JobList,
    /// Values and verdicts.
    pub worked: Worked,
    /// What is wrong, by file and place.
    pub diagnostics: Vec<Diagnostic>,
}

impl Build {
    /// The latest day with a log; 0 before the first.
    pub fn day(&self) -> u32 {
        self.book.days.last().map_or(0, |log| log.day)
    }

    /// How many findings are of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.diagnostics.iter().filter(|finding| finding.severity == severity).count()
    }
}

/// Works a whole book out.
pub fn compile(files: BookFiles) -> Build {
    let (book, mut diagnostics) = book::read(&files);
    let (ledger, found) = ledger::keep(&book);
    diagnostics.extend(found);
    let (jobs, found) = jobs::work_through(&book, &ledger);
    diagnostics.extend(found);
    let (worked, found) = calc::work_out(&book, &figures::from(&book, &ledger));
    diagnostics.extend(found);
    diagnostics.extend(files.diagnostics);
    let sources = files.sources;
    diagnostics.sort_by(|a, b| order(&sources, a).cmp(&order(&sources, b)));
    Build { sources, book, ledger, jobs, worked, diagnostics }
}

/// By file, place and severity, so that the same book says the same things in the same order.
fn order<'s>(sources: &'s Sources, finding: &'s Diagnostic) -> (&'s str, u32, Severity, &'s str) {
    (sources.path(finding.at.file), finding.at.start, finding.severity, &finding.message)
}
