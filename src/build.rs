//! From a book's files to everything known about it: the stages in their order.
//!
//! In: the files as read. Out: a [`Build`]. Nothing here touches files or knows pages.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use crate::book::{self, Book, Entry};
use crate::calc::{self, Results};
use crate::causes::name_causes;
use crate::diagnostics::{Diagnostic, Severity, causes_first, thin_out};
use crate::drawings::{self, Drawings};
use crate::forecast::{self, Forecast};
use crate::hold::{self, HoldEvent, HoldList};
use crate::io::{BookFiles, BookMark, LastTexts, Unread};
use crate::jobs::{self, JobList};
use crate::parts::ledger::{self, Ledger};
use crate::photos::{Album, Trouble};
use crate::source::{FileId, Sources};
use crate::{parts::figures, warnings};

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
    pub worked: Results,
    /// The hold list at the end of the latest day.
    pub hold: HoldList,
    /// What happened against the hold list, in the order of the book.
    pub hold_history: Vec<HoldEvent>,
    /// What is ahead of the crew, at the end of the latest day.
    pub ahead: Arc<Forecast>,
    /// The drawings that its drawing blocks ask for.
    pub drawings: Drawings,
    /// The photos that the logs show; empty where nobody looked at them.
    pub album: Album,
    /// What is wrong, by file and place.
    pub diagnostics: Vec<Diagnostic>,
    /// Is all of this the book as it is now?
    pub current: Current,
    /// The text of each file to fall back to when it cannot be worked with.
    pub last: LastTexts,
}

/// Is what was worked out the book as it is now? It is not while a file that is there cannot be
/// worked with. Then the vehicle counts as on hold, whatever the hold list says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Current {
    /// What cannot be worked with, sheet first, then by path.
    pub unread: Vec<Unread>,
}

impl Current {
    /// What people are told, everywhere, while a book is not current.
    pub const NOT: &str = "Not current: treat as on hold";
    /// The same on the hold tag.
    pub const TAG: &str = "Not current: treat as on hold.";

    /// Is nothing unread?
    pub fn is_current(&self) -> bool {
        self.unread.is_empty()
    }

    /// Each reason as one line without a full stop, with the place in front: `days/day-03.md, line
    /// 4: …`.
    pub fn reasons(&self, sources: &Sources) -> Vec<String> {
        self.unread
            .iter()
            .map(|unread| reason(unread, sources))
            .collect()
    }
}

fn reason(unread: &Unread, sources: &Sources) -> String {
    let line = sources.position(unread.at).line;
    let line = if unread.at == Sources::top(unread.at.file) {
        String::new()
    } else {
        format!(", line {line}")
    };
    format!(
        "{}{line}: {}. {}",
        unread.path,
        unread.why,
        unread.used.words()
    )
}

impl Build {
    /// The latest day with a log; 0 before the first.
    pub fn day(&self) -> u32 {
        self.book.days.last().map_or(0, |log| log.day)
    }

    /// What output folders know the book by.
    pub fn mark(&self) -> BookMark {
        let sheet = &self.book.sheet;
        BookMark::new(
            sheet.title_given(),
            sheet.start.map(|start| start.to_string()),
        )
    }

    /// How many findings are of a severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.diagnostics
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    }

    /// Takes photos out that turned out to be broken when they were worked, and says so.
    pub fn spoil(&mut self, spoilt: BTreeMap<String, Trouble>) {
        if !spoilt.is_empty() {
            self.album = std::mem::take(&mut self.album).without(spoilt);
            let found = [
                std::mem::take(&mut self.diagnostics),
                self.album.findings(&self.book),
            ]
            .concat();
            self.diagnostics = settled(found, &self.book, &self.sources);
        }
    }
}

/// What a former build of the same book left, to be used again where it is still right.
#[derive(Debug, Default)]
pub struct Kept {
    book: book::ParseCache,
    /// What was worked out.
    pub sums: calc::CalcCache,
    /// How the jobs stood.
    pub jobs: jobs::JobCache,
    ahead: forecast::ForecastCache,
}

/// Works a whole book out.
pub fn compile(files: BookFiles) -> Build {
    compile_until(files, u32::MAX)
}

/// Works a book out as it stood on the evening of a day: later logs are left unread.
pub fn compile_until(files: BookFiles, day: u32) -> Build {
    build(files, day, &mut Kept::default(), |_| Album::default())
}

/// Works a whole book out, carrying on from what is kept of the last time; gives what [`compile`]
/// gives, and looks at the photos that it shows.
pub fn compile_again(
    files: BookFiles,
    kept: &mut Kept,
    photos: impl FnOnce(&Book) -> Album + Send,
) -> Build {
    build(files, u32::MAX, kept, photos)
}

