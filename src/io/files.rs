//! The files of a book, as they were read.
//!
//! In: texts by path, and what is wrong with them. Out: [`BookFiles`]. What is there and cannot be
//! read is never left out without a word: it is an error among the findings and stands among
//! [`BookFiles::unread`].

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::Arc;

use super::file_cache::Fingerprint;
use super::folder::{LONGEST_LINE, MIB, PARTS, PLAN, SHEET};
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{FileId, SourceFile, Sources, Span};

/// The last text of each file of a book that the program could work with, by path.
pub type LastTexts = BTreeMap<String, Arc<SourceFile>>;

/// The files of a book.
#[derive(Clone, Debug)]
pub struct BookFiles {
    /// The text of every file.
    pub sources: Sources,
    /// `build-sheet.yaml`; an empty text where it cannot be read, which is then among the findings.
    pub sheet: FileId,
    /// `plan.md`.
    pub plan: Option<FileId>,
    /// `parts.yaml`.
    pub parts: Option<FileId>,
    /// `days/*.md`, by path.
    pub logs: Vec<FileId>,
    /// The pictures by their path in the book (`photos/x.png`), and where they lie on the disk.
    pub photos: BTreeMap<String, PathBuf>,
    /// How the disk describes each of them.
    pub photo_stamps: BTreeMap<String, Fingerprint>,
    /// Pictures and their folders that lead out of the book, by their path in it.
    pub refused_photos: BTreeSet<String>,
    /// Folders of pictures that cannot be looked into, by their path in the book.
    pub closed_photos: BTreeSet<String>,
    /// What is wrong with the files themselves.
    pub diagnostics: Vec<Diagnostic>,
    /// What is there and cannot be worked with as it is now.
    pub unread: Vec<Unread>,
    /// The text to fall back to for each file.
    pub last: LastTexts,
}

/// A file or folder of a book that is there and cannot be worked with as it is now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unread {
    /// Its path in the book.
    pub path: String,
    /// Where the trouble begins.
    pub at: Span,
    /// One sentence without a full stop: the message of its finding.
    pub why: String,
    /// What is used in its place.
    pub used: Used,
}

/// What is used in place of a file that cannot be worked with as it is now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Used {
    /// The last text that could be worked with.
    LastText,
    /// The file itself, as far as it can be read.
    Partly,
    /// Nothing: no earlier text is known.
    Nothing,
}

impl Used {
    /// One sentence for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::LastText => "The last text that could be read is used",
            Self::Partly => "It is used as far as it can be read; no earlier text is known",
            Self::Nothing => "Its contents are missing here; no earlier text is known",
        }
    }

    /// The word scripts may rely on.
    pub fn word(self) -> &'static str {
        match self {
            Self::LastText => "last text",
            Self::Partly => "partly",
            Self::Nothing => "nothing",
        }
    }
}

