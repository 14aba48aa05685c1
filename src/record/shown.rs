//! Which lines of the logs the record shows by themselves.
//!
//! In: the build. Out: the lines that have a place of their own on their page, so that no link leads to
//! a place that is not there, and the stretches whose findings are shown where they stand, so that a
//! page can show the rest of them at its end.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{DayLog, Entry};
use crate::compile::Build;
use crate::prose::{Piece, Prose};
use crate::text::{FileId, Span};

/// What the pages of the logs show line by line.
#[derive(Debug, Default)]
pub(super) struct Shown {
    places: BTreeSet<(FileId, usize)>,
    /// Where each stretch begins, and where it ends.
    stretches: BTreeMap<(FileId, u32), u32>,
}

impl Shown {
    pub(super) fn new(build: &Build) -> Self {
        let mut shown = Self::default();
        for log in &build.book.days {
            shown.log(build, log);
        }
        shown
    }

    fn log(&mut self, build: &Build, log: &DayLog) {
        for entry in &log.entries {
            match entry {
                Entry::Mention(mention) => self.line(build, mention.span),
                Entry::Sums(block) => block.lines.iter().for_each(|line| self.line(build, line.span)),
                Entry::Parts(block) => block.lines.iter().for_each(|line| self.line(build, line.line.span)),
                Entry::Drawing(block) => self.stretch(block.span),
            }
        }
        self.unread(&log.prose);
    }

    fn unread(&mut self, prose: &Prose) {
        for piece in &prose.pieces {
            match piece {
                Piece::Unread { span, .. } => self.stretch(*span),
                Piece::Shop(inner) => self.unread(inner),
                _ => {}
            }
        }
    }

    fn line(&mut self, build: &Build, span: Span) {
        self.places.insert((span.file, build.sources.position(span).line));
        self.stretch(span);
    }

    fn stretch(&mut self, span: Span) {
        self.stretches.insert((span.file, span.start), span.end);
    }

    /// Has this line a place of its own on its page?
    pub(super) fn has_place(&self, file: FileId, line: usize) -> bool {
        self.places.contains(&(file, line))
    }

    /// Is a finding that begins here shown where it stands?
    pub(super) fn is_in_place(&self, at: Span) -> bool {
        let before = self.stretches.range(..=(at.file, at.start)).next_back();
        before.is_some_and(|((file, _), end)| *file == at.file && at.start <= *end)
    }
}
