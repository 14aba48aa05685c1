//! Raw HTML in a log: blocks, and tags in a line.
//!
//! In: the events that hold it. Out: harmless HTML that closes all it opens where it was opened,
//! and a warning for everything that is left out. `<details>` may hold Markdown: its end may stand
//! in a later block, if nothing else was opened between. Comments are for whoever reads the log,
//! and go without a word.

use std::ops::Range;

use pulldown_cmark::Event;

use super::blocks::trimmed_end;
use super::{DEEPEST, Open, RawTag, Walker};
use crate::diagnostics::{Diagnostic, Slug};
use crate::markdown::raw::{self, Lost, Tag};
use crate::markdown::{Piece, fence};

const DETAILS: &str = "details";
const DETAILS_END: &str = "</details>";

/// A block of raw HTML, and where its bytes stand in the text.
struct Block {
    html: String,
    /// (offset in the block, offset in the text) of each line.
    lines: Vec<(usize, usize)>,
    range: Range<usize>,
}

impl Block {
    fn of(inner: &[(Event, Range<usize>)], range: Range<usize>) -> Self {
        let mut block = Self {
            html: String::new(),
            lines: Vec::new(),
            range,
        };
        for (event, range) in inner {
            if let Event::Text(text) | Event::Html(text) = event {
                block.lines.push((block.html.len(), range.start));
                block.html.push_str(text);
            }
        }
        block
    }

    /// Its lines, as ranges of the text.
    fn source_lines(&self, text: &str) -> Vec<Range<usize>> {
        self.lines
            .iter()
            .map(|(_, start)| *start..crate::markdown::task::line_end(text, *start))
            .collect()
    }

    /// The first line of a place in the block, as a range of the text.
    fn place(&self, at: &Range<usize>) -> Range<usize> {
        let line = self
            .lines
            .partition_point(|(start, _)| *start <= at.start)
            .saturating_sub(1);
        let (start, in_text) = self
            .lines
            .get(line)
            .copied()
            .unwrap_or((0, self.range.start));
        let next = self
            .lines
            .get(line + 1)
            .map_or(self.html.len(), |(next, _)| *next);
        let first_line = self
            .html
            .get(at.start..at.end.min(next))
            .unwrap_or_default()
            .trim_end();
        let begins = (in_text + at.start - start).min(self.range.end);
        begins..(begins + first_line.len()).min(self.range.end)
    }

    /// The block without its first or last bytes.
    fn part(&self, at: Range<usize>) -> Self {
        let html = self.html.get(at.clone()).unwrap_or_default().to_owned();
        let last = self
            .lines
            .partition_point(|(start, _)| *start <= at.start)
            .saturating_sub(1);
        let lines = self.lines.iter().skip(last).map(|(start, in_text)| {
            (
                start.saturating_sub(at.start),
                in_text + at.start.saturating_sub(*start),
            )
        });
        Self {
            html,
            lines: lines.collect(),
            range: self.range.clone(),
        }
    }
}

