//! Which lines of a log the record shows by themselves.
//!
//! In: the log. Out: the lines that have a place of their own on its page, so that no link leads to
//! a place that is not there, and the stretches whose findings are shown where they stand, so that
//! the page can show the rest of them at its end.

use std::collections::{BTreeMap, BTreeSet};

use crate::book::{DayLog, Entry};
use crate::markdown::{Piece, Prose};
use crate::source::{Sources, Span};

/// What the page of a log shows line by line.
#[derive(Debug, Default)]
pub(super) struct Shown {
    lines: BTreeSet<usize>,
    /// Where each stretch begins, and where it ends.
    stretches: BTreeMap<u32, u32>,
}

impl Shown {
    pub(super) fn of(sources: &Sources, log: &DayLog) -> Self {
        let mut shown = Self::default();
        for entry in &log.entries {
            match entry {
                Entry::Mention(mention) => shown.line(sources, mention.span),
                Entry::Sums(block) => block
                    .lines
                    .iter()
                    .for_each(|line| shown.line(sources, line.span)),
                Entry::Parts(block) => block
                    .lines
                    .iter()
                    .for_each(|line| shown.line(sources, line.line.span)),
                Entry::Drawing(block) => shown.stretch(block.span),
            }
        }
        shown.unread(&log.prose);
        shown
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

    fn line(&mut self, sources: &Sources, span: Span) {
        self.lines.insert(sources.position(span).line);
        self.stretch(span);
    }

    fn stretch(&mut self, span: Span) {
        self.stretches.insert(span.start, span.end);
    }

    /// Has this line a place of its own on its page?
    pub(super) fn has_place(&self, line: usize) -> bool {
        self.lines.contains(&line)
    }

    /// Is a finding that begins here shown where it stands?
    pub(super) fn is_in_place(&self, at: Span) -> bool {
        self.stretches
            .range(..=at.start)
            .next_back()
            .is_some_and(|(_, end)| at.start <= *end)
    }
}
