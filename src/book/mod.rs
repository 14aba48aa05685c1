//! The book as plain data: what the crew wrote, parsed and placed, not yet worked out.
//!
//! In: the [`BookFiles`]. Out: a [`Book`] and what is wrong with it. Knows nothing of
//! values: sums stay lines of text with their places. One bad line never hides the next, and
//! whatever could be read is in the [`Book`].

mod attributes;
mod audiences;
mod checkpoints;
mod days_between;
mod events;
mod ids;
mod log;
mod merge;
mod model;
mod parse_cache;
mod parts;
mod pieces;
mod plan;
mod settle;
mod sheet;
#[cfg(test)]
mod tests;
mod values;
mod yaml;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;

pub use checkpoints::Checkpoints;
pub use ids::{RESERVED, is_id, is_reserved};
pub use model::*;
pub use parse_cache::{EarlierBook, ParseCache, Parts};
pub use settle::settle;
pub use values::joined_people;

use parse_cache::CacheKey;

use crate::diagnostics::{Diagnostic, Slug};
use crate::io::BookFiles;
use crate::markdown::{Mark, Surroundings, walk};
use crate::source::{FileId, Sources, Spanned};

/// The highest number a build day can have.
pub const MOST_DAYS: u32 = 1000;

/// What a line of a log is held against.
struct Context<'a> {
    sources: &'a Sources,
    crew: &'a [CrewMember],
    parts: &'a BTreeMap<String, Part>,
    currency: &'a str,
}

impl Context<'_> {
    /// Is there a part of that id? If not, it is said.
    fn has_part(&self, id: &Spanned<String>, found: &mut Vec<Diagnostic>) -> bool {
        let known = self.parts.contains_key(&id.value);
        if !known {
            let near = values::near(&id.value, self.parts.keys().map(String::as_str), found);
            let wrong = Diagnostic::error(
                Slug::UnknownPart,
                id.span,
                format!("no part is called `{}`", id.value),
            );
            found.push(wrong.expected("a part of parts.yaml").maybe_instead(near));
        }
        known
    }
}

/// Reads a whole book. Never fails: what cannot be read is said, and has a default. What is wrong
/// with the files themselves is among the findings; they come by file, then by place.
pub fn read(files: &BookFiles) -> (Book, Vec<Diagnostic>) {
    let mut kept = ParseCache::default();
    let files = settle(files.clone(), &mut kept);
    read_again(&files, &mut kept)
}

/// The same for settled files, where a former reading is used again for every file that is as it
/// was.
pub fn read_again(files: &BookFiles, kept: &mut ParseCache) -> (Book, Vec<Diagnostic>) {
    let mut found = files.diagnostics.clone();
    let sheet = read_sheet(files, kept, &mut found);
    let parts = read_parts(files, kept, &sheet, &mut found);
    let desk = ParseContext {
        files,
        around: kept.around(surroundings(files)),
        sheet,
        parts,
    };
    let plan::Read {
        jobs: plan,
        boxes: plan_boxes,
    } = desk.plan(kept, &mut found);
    let logs = desk.logs(kept);
    far_links(&logs, &files.sources, &mut found);
    let days = in_order(&logs, files, &mut found);
    days_between::judge(&days, &mut found);
    let book = Book {
        plan,
        plan_boxes,
        plan_file: files.plan,
        days,
        parts: desk.parts,
        sheet: desk.sheet,
    };
    shared_ids(&book, &mut found);
    found.sort_by_key(|found| (found.at.file, found.at.start));
    (book, found)
}

fn read_sheet(
    files: &BookFiles,
    kept: &mut ParseCache,
    found: &mut Vec<Diagnostic>,
) -> Arc<BuildSheet> {
    let told = found.iter().any(|found| found.at.file == files.sheet);
    let from = CacheKey {
        told,
        ..hangs_on(files, files.sheet)
    };
    let (sheet, said) = kept.sheet.get(from, |found| {
        sheet::read(&files.sources, files.sheet, told, found)
    });
    found.extend_from_slice(said);
    sheet
}

fn read_parts(
    files: &BookFiles,
    kept: &mut ParseCache,
    sheet: &Arc<BuildSheet>,
    found: &mut Vec<Diagnostic>,
) -> Arc<Parts> {
    let Some(file) = files.parts else {
        return Arc::default();
    };
    let from = CacheKey {
        sheet: Some(Arc::clone(sheet)),
        ..hangs_on(files, file)
    };
    let (parts, said) = kept.parts.get(from, |found| {
        parts::read(&files.sources, file, &sheet.money, found)
    });
    found.extend_from_slice(said);
    parts
}

/// What a file's reading depends on where it stands alone.
fn hangs_on(files: &BookFiles, file: FileId) -> CacheKey {
    CacheKey {
        file,
        text: files.sources.shared(file),
        told: false,
        sheet: None,
        parts: None,
        around: None,
    }
}

/// What plan and logs are read with.
struct ParseContext<'a> {
    files: &'a BookFiles,
    around: Arc<Surroundings>,
    sheet: Arc<BuildSheet>,
    parts: Arc<Parts>,
}

