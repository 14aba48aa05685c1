//! Which finding follows from which: a file that cannot be read, or a line in error, has findings
//! elsewhere.
//!
//! In: every finding of a book. Out: the same, where a follow-up names the place of its cause. A
//! stage that knows the cause of its own finding has named it already.

use std::collections::BTreeMap;

use crate::book::{Book, Entry, Line};
use crate::diagnostics::{Diagnostic, Severity, Slug};
use crate::source::{FileId, Sources, Span};

/// More follow-ups than this are not looked for in the text of logs that are not read.
const MOST_LOOKED_FOR: usize = 200;

/// Names the cause of every finding that has one.
pub(crate) fn name_causes(findings: &mut [Diagnostic], book: &Book, sources: &Sources) {
    let causes = Causes::of(findings, book, sources);
    if causes.is_empty() {
        return;
    }
    let mut looked_for = 0;
    for finding in findings
        .iter_mut()
        .filter(|finding| finding.because.is_none())
    {
        let word = sources.slice(finding.at);
        finding.because = match finding.slug {
            Slug::UnknownPart => causes.file("parts.yaml"),
            Slug::UnknownName | Slug::UnknownJob if looked_for < MOST_LOOKED_FOR => {
                looked_for += 1;
                causes.of_name(word, finding.slug)
            }
            _ => None,
        };
    }
}

/// What is in error, and what it would have given.
struct Causes<'a> {
    /// By path: the finding that keeps a file from being read.
    files: BTreeMap<&'a str, Span>,
    /// By name: the finding in the line that would give it.
    lines: BTreeMap<&'a str, Span>,
    /// The text of logs that are not read.
    logs: Vec<(&'a str, Span)>,
}

impl<'a> Causes<'a> {
    fn of(findings: &[Diagnostic], book: &'a Book, sources: &'a Sources) -> Self {
        let errors: Vec<&Diagnostic> = findings
            .iter()
            .filter(|found| found.severity == Severity::Error)
            .collect();
        let mut causes = Self {
            files: BTreeMap::new(),
            lines: BTreeMap::new(),
            logs: Vec::new(),
        };
        for error in errors
            .iter()
            .filter(|error| keeps_a_file_unread(error.slug))
        {
            causes
                .files
                .entry(sources.path(error.at.file))
                .or_insert(error.at);
        }
        causes.unread_logs(&errors, book, sources);
        let sums = book
            .days
            .iter()
            .flat_map(|log| &log.entries)
            .filter_map(|entry| match entry {
                Entry::Sums(block) => Some(&block.lines),
                _ => None,
            });
        let errors_at: BTreeMap<(FileId, u32), Span> = errors
            .iter()
            .map(|error| ((error.at.file, error.at.start), error.at))
            .collect();
        for line in sums.flatten() {
            let key = |at| (line.span.file, at);
            if let Some((_, at)) = errors_at
                .range(key(line.span.start)..=key(line.span.end))
                .next()
            {
                causes.lines.entry(name_of(line)).or_insert(*at);
            }
        }
        causes
    }

    fn unread_logs(&mut self, errors: &[&Diagnostic], book: &Book, sources: &'a Sources) {
        for error in errors {
            let path = sources.path(error.at.file);
            let is_read = book.days.iter().any(|log| log.file == error.at.file);
            let is_listed = self.logs.iter().any(|(_, at)| at.file == error.at.file);
            if path.starts_with("days/") && !is_read && !is_listed {
                self.logs.push((sources.text(error.at.file), error.at));
            }
        }
    }

    fn is_empty(&self) -> bool {
        self.files.is_empty() && self.lines.is_empty() && self.logs.is_empty()
    }

    fn file(&self, path: &str) -> Option<Span> {
        self.files.get(path).copied()
    }

    /// Why a name has no meaning: the line that would give it is in error, or the file that would.
    fn of_name(&self, word: &str, slug: Slug) -> Option<Span> {
        if slug == Slug::UnknownJob {
            return self
                .file("plan.md")
                .or_else(|| self.unread(|line| line.contains(&format!("{{{word}"))));
        }
        if word.contains('.') && !word.starts_with("day") {
            return self.file("parts.yaml");
        }
        let name = word.rsplit('.').next().unwrap_or(word);
        self.lines
            .get(name)
            .copied()
            .or_else(|| self.unread(|line| gives(line, name)))
    }

    /// The log that is not read and has such a line.
    fn unread(&self, is_it: impl Fn(&str) -> bool) -> Option<Span> {
        self.logs
            .iter()
            .find(|(text, _)| text.lines().any(&is_it))
            .map(|(_, at)| *at)
    }
}

/// Does this kind of finding keep all of a file from being read?
fn keeps_a_file_unread(slug: Slug) -> bool {
    matches!(
        slug,
        Slug::BadYaml | Slug::NotUtf8 | Slug::TooLarge | Slug::TooDeep | Slug::OutsideBook
    )
}

/// The name that a line of sums would give.
fn name_of(line: &Line) -> &str {
    let text = ["choose ", "stack "]
        .iter()
        .find_map(|word| line.text.strip_prefix(word))
        .unwrap_or(&line.text);
    let text = text.trim_start();
    let end = text
        .find(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
        .unwrap_or(text.len());
    &text[..end]
}

/// Does a line of text give this name a value?
fn gives(line: &str, name: &str) -> bool {
    let rest = line.trim_start().strip_prefix(name).map(str::trim_start);
    rest.is_some_and(|rest| rest.starts_with('=') || rest.starts_with("measured "))
}