fn build(
    files: BookFiles,
    day: u32,
    kept: &mut Kept,
    photos: impl FnOnce(&Book) -> Album + Send,
) -> Build {
    let files = book::settle(files, &mut kept.book);
    let (mut book, mut diagnostics) = book::read_again(&files, &mut kept.book);
    let later = book.days.partition_point(|log| log.day <= day);
    let unread: Vec<FileId> = book.days.drain(later..).map(|log| log.file).collect();
    diagnostics.retain(|finding| !unread.contains(&finding.at.file));
    let (ledger, found) = ledger::keep(&book);
    diagnostics.extend(found);
    let Stages {
        worked,
        jobs,
        ahead,
        album,
        found,
    } = stages(&book, &ledger, kept, photos);
    diagnostics.extend(found);
    let latest = book.days.last().map_or(0, |log| log.day);
    let hold = hold::on_day(&worked, &jobs, latest);
    let (hold_history, against_hold) = hold::history(&worked, &jobs);
    diagnostics.extend(against_hold);
    let (doubts, (drawings, in_drawings)) = rayon::join(
        || warnings::warnings(&book, &ledger, &jobs, &worked),
        || drawings(&book, &worked),
    );
    diagnostics.extend(doubts);
    diagnostics.extend(in_drawings);
    let BookFiles {
        sources,
        last,
        unread,
        ..
    } = files;
    let (diagnostics, current) = (settled(diagnostics, &book, &sources), Current { unread });
    Build {
        sources,
        book,
        ledger,
        jobs,
        worked,
        hold,
        hold_history,
        ahead,
        drawings,
        album,
        diagnostics,
        current,
        last,
    }
}

/// What sums and jobs come to; neither waits for the other.
struct Stages {
    worked: Results,
    jobs: JobList,
    ahead: Arc<Forecast>,
    album: Album,
    found: Vec<Diagnostic>,
}

fn stages(
    book: &Book,
    ledger: &Ledger,
    kept: &mut Kept,
    photos: impl FnOnce(&Book) -> Album + Send,
) -> Stages {
    let Kept {
        sums, jobs, ahead, ..
    } = kept;
    let work_out =
        || calc::work_out_again(book, |first| figures::from_day(book, ledger, first), sums);
    let jobs_and_photos = || {
        let (jobs, mut found) = jobs::work_through_again(book, ledger, jobs);
        let (ahead, further) = forecast::look_again(book, &jobs, ledger, ahead);
        let album = photos(book);
        found.extend(further);
        found.extend(album.findings(book));
        (jobs, Arc::new(ahead), album, found)
    };
    let ((worked, in_sums), (jobs, ahead, album, mut found)) =
        rayon::join(work_out, jobs_and_photos);
    found.extend(in_sums);
    Stages {
        worked,
        jobs,
        ahead,
        album,
        found,
    }
}

/// Findings in their order, each once, causes first, no more of a line than anybody reads.
fn settled(mut findings: Vec<Diagnostic>, book: &Book, sources: &Sources) -> Vec<Diagnostic> {
    findings.sort_by(|a, b| order(sources, a).cmp(&order(sources, b)));
    // Two stages may notice the same thing at the same place; different things are all said.
    findings.dedup_by(|a, b| (a.at, a.slug, &a.message) == (b.at, b.slug, &b.message));
    name_causes(&mut findings, book, sources);
    causes_first(thin_out(findings, sources))
}

/// By file, place and severity, so that the same book says the same things in the same order.
fn order<'s>(sources: &'s Sources, finding: &'s Diagnostic) -> (&'s str, u32, Severity, &'s str) {
    (
        sources.path(finding.at.file),
        finding.at.start,
        finding.severity,
        &finding.message,
    )
}

fn drawings(book: &Book, worked: &Results) -> (Drawings, Vec<Diagnostic>) {
    let blocks = book
        .days
        .par_iter()
        .enumerate()
        .flat_map_iter(|(index, log)| {
            let block = |(entry, what): (usize, &Entry)| {
                let Entry::Drawing(block) = what else {
                    return None;
                };
                Some((
                    (index, entry),
                    drawings::read_block(&block.lines, worked, log.day, book.sheet.judge),
                ))
            };
            log.entries
                .iter()
                .enumerate()
                .filter_map(block)
                .collect::<Vec<_>>()
        });
    let mut drawings = Drawings::new();
    let mut diagnostics = Vec::new();
    for (place, (drawn, found)) in blocks.collect::<Vec<_>>() {
        drawings.insert(place, drawn);
        diagnostics.extend(found);
    }
    (drawings, diagnostics)
}
