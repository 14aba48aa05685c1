//! Where a walked text stands in its file.
//!
//! In: byte ranges of the text that is walked. Out: spans of the file. A log lies in its file as
//! one piece; what a `shop` block holds lies there line by line, as the block may be nested.

use std::ops::Range;

use crate::source::{FileId, Span};

/// How offsets of the walked text become offsets of the file.
pub(super) struct Place {
    file: FileId,
    /// (offset in the walked text, offset in the file), sorted, the first at 0.
    starts: Vec<(usize, usize)>,
}

impl Place {
    /// A text that begins at `start` of the file and goes on in one piece.
    pub(super) fn whole(file: FileId, start: usize) -> Self {
        Self {
            file,
            starts: vec![(0, start)],
        }
    }

    /// The lines `ranges` of a text at this place, one after the other.
    pub(super) fn of_lines(&self, ranges: &[Range<usize>]) -> Self {
        let mut walked = 0;
        let mut starts = Vec::with_capacity(ranges.len().max(1));
        for range in ranges {
            starts.push((walked, self.offset(range.start)));
            walked += range.len();
        }
        Self {
            file: self.file,
            starts,
        }
    }

    /// The span a range of the walked text has in the file.
    pub(super) fn span(&self, range: Range<usize>) -> Span {
        let start = self.offset(range.start);
        let last = range.end.saturating_sub(1).max(range.start);
        let (walked, file) = self.segment(last);
        Span::new(
            self.file,
            start..file + (range.end.max(range.start) - walked),
        )
    }

    fn offset(&self, at: usize) -> usize {
        let (walked, file) = self.segment(at);
        file + (at - walked)
    }

    fn segment(&self, at: usize) -> (usize, usize) {
        let after = self.starts.partition_point(|(walked, _)| *walked <= at);
        self.starts
            .get(after.saturating_sub(1))
            .copied()
            .unwrap_or_default()
    }
}
