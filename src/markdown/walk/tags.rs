//! What opens and closes: containers, lists, jobs.
//!
//! In: start and end events. Out: tags in pairs, and a hole for every job.

use std::ops::Range;

use pulldown_cmark::{Event, Tag, TagEnd};

use super::{DEEPEST, Open, Walker};
use crate::diagnostics::{Diagnostic, Slug};
use crate::markdown::table::Table;
use crate::markdown::task::{self, Task};
use crate::markdown::{JobLine, Mark, Piece, fence};

impl<'a> Walker<'a> {
    pub(super) fn start(&mut self, tag: Tag<'a>, range: Range<usize>) {
        match tag {
            Tag::CodeBlock(kind) => self.code_block(&kind, range),
            Tag::HtmlBlock => self.html_block(range),
            Tag::Heading { level, .. } => self.heading(level, range),
            Tag::Image {
                dest_url, title, ..
            } => self.image(&dest_url, &title, range),
            Tag::Link {
                link_type,
                dest_url,
                ..
            } => self.link(link_type, &dest_url, range),
            Tag::Item => self.item(&range),
            tag => self.container(tag, range),
        }
    }

    /// Opens a tag that holds others.
    pub(super) fn container(&mut self, tag: Tag<'a>, range: Range<usize>) {
        if self.open.len() >= DEEPEST {
            return self.too_deep(range);
        }
        self.open_rest();
        let (open, close) = match tag {
            Tag::Paragraph => {
                if !matches!(self.peek(0), Some((Event::TaskListMarker(_), _))) {
                    self.unboxed(&range);
                }
                ("<p>", "</p>\n")
            }
            Tag::BlockQuote(_) => ("<blockquote>\n", "</blockquote>\n"),
            Tag::List(first) => return self.list(first),
            Tag::FootnoteDefinition(name) => return self.note(&name),
            Tag::Table(columns) => {
                self.table = Table::new(columns);
                ("<table>\n", "</tbody></table>\n")
            }
            Tag::TableHead => {
                self.table.row(true);
                ("<thead><tr>", "</tr></thead><tbody>\n")
            }
            Tag::TableRow => {
                self.table.row(false);
                ("<tr>", "</tr>\n")
            }
            Tag::TableCell => {
                self.no_list(&range);
                let empty = matches!(self.peek(0), Some((Event::End(_), _)));
                let (open, close) = self.table.cell(empty);
                self.out.html(&open);
                ("", close)
            }
            Tag::Emphasis => ("<em>", "</em>"),
            Tag::Strong => ("<strong>", "</strong>"),
            Tag::Strikethrough => ("<del>", "</del>"),
            _ => ("", ""),
        };
        self.out.html(open);
        self.open.push(Open::Tag(close));
    }

    pub(super) fn too_deep(&mut self, range: Range<usize>) {
        self.open.push(Open::Silent);
        if !std::mem::replace(&mut self.said_deep, true) {
            let at = self.place.span(fence::first_line(self.text, &range));
            let message = format!(
                "this is nested more than {DEEPEST} levels deep and is shown as plain text"
            );
            self.warn(Diagnostic::warning(Slug::TooDeep, at, message));
        }
    }

    pub(super) fn list(&mut self, first: Option<u64>) {
        let close = if first.is_some() {
            "</ol>\n"
        } else {
            "</ul>\n"
        };
        match first {
            None => self.out.html("<ul>\n"),
            Some(1) => self.out.html("<ol>\n"),
            Some(number) => self.out.html(&format!("<ol start=\"{number}\">\n")),
        }
        self.open.push(Open::Tag(close));
    }

    pub(super) fn close(&mut self, tag: TagEnd) {
        self.end_raw();
        match self.open.pop() {
            Some(Open::Tag(close)) => self.out.html(close),
            Some(Open::Rest { opened: true }) => self.out.html("</p>\n"),
            Some(Open::Link) => {
                self.links -= 1;
                self.out.html("</a>");
            }
            Some(Open::LinkHere(mut link)) => {
                self.links -= 1;
                link.closes = self.out.loose("</a>".to_owned());
                self.links_here.push(link);
            }
            Some(Open::Silent) if tag == TagEnd::Paragraph => self.out.html("\n"),
            Some(Open::Silent | Open::Rest { opened: false } | Open::Raw(_)) | None => {}
        }
    }

    /// Opens the paragraph of what follows a job's line.
    pub(super) fn open_rest(&mut self) {
        if let Some(Open::Rest { opened }) = self.open.last_mut()
            && !std::mem::replace(opened, true)
        {
            self.out.html("<p>");
        }
    }

    pub(super) fn item(&mut self, item: &Range<usize>) {
        if self.open.len() >= DEEPEST {
            self.open.push(Open::Silent);
        } else {
            self.open.push(Open::Tag("</li>\n"));
        }
        let in_paragraph = matches!(self.peek(0), Some((Event::Start(Tag::Paragraph), _)));
        let task = match self.peek(usize::from(in_paragraph)) {
            Some((Event::TaskListMarker(ticked), range)) => Some((*ticked, range.clone())),
            _ => None,
        };
        let task = task.map(|(ticked, marker)| (task::read(self.text, &marker), ticked, marker));
        match task {
            Some((Task::Job { line, .. }, ..)) if self.in_shop => {
                self.tag_item("<li>");
                self.job_in_shop(line);
            }
            Some((Task::Job { line, title, tail }, ticked, _)) => {
                self.tag_item("<li class=\"job\">");
                self.job(in_paragraph, ticked, line, title, tail);
            }
            Some((Task::Lost(range), ..)) if !self.in_shop => {
                self.tag_item("<li>");
                self.lost_tail(range);
            }
            Some((Task::Plain, ticked, marker)) if !self.in_shop => {
                self.tag_item("<li>");
                self.plain_task(item, &marker, ticked);
            }
            Some(_) => self.tag_item("<li>"),
            None => {
                self.tag_item("<li>");
                // The lines of a paragraph are looked at when it opens.
                if !in_paragraph && self.open.len() < DEEPEST {
                    self.unboxed(item);
                }
            }
        }
    }

    /// Writes an item's tag, unless it lies too deep.
    pub(super) fn tag_item(&mut self, tag: &str) {
        if matches!(self.open.last(), Some(Open::Tag(_))) {
            self.out.html(tag);
        }
    }

    pub(super) fn lost_tail(&mut self, range: Range<usize>) {
        let found = Diagnostic::error(
            Slug::BadTail,
            self.place.span(range),
            "this text in braces is not read, so this is not a job",
        );
        self.warn(found.expected("the braces, `{` to `}`, at the end of the item's first line"));
    }

    /// Takes the job's line out of the text and leaves its hole.
    pub(super) fn job(
        &mut self,
        in_paragraph: bool,
        ticked: bool,
        line: Range<usize>,
        title: Range<usize>,
        tail: Range<usize>,
    ) {
        if in_paragraph {
            self.next();
            self.open.push(Open::Rest { opened: false });
        }
        self.next();
        self.shown_from = task::line_end(self.text, line.end) + 1;
        let span = self.place.span(line);
        let (title, tail) = (self.place.span(title), self.place.span(tail));
        self.mark(Mark::Job(JobLine {
            span,
            title,
            tail,
            ticked,
        }));
    }

    pub(super) fn mark(&mut self, mark: Mark) {
        self.out.hole(Piece::Entry(self.walked.marks.len()));
        self.walked.marks.push(mark);
    }
}
