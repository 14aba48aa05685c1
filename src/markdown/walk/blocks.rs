//! Blocks that are taken whole: code, our own blocks, headings.
//!
//! In: the events between a block's start and end. Out: what the block states, or its HTML.

use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, TagEnd};

use super::{Open, Walker, plain_text};
use crate::diagnostics::{Diagnostic, Slug};
use crate::markdown::fence::{self, Info};
use crate::markdown::{Fence, Heading, Mark, Piece};

impl<'a> Walker<'a> {
    /// Everything up to the end of the block just opened.
    pub(super) fn gather(&mut self) -> Vec<(Event<'a>, Range<usize>)> {
        let mut depth = 0_usize;
        let mut inner = Vec::new();
        while let Some((event, range)) = self.next() {
            match event {
                Event::Start(_) => depth += 1,
                Event::End(_) if depth == 0 => break,
                Event::End(_) => depth -= 1,
                _ => {}
            }
            inner.push((event, range));
        }
        inner
    }

    pub(super) fn code_block(&mut self, kind: &CodeBlockKind, range: Range<usize>) {
        let inner = self.gather();
        let info = match kind {
            CodeBlockKind::Fenced(info) => info.as_ref(),
            CodeBlockKind::Indented => "",
        };
        match fence::info(info) {
            Info::Other => {
                self.meant_block(info, &range);
                if matches!(kind, CodeBlockKind::Indented) {
                    let lines: Vec<Range<usize>> =
                        inner.iter().map(|(_, range)| range.clone()).collect();
                    self.unread_lines(
                        &lines,
                        "it is indented by four or more spaces, which makes it code",
                    );
                }
                self.code(info, &inner);
            }
            _ if self.in_shop => self.code(info, &inner),
            what => self.own_block(what, range, &inner),
        }
    }

    /// A block whose name is nearly one of ours would state nothing, and nobody would notice.
    fn meant_block(&mut self, info: &str, range: &Range<usize>) {
        let Some(meant) = fence::meant(info).filter(|_| !self.in_shop) else {
            return;
        };
        let first = self.place.span(fence::first_line(self.text, range));
        let word = info.split_whitespace().next().unwrap_or_default();
        let found = Diagnostic::error(
            Slug::UnknownBlock,
            first,
            format!("`{word}` is not a block Shimbook knows, so its lines are not read"),
        );
        self.warn(
            found
                .expected("sums, parts, drawing or shop")
                .instead(meant),
        );
    }

    pub(super) fn code(&mut self, info: &str, inner: &[(Event, Range<usize>)]) {
        let language: String = info.split_whitespace().take(1).collect();
        self.out.html("<pre><code");
        if !language.is_empty() {
            self.out.html(" class=\"language-");
            self.out.text(&language);
            self.out.html("\"");
        }
        self.out.html(">");
        self.texts(inner);
        self.out.html("</code></pre>\n");
    }

    pub(super) fn texts(&mut self, inner: &[(Event, Range<usize>)]) {
        for (event, _) in inner {
            if let Event::Text(text) | Event::Html(text) = event {
                self.out.text(text);
            }
        }
    }

    /// A block of ours.
    pub(super) fn own_block(
        &mut self,
        what: Info,
        range: Range<usize>,
        inner: &[(Event, Range<usize>)],
    ) {
        let events: Vec<Range<usize>> = inner.iter().map(|(_, range)| range.clone()).collect();
        let content_end = events.last().map_or(range.start, |last| last.end);
        let lines = fence::whole_lines(self.text, &events);
        let text = self.text;
        let swallows = what != Info::Shop
            && lines.iter().any(|line| {
                fence::opens_another(text.get(line.clone()).unwrap_or_default().trim_start())
            });
        if swallows || !fence::is_closed(text, &range, content_end) {
            return self.open_block(range);
        }
        match what {
            Info::Stating(kind) => {
                let lines = lines.iter().filter_map(|line| fence::trimmed(text, line));
                let lines = lines.map(|line| self.place.span(line)).collect();
                let span = self.place.span(trimmed_end(text, range));
                self.mark(Mark::Fence(Fence { kind, span, lines }));
            }
            _ => self.shop(&lines),
        }
    }

    pub(super) fn open_block(&mut self, range: Range<usize>) {
        let first = self.place.span(fence::first_line(self.text, &range));
        let found = Diagnostic::error(
            Slug::OpenBlock,
            first,
            "this block is not closed, so its lines are not read",
        );
        self.warn(found.expected("a line with the same marks, ``` or ~~~, after its last line"));
        let range = trimmed_end(self.text, range);
        let text = self.text.get(range.clone()).unwrap_or_default().to_owned();
        self.out.hole(Piece::Unread {
            text,
            span: self.place.span(range),
        });
    }

    /// Markdown kept in the shop: walked on its own, so that all of it can be taken out.
    pub(super) fn shop(&mut self, lines: &[Range<usize>]) {
        let text: String = lines
            .iter()
            .filter_map(|line| self.text.get(line.clone()))
            .collect();
        let anchors = std::mem::take(&mut self.anchors);
        let mut inner = Walker::new(&text, self.place.of_lines(lines), self.around, anchors);
        inner.in_shop = true;
        inner.run();
        let (walked, anchors) = inner.finish();
        self.anchors = anchors;
        self.walked.diagnostics.extend(walked.diagnostics);
        self.walked.far_links.extend(walked.far_links);
        self.out.hole(Piece::Shop(walked.prose));
    }

    pub(super) fn heading(&mut self, level: HeadingLevel, range: Range<usize>) {
        let inner = self.gather();
        self.no_list(&range);
        let text = plain_text(&inner);
        let anchor = self.anchors.take(&text);
        let span = self.place.span(trimmed_end(self.text, range.clone()));
        let marks_before = self.walked.marks.len();
        self.walked.headings.push(Heading {
            level: level as u8,
            text,
            span,
            marks_before,
        });
        self.out.html(&format!("<{level} id=\"{anchor}\">"));
        self.open.push(Open::Tag(heading_close(level)));
        self.ahead
            .push_front((Event::End(TagEnd::Heading(level)), range));
        for event in inner.into_iter().rev() {
            self.ahead.push_front(event);
        }
    }
}

fn heading_close(level: HeadingLevel) -> &'static str {
    match level {
        HeadingLevel::H1 => "</h1>\n",
        HeadingLevel::H2 => "</h2>\n",
        HeadingLevel::H3 => "</h3>\n",
        HeadingLevel::H4 => "</h4>\n",
        HeadingLevel::H5 => "</h5>\n",
        HeadingLevel::H6 => "</h6>\n",
    }
}

/// A range without the line end and space it ends in.
pub(super) fn trimmed_end(text: &str, range: Range<usize>) -> Range<usize> {
    let len = text.get(range.clone()).unwrap_or_default().trim_end().len();
    range.start..range.start + len
}