impl BookFiles {
    /// A book from texts by path, as if they had been read from a folder.
    pub fn from_texts<'a>(texts: impl IntoIterator<Item = (&'a str, &'a str)>) -> Self {
        let texts: BTreeMap<&str, &str> = texts.into_iter().collect();
        let mut files = Self::with_sheet(texts.get(SHEET).copied().unwrap_or_default());
        if !texts.contains_key(SHEET) {
            files.say_no_sheet();
        }
        let logs = texts.keys().copied().filter(|path| is_log(path));
        for path in [PARTS, PLAN].into_iter().chain(logs) {
            if let Some(text) = texts.get(path) {
                let id = files.sources.add(path, text);
                files.place(path, id);
            }
        }
        files
    }

    /// The same book, with earlier texts to fall back to.
    #[must_use]
    pub fn after<'a>(mut self, earlier: impl IntoIterator<Item = (&'a str, &'a str)>) -> Self {
        let file = |(path, text): (&str, &str)| {
            (
                path.to_owned(),
                Arc::new(SourceFile::new(path.to_owned(), text)),
            )
        };
        self.last = earlier.into_iter().map(file).collect();
        self
    }

    pub(super) fn with_sheet(text: &str) -> Self {
        let mut sources = Sources::default();
        let sheet = sources.add(SHEET, text);
        Self {
            sources,
            sheet,
            plan: None,
            parts: None,
            logs: Vec::new(),
            photos: BTreeMap::new(),
            photo_stamps: BTreeMap::new(),
            refused_photos: BTreeSet::new(),
            closed_photos: BTreeSet::new(),
            diagnostics: Vec::new(),
            unread: Vec::new(),
            last: LastTexts::new(),
        }
    }

    /// Is it the same book, file by file, as at another time?
    pub fn is_as(&self, before: &Self) -> bool {
        self.sources.are_the_same(&before.sources)
            && self.photo_stamps == before.photo_stamps
            && self.refused_photos == before.refused_photos
            && self.closed_photos == before.closed_photos
            && self.diagnostics == before.diagnostics
    }

    /// A book without a build sheet is worked with the last one, so that no target disappears.
    pub(super) fn say_no_sheet(&mut self) {
        let found = Diagnostic::error(
            Slug::Missing,
            Sources::top(self.sheet),
            format!("{SHEET} is missing"),
        );
        self.set_aside(
            found.expected("a build sheet with title, start, days and crew"),
            Used::Nothing,
        );
    }

    /// Says what is wrong with a file.
    pub(super) fn say(&mut self, id: FileId, wrong: Option<Wrong>) {
        if let Some(wrong) = wrong {
            let used = wrong.leaves();
            let found = self.finding(id, wrong);
            self.set_aside(found, used);
        }
    }

    /// Notes that a file cannot be worked with as it is, and why.
    fn set_aside(&mut self, found: Diagnostic, used: Used) {
        let path = self.sources.path(found.at.file).to_owned();
        self.unread.push(Unread {
            path,
            at: found.at,
            why: found.message.clone(),
            used,
        });
        self.diagnostics.push(found);
    }

    fn finding(&self, id: FileId, wrong: Wrong) -> Diagnostic {
        let top = Sources::top(id);
        match wrong {
            Wrong::Refused(slug, why) => {
                Diagnostic::error(slug, top, why).expected("a plain file inside the book's folder")
            }
            Wrong::Unreadable { message, wanted } => {
                Diagnostic::error(Slug::Unreadable, top, message).expected(wanted)
            }
            Wrong::TooLarge(limit) => Diagnostic::error(
                Slug::TooLarge,
                top,
                format!(
                    "this file is larger than {} MiB and is not read",
                    limit / MIB
                ),
            ),
            Wrong::LongLine(at) => Diagnostic::error(
                Slug::TooLarge,
                Span::new(id, at..at),
                format!(
                    "this line is longer than {} KiB and is not read",
                    LONGEST_LINE / 1024
                ),
            )
            .expected("shorter lines, here and further down"),
            Wrong::Zero(at) => {
                let message = "this is a zero byte, which is not allowed in text";
                Diagnostic::error(Slug::NotUtf8, Span::new(id, at..at + 1), message)
                    .expected("a file saved as UTF-8")
            }
            Wrong::NotUtf8(at) => {
                let next = self
                    .sources
                    .text(id)
                    .get(at..)
                    .and_then(|rest| rest.chars().next());
                let at = Span::new(id, at..at + next.map_or(0, char::len_utf8));
                Diagnostic::error(Slug::NotUtf8, at, "this byte is not UTF-8 text")
                    .expected("a file saved as UTF-8")
            }
        }
    }

    /// Notes which part of the book a file is.
    pub fn place(&mut self, path: &str, id: FileId) {
        match path {
            SHEET => self.sheet = id,
            PARTS => self.parts = Some(id),
            PLAN => self.plan = Some(id),
            _ => self.logs.push(id),
        }
    }
}

/// Is this the path of a day's log?
pub(super) fn is_log(path: &str) -> bool {
    let stem = path
        .strip_prefix("days/")
        .and_then(|name| name.strip_suffix(".md"));
    stem.is_some_and(|stem| !stem.contains('/') && !stem.starts_with('.'))
}

/// Why a file is not read, or not as it is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Wrong {
    /// It stays out of the book.
    Refused(Slug, String),
    /// The system does not let us read it.
    Unreadable {
        message: String,
        wanted: &'static str,
    },
    /// It counts as empty.
    TooLarge(u64),
    /// Where in the text the first byte stands that is not UTF-8.
    NotUtf8(usize),
    /// Where in the text the first zero byte stands: some other kind of text, or no text at all.
    Zero(usize),
    /// Where in the text the first line stood that is too long; each of them counts as empty.
    LongLine(usize),
}

impl Wrong {
    /// What there is of the file all the same.
    fn leaves(&self) -> Used {
        match self {
            Self::Refused(..) | Self::Unreadable { .. } | Self::TooLarge(_) => Used::Nothing,
            Self::NotUtf8(_) | Self::Zero(_) | Self::LongLine(_) => Used::Partly,
        }
    }

    /// Does it stay out of the book?
    pub(super) fn keeps_out(&self) -> bool {
        matches!(self, Self::Refused(..) | Self::Unreadable { .. })
    }
}