impl Walker<'_> {
    /// A block of raw HTML.
    pub(super) fn html_block(&mut self, range: Range<usize>) {
        let inner = self.gather();
        let block = Block::of(&inner, range);
        if let Some((what, end)) = raw::swallows(&block.html) {
            return self.swallowing(&block, what, end);
        }
        if !raw::is_comment(&block.html) {
            let lines: Vec<Range<usize>> = block.source_lines(self.text);
            self.unread_lines(
                &lines,
                "it is part of raw HTML; an empty line before it ends that",
            );
            self.raw_block(&block);
        }
    }

    /// HTML whose end is missing takes the rest of the log, with all its jobs and sums.
    fn swallowing(&mut self, block: &Block, what: &str, end: &str) {
        let first = self.place.span(fence::first_line(self.text, &block.range));
        let message = format!("this {what} is not closed, so nothing after it is read");
        self.warn(
            Diagnostic::error(Slug::OpenBlock, first, message)
                .expected(format!("`{end}` at its end")),
        );
        let range = trimmed_end(self.text, block.range.clone());
        let text = self.text.get(range.clone()).unwrap_or_default().to_owned();
        self.out.hole(Piece::Unread {
            text,
            span: self.place.span(range),
        });
    }

    fn raw_block(&mut self, block: &Block) {
        let html = block.html.trim_end();
        let begins = html.len() - html.trim_start().len();
        if self.details_is_open() {
            if html
                .trim_start()
                .to_ascii_lowercase()
                .starts_with(DETAILS_END)
            {
                self.close_details();
                return self.raw_block(&block.part(begins + DETAILS_END.len()..block.html.len()));
            }
            let before = html.len().saturating_sub(DETAILS_END.len());
            let ends = html
                .get(before..)
                .is_some_and(|end| end.eq_ignore_ascii_case(DETAILS_END));
            if ends && details_left_open(&raw::tags(html)) < 0 {
                self.raw_block(&block.part(0..before));
                return self.close_details();
            }
        }
        if !html.trim().is_empty() {
            self.sifted(block);
        }
    }

    /// What is left of a block; its last `<details>` stays open where its end is still to come.
    fn sifted(&mut self, block: &Block) {
        let tags = raw::tags(&block.html);
        let Some(clean) = raw::block(&block.html, &tags) else {
            return self.not_read(block);
        };
        let clean = clean.trim();
        let open = (details_left_open(&tags) == 1 && self.open.len() < DEEPEST)
            .then(|| clean.strip_suffix(DETAILS_END));
        if let Some(opening) = open.flatten() {
            let at = tags
                .iter()
                .rev()
                .find(|tag| tag.name == DETAILS)
                .map_or(0..0, |tag| tag.at.clone());
            let opens = self.out.loose(format!("{}\n", opening.trim_end()));
            self.open.push(Open::Raw(RawTag {
                name: DETAILS.to_owned(),
                opens,
                range: block.place(&at),
            }));
            self.tell(raw::lost(&tags, Some(DETAILS)).into_iter(), |at| {
                block.place(at)
            });
        } else {
            self.out.html(&format!("{clean}\n"));
            self.tell(raw::lost(&tags, None).into_iter(), |at| block.place(at));
        }
    }

    /// A block that is too long or too deep shows as it was written.
    fn not_read(&mut self, block: &Block) {
        let first = self.place.span(fence::first_line(self.text, &block.range));
        self.warn(Diagnostic::warning(
            Slug::TooDeep,
            first,
            "this raw HTML is too long or too deep and is shown as text",
        ));
        self.out.html("<pre>");
        self.out.text(&block.html);
        self.out.html("</pre>\n");
    }

    fn tell(
        &mut self,
        lost: impl Iterator<Item = Lost>,
        place: impl Fn(&Range<usize>) -> Range<usize>,
    ) {
        for lost in lost {
            let at = self.place.span(place(&lost.at));
            let found = Diagnostic::warning(Slug::RawHtml, at, lost.message).expected(EXPECTED);
            self.warn(found.maybe_instead(lost.instead.map(str::to_owned)));
        }
    }

    fn details_is_open(&self) -> bool {
        matches!(self.open.last(), Some(Open::Raw(tag)) if tag.name == DETAILS)
    }

    fn close_details(&mut self) {
        self.open.pop();
        self.out.html("</details>\n");
    }

    /// A tag in a line, with Markdown before and after it.
    pub(super) fn raw_in_line(&mut self, html: &str, range: Range<usize>) {
        let Some(tag) = raw::tags(html).into_iter().next() else {
            return self.no_tag(html, range);
        };
        if !tag.is_inline() {
            // Its end goes with it, without a word of its own.
            let told = tag.closes && std::mem::take(&mut self.left_out) == tag.name;
            let lost = (!told).then(|| raw::tag_lost(&tag));
            self.tell(lost.into_iter(), |_| range.clone());
            self.left_out = if tag.closes { String::new() } else { tag.name };
            return;
        }
        if tag.closes {
            return self.close_raw(&tag, range);
        }
        let lost: Vec<Lost> = tag
            .foreign()
            .map(|attribute| raw::attribute_lost(&tag, attribute))
            .collect();
        let place = range.clone();
        self.tell(lost.into_iter(), |_| place.clone());
        match tag.opening(html) {
            Some(opening) if tag.is_void() => self.out.html(&opening),
            Some(_) if self.open.len() >= DEEPEST => self.too_deep_raw(range),
            Some(opening) => {
                let opens = self.out.loose(opening);
                self.open.push(Open::Raw(RawTag {
                    name: tag.name,
                    opens,
                    range,
                }));
            }
            None => {}
        }
    }

    /// Markup of a line that is no tag: a comment goes, anything else is told.
    fn no_tag(&mut self, html: &str, range: Range<usize>) {
        if !html.starts_with("<!--") {
            let at = self.place.span(range);
            self.warn(
                Diagnostic::warning(Slug::RawHtml, at, "this markup is omitted").expected(EXPECTED),
            );
        }
    }

    fn too_deep_raw(&mut self, range: Range<usize>) {
        if !std::mem::replace(&mut self.said_deep, true) {
            let message = format!(
                "this is nested more than {DEEPEST} levels deep and is shown as plain text"
            );
            self.warn(Diagnostic::warning(
                Slug::TooDeep,
                self.place.span(range),
                message,
            ));
        }
    }

    fn close_raw(&mut self, tag: &Tag, range: Range<usize>) {
        if matches!(self.open.last(), Some(Open::Raw(open)) if open.name == tag.name) {
            self.open.pop();
            return self.out.html(&format!("</{}>", tag.name));
        }
        let message = format!(
            "`</{}>` has no opening tag here, so it is omitted",
            tag.name
        );
        let found = Diagnostic::warning(Slug::RawHtml, self.place.span(range), message);
        self.warn(found.expected(format!("`<{}>` before it in the same paragraph", tag.name)));
    }

    /// Raw tags that are open where what they stand in ends: those of a line go, `<details>` ends
    /// with its own lines.
    pub(super) fn end_raw(&mut self) {
        while matches!(self.open.last(), Some(Open::Raw(_))) {
            let Some(Open::Raw(tag)) = self.open.pop() else {
                return;
            };
            let at = self.place.span(tag.range);
            let (message, expected) = if tag.name == DETAILS {
                self.out.add_to(tag.opens, "</details>\n");
                let expected = "a `</details>` line after an empty line, indented like `<details>`";
                (
                    "`<details>` is not closed here, so it ends with these lines".to_owned(),
                    expected.to_owned(),
                )
            } else {
                self.out.blank(tag.opens);
                let expected = format!("`</{}>` in the same paragraph", tag.name);
                (
                    format!(
                        "`<{}>` is not closed in its paragraph, so it is omitted",
                        tag.name
                    ),
                    expected,
                )
            };
            self.warn(Diagnostic::warning(Slug::RawHtml, at, message).expected(expected));
        }
    }
}

/// What a log may hold.
const EXPECTED: &str = "Markdown, or plain tags, for example `<br>`, `<sub>`, `<kbd>`, `<mark>`, `<small>`, `<details>` or `<table>`";

/// How many `<details>` more are opened than closed.
fn details_left_open(tags: &[Tag]) -> isize {
    tags.iter()
        .filter(|tag| tag.name == DETAILS)
        .map(|tag| if tag.closes { -1 } else { 1 })
        .sum()
}
