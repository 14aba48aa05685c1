//! What nearly states something: tick boxes without a tail, tails without a tick box, jobs where
//! none is read.
//!
//! In: the lines of a block as written. Out: plain tick boxes to be counted, and a finding for
//! every line that would be lost without a word.

use std::ops::Range;

use super::Walker;
use crate::diagnostics::{Diagnostic, Slug};
use crate::markdown::PlainBox;
use crate::markdown::task;

impl Walker<'_> {
    /// A task-list item without a tail at the end of its first line. It is a plain tick box, unless
    /// its tail is below.
    pub(super) fn plain_task(&mut self, item: &Range<usize>, marker: &Range<usize>, ticked: bool) {
        let line = task::line_end(self.text, marker.end);
        let below =
            task::lines_below(self.text, line, item).find_map(|line| task::tail(self.text, &line));
        match below {
            Some(tail) => self.lost_tail(tail),
            None => self.plain_box(marker.start..line, marker.end, ticked),
        }
    }

    fn plain_box(&mut self, line: Range<usize>, title_from: usize, ticked: bool) {
        let written = self.text.get(title_from..line.end).unwrap_or_default();
        let title = written.trim().to_owned();
        let end = title_from + written.trim_end().len();
        let span = self
            .place
            .span(line.start..end.max(line.start + 1).min(line.end.max(line.start)));
        self.walked.plain_boxes.push(PlainBox {
            span,
            title,
            ticked,
        });
    }

    /// The lines of a block that is no task: what looks like a box or a tail is said, for it states
    /// nothing.
    pub(super) fn unboxed(&mut self, block: &Range<usize>) {
        if self.in_shop {
            return;
        }
        for line in task::own_lines(self.text, block) {
            let near = task::near_box(self.text, &line);
            let tail = task::boxless(self.text, &line);
            let tail = tail.or_else(|| near.as_ref().and_then(|_| task::tail(self.text, &line)));
            match (tail, near) {
                (Some(tail), _) => self.boxless(tail),
                (None, Some(near)) => {
                    self.plain_box(near.at..line.end, near.title_from, near.ticked);
                }
                (None, None) => {}
            }
        }
    }

    /// A line that ends like a job and has no tick box would say nothing, and nobody would notice.
    fn boxless(&mut self, tail: Range<usize>) {
        let found = Diagnostic::warning(
            Slug::BadTail,
            self.place.span(tail),
            "this is ignored: the line has no tick box",
        );
        self.warn(found.expected("a list item that begins with `- [ ] ` or `- [x] `"));
    }

    /// The tail of a table's cell or of a heading: neither can be a job.
    pub(super) fn no_list(&mut self, block: &Range<usize>) {
        let Some(tail) = task::boxless(self.text, block).filter(|_| !self.in_shop) else {
            return;
        };
        self.boxless(tail);
    }

    /// Lines that are code by their indentation, or raw HTML, and look like jobs or blocks of ours:
    /// said once a block.
    pub(super) fn unread_lines(&mut self, lines: &[Range<usize>], because: &str) {
        if self.in_shop {
            return;
        }
        let mut like = lines
            .iter()
            .filter_map(|line| task::looks_stated(self.text, line));
        let Some(first) = like.next() else { return };
        let others = like.count();
        let message = match others {
            0 => format!("this line is not read: {because}"),
            more => format!("this line and {more} more below it are not read: {because}"),
        };
        let found = Diagnostic::warning(Slug::NotRead, self.place.span(first), message);
        self.warn(found.expected(
            "a list item or a block that begins at the left edge, or under its list item",
        ));
    }

    /// What is kept in the shop is no job, and a tick there would be lost without a word.
    pub(super) fn job_in_shop(&mut self, line: Range<usize>) {
        let message = "this is not a job: Shimbook does not read `shop` blocks";
        let found = Diagnostic::warning(Slug::NotRead, self.place.span(line), message);
        self.warn(found.expected("the job outside the block"));
    }
}