impl ParseContext<'_> {
    fn context(&self) -> Context<'_> {
        let Self {
            files,
            sheet,
            parts,
            ..
        } = self;
        Context {
            sources: &files.sources,
            crew: sheet.known_crew(),
            parts,
            currency: &sheet.money,
        }
    }

    fn hangs_on(&self, file: FileId) -> CacheKey {
        CacheKey {
            sheet: Some(Arc::clone(&self.sheet)),
            parts: Some(Arc::clone(&self.parts)),
            around: Some(Arc::clone(&self.around)),
            ..hangs_on(self.files, file)
        }
    }

    fn plan(&self, kept: &mut ParseCache, found: &mut Vec<Diagnostic>) -> plan::Read {
        let Some(file) = self.files.plan else {
            return plan::Read::default();
        };
        let read = |found: &mut Vec<_>| {
            plan::read(file, &self.context(), self.sheet.days, &self.around, found)
        };
        let (plan, said) = kept.plan.get(self.hangs_on(file), read);
        found.extend_from_slice(said);
        plan::Read::clone(&plan)
    }

    fn logs(&self, kept: &mut ParseCache) -> Vec<Arc<log::Read>> {
        let slots = kept.logs(&self.files.logs);
        let logs = self.files.logs.par_iter().zip(slots).map(|(file, slot)| {
            let read =
                |_: &mut Vec<_>| log::read(*file, &self.sheet, &self.context(), &self.around);
            slot.get(self.hangs_on(*file), read).0
        });
        logs.collect()
    }
}

/// Reads a text that should be one job of a task list and nothing else; nobody of the crew is
/// unknown to it. `None` where anything is wrong with it.
pub fn read_line(text: &str) -> Option<Mention> {
    let mut sources = Sources::default();
    let file = sources.add("line.md", text);
    let walked = walk(sources.text(file), file, 0, &Surroundings::default());
    let [Mark::Job(line)] = walked.marks.as_slice() else {
        return None;
    };
    let context = Context {
        sources: &sources,
        crew: &[],
        parts: &BTreeMap::new(),
        currency: "",
    };
    let mut found = walked.diagnostics;
    let mention = attributes::read(line, &context, &mut found)?;
    (found.is_empty() && line.span.range() == (2..text.trim_end().len())).then_some(mention)
}

fn surroundings(files: &BookFiles) -> Surroundings {
    Surroundings {
        logs: files
            .logs
            .iter()
            .map(|file| files.sources.path(*file).to_owned())
            .collect(),
        photos: files.photos.keys().cloned().collect(),
        refused_photos: files.refused_photos.clone(),
        closed_photos: files.closed_photos.clone(),
    }
}

/// Warns of links to headings that another log does not have.
fn far_links(logs: &[Arc<log::Read>], sources: &Sources, found: &mut Vec<Diagnostic>) {
    let anchors: BTreeMap<&str, &BTreeSet<String>> = logs
        .iter()
        .map(|read| (sources.path(read.log.file), &read.anchors))
        .collect();
    let far = logs.iter().flat_map(|read| &read.far_links);
    for link in far {
        let Some(there) = anchors
            .get(link.log.as_str())
            .filter(|there| !there.contains(&link.anchor))
        else {
            continue;
        };
        let near = values::near(&link.anchor, there.iter().map(String::as_str), found)
            .map(|near| format!("#{near}"));
        let wrong = Diagnostic::warning(
            Slug::BadLink,
            link.span,
            format!("{} has no heading `#{}`", link.log, link.anchor),
        );
        found.push(wrong.maybe_instead(near));
    }
}

/// The logs by their day. Of two with one day only one was let in.
fn in_order(
    logs: &[Arc<log::Read>],
    files: &BookFiles,
    found: &mut Vec<Diagnostic>,
) -> Vec<Arc<DayLog>> {
    let may_be_there = files
        .unread
        .iter()
        .any(|unread| unread.path.starts_with("days"));
    if files.logs.is_empty() && !may_be_there {
        let wrong = Diagnostic::warning(
            Slug::Missing,
            Sources::top(files.sheet),
            "the book has no day log yet",
        );
        found.push(wrong.expected("a file, for example days/day-01.md"));
    }
    let mut days: BTreeMap<u32, Arc<DayLog>> = BTreeMap::new();
    for read in logs {
        found.extend_from_slice(&read.found);
        // A log without any number stays out: its finding says what is missing.
        days.extend(
            read.day
                .as_ref()
                .map(|day| (day.value, Arc::clone(&read.log))),
        );
    }
    days.into_values().collect()
}

/// Warns of ids that a job shares with a part, once each.
fn shared_ids(book: &Book, found: &mut Vec<Diagnostic>) {
    let mut said: BTreeSet<&str> = BTreeSet::new();
    for id in book.job_ids() {
        let Some(part) = book.parts.get(&id.value).filter(|_| said.insert(&id.value)) else {
            continue;
        };
        let wrong = Diagnostic::warning(
            Slug::SharedId,
            id.span,
            format!("`{}` is the id of a job and of a part", id.value),
        );
        found.push(
            wrong
                .see(part.id.span, "the part")
                .expected("a different id for each"),
        );
    }
}
