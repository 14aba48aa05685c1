//! The one walk through a log's Markdown.
//!
//! In: the text, its place, what it may lead to. Out: [`Walked`]. Every tag that is opened is closed;
//! nothing recurses but a `shop` block, which holds none.

use std::collections::{BTreeMap, VecDeque};
use std::ops::Range;

use pulldown_cmark::{CodeBlockKind, CowStr, Event, HeadingLevel, LinkType, OffsetIter, Options, Parser, Tag, TagEnd};

use super::anchor::Anchors;
use super::fence::{self, Info};
use super::id::is_reference;
use super::link::{self, Goes, Surroundings};
use super::out::Out;
use super::place::Place;
use super::table::Table;
use super::task::{self, Task};
use super::{Fence, Heading, JobLine, Mark, NAMES_LOOKED_FOR, Photo, Piece, Reference, Walked};
use crate::text::{Diagnostic, FileId, Slug, nearest};

/// Tags nested deeper than this are left out; their text stays.
const DEEPEST: usize = 64;

/// Walks the Markdown of `file` that begins at byte `start`.
pub fn walk(text: &str, file: FileId, start: usize, around: &Surroundings) -> Walked {
    let text = text.get(start..).unwrap_or_default();
    let mut walker = Walker::new(text, Place::whole(file, start), around, Anchors::default());
    walker.run();
    walker.finish().0
}

/// A tag that is open.
enum Open {
    /// Closed by this.
    Tag(&'static str),
    /// Not shown.
    Silent,
    /// What follows a job's line in its first paragraph: opened when there is something to show.
    Rest { opened: bool },
    /// A link.
    Link,
    /// A link to an anchor of the page, which may turn out not to be there.
    LinkHere(LinkHere),
}

/// A link to a heading that may come later.
struct LinkHere {
    opens: usize,
    closes: usize,
    anchor: String,
    range: Range<usize>,
}

struct Walker<'a> {
    text: &'a str,
    place: Place,
    around: &'a Surroundings,
    events: OffsetIter<'a>,
    /// Events looked at already.
    ahead: VecDeque<(Event<'a>, Range<usize>)>,
    out: Out,
    open: Vec<Open>,
    /// How many links are open.
    links: usize,
    links_here: Vec<LinkHere>,
    /// What begins before this stands on a job's line and is not shown.
    shown_from: usize,
    table: Table,
    anchors: Anchors,
    /// Notes by name: their number, and whether they were referred to and written.
    notes: BTreeMap<String, Note>,
    /// Inside a `shop` block nothing states anything.
    in_shop: bool,
    said_deep: bool,
    walked: Walked,
}

#[derive(Default)]
struct Note {
    number: usize,
    referred: bool,
    written: bool,
}

impl<'a> Walker<'a> {
    fn new(text: &'a str, place: Place, around: &'a Surroundings, anchors: Anchors) -> Self {
        let options = Options::ENABLE_TABLES
            | Options::ENABLE_TASKLISTS
            | Options::ENABLE_STRIKETHROUGH
            | Options::ENABLE_FOOTNOTES;
        Self {
            text,
            place,
            around,
            events: Parser::new_ext(text, options).into_offset_iter(),
            ahead: VecDeque::new(),
            out: Out::default(),
            open: Vec::new(),
            links: 0,
            links_here: Vec::new(),
            shown_from: 0,
            table: Table::default(),
            anchors,
            notes: BTreeMap::new(),
            in_shop: false,
            said_deep: false,
            walked: Walked::default(),
        }
    }

    fn next(&mut self) -> Option<(Event<'a>, Range<usize>)> {
        self.ahead.pop_front().or_else(|| self.events.next())
    }

    /// The event `n` further on.
    fn peek(&mut self, n: usize) -> Option<&(Event<'a>, Range<usize>)> {
        while self.ahead.len() <= n {
            let event = self.events.next()?;
            self.ahead.push_back(event);
        }
        self.ahead.get(n)
    }

    fn run(&mut self) {
        while let Some((event, range)) = self.next() {
            match event {
                Event::End(tag) => self.close(tag),
                Event::Start(_) if range.start < self.shown_from => self.open.push(Open::Silent),
                _ if range.start < self.shown_from => {}
                Event::Start(tag) => self.start(tag, range),
                event => self.inline(event, range),
            }
        }
    }

    fn finish(mut self) -> (Walked, Anchors) {
        self.check_links_here();
        self.walked.prose = self.out.finish();
        (self.walked, self.anchors)
    }

    /// Links to headings that never came show as plain text.
    fn check_links_here(&mut self) {
        for link in std::mem::take(&mut self.links_here) {
            if self.anchors.holds(&link.anchor) {
                continue;
            }
            self.out.blank(link.opens);
            self.out.blank(link.closes);
            let near = nearest(&link.anchor, self.anchors.names().filter(|_| self.looks_for_names()));
            let near = near.map(|anchor| format!("#{anchor}"));
            let message = format!("no heading of this page is #{}", link.anchor);
            let found = Diagnostic::warning(Slug::BadLink, self.place.span(link.range), message);
            self.walked.diagnostics.push(found.maybe_instead(near));
        }
    }

    fn looks_for_names(&self) -> bool {
        self.walked.diagnostics.len() < NAMES_LOOKED_FOR
    }

    /// Puts a finding of a link or picture down, without what to write once there are too many.
    fn warn_of(&mut self, mut found: Diagnostic, near: impl FnOnce(&Surroundings) -> Option<String>) {
        if self.looks_for_names() {
            found.instead = near(self.around);
        }
        self.warn(found);
    }

    fn warn(&mut self, found: Diagnostic) {
        self.walked.diagnostics.push(found);
    }

    // --- what opens and closes ---------------------------------------------------------------

    fn start(&mut self, tag: Tag<'a>, range: Range<usize>) {
        match tag {
            Tag::CodeBlock(kind) => self.code_block(&kind, range),
            Tag::HtmlBlock => self.html_block(),
            Tag::Heading { level, .. } => self.heading(level, range),
            Tag::Image { dest_url, title, .. } => self.image(&dest_url, &title, range),
            Tag::Link { link_type, dest_url, .. } => self.link(link_type, &dest_url, range),
            Tag::Item => self.item(),
            tag => self.container(tag, range),
        }
    }

    /// Opens a tag that holds others.
    fn container(&mut self, tag: Tag<'a>, range: Range<usize>) {
        if self.open.len() >= DEEPEST {
            return self.too_deep(range);
        }
        self.open_rest();
        let (open, close) = match tag {
            Tag::Paragraph => ("<p>", "</p>\n"),
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
                let (open, close) = self.table.cell();
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

    fn too_deep(&mut self, range: Range<usize>) {
        self.open.push(Open::Silent);
        if !std::mem::replace(&mut self.said_deep, true) {
            let at = self.place.span(fence::first_line(self.text, &range));
            let message = format!("this is nested more than {DEEPEST} deep and shows as plain text");
            self.warn(Diagnostic::warning(Slug::TooDeep, at, message));
        }
    }

    fn list(&mut self, first: Option<u64>) {
        let close = if first.is_some() { "</ol>\n" } else { "</ul>\n" };
        match first {
            None => self.out.html("<ul>\n"),
            Some(1) => self.out.html("<ol>\n"),
            Some(number) => self.out.html(&format!("<ol start=\"{number}\">\n")),
        }
        self.open.push(Open::Tag(close));
    }

    fn close(&mut self, tag: TagEnd) {
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
            Some(Open::Silent | Open::Rest { opened: false }) | None => {}
        }
    }

    /// Opens the paragraph of what follows a job's line.
    fn open_rest(&mut self) {
        if let Some(Open::Rest { opened }) = self.open.last_mut()
            && !std::mem::replace(opened, true)
        {
            self.out.html("<p>");
        }
    }

    // --- lists and jobs ----------------------------------------------------------------------

    fn item(&mut self) {
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
        let task = task.filter(|_| !self.in_shop).map(|(ticked, marker)| (task::read(self.text, &marker), ticked));
        match task {
            Some((Task::Job { line, title, tail }, ticked)) => {
                self.tag_item("<li class=\"job\">");
                self.job(in_paragraph, ticked, line, title, tail);
            }
            Some((Task::Lost(range), _)) => {
                self.tag_item("<li>");
                self.lost_tail(range);
            }
            _ => self.tag_item("<li>"),
        }
    }

    /// Writes an item's tag, unless it lies too deep.
    fn tag_item(&mut self, tag: &str) {
        if matches!(self.open.last(), Some(Open::Tag(_))) {
            self.out.html(tag);
        }
    }

    fn lost_tail(&mut self, range: Range<usize>) {
        let found =
            Diagnostic::warning(Slug::BadTail, self.place.span(range), "this tail is not read, so this is no job");
        self.warn(found.expected("the whole tail, `{` to `}`, at the end of the item's first line"));
    }

    /// Takes the job's line out of the text and leaves its hole.
    fn job(&mut self, in_paragraph: bool, ticked: bool, line: Range<usize>, title: Range<usize>, tail: Range<usize>) {
        if in_paragraph {
            self.next();
            self.open.push(Open::Rest { opened: false });
        }
        self.next();
        self.shown_from = task::line_end(self.text, line.end) + 1;
        let span = self.place.span(line);
        let (title, tail) = (self.place.span(title), self.place.span(tail));
        self.mark(Mark::Job(JobLine { span, title, tail, ticked }));
    }

    fn mark(&mut self, mark: Mark) {
        self.out.hole(Piece::Entry(self.walked.marks.len()));
        self.walked.marks.push(mark);
    }

    // --- blocks that are taken whole ---------------------------------------------------------

    /// Everything up to the end of the block just opened.
    fn gather(&mut self) -> Vec<(Event<'a>, Range<usize>)> {
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

    fn code_block(&mut self, kind: &CodeBlockKind, range: Range<usize>) {
        let inner = self.gather();
        let info = match kind {
            CodeBlockKind::Fenced(info) => info.as_ref(),
            CodeBlockKind::Indented => "",
        };
        match fence::info(info) {
            Info::Other => self.code(info, &inner),
            _ if self.in_shop => self.code(info, &inner),
            what => self.own_block(what, range, &inner),
        }
    }

    fn code(&mut self, info: &str, inner: &[(Event, Range<usize>)]) {
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

    fn texts(&mut self, inner: &[(Event, Range<usize>)]) {
        for (event, _) in inner {
            if let Event::Text(text) | Event::Html(text) = event {
                self.out.text(text);
            }
        }
    }

    /// A block of ours.
    fn own_block(&mut self, what: Info, range: Range<usize>, inner: &[(Event, Range<usize>)]) {
        let events: Vec<Range<usize>> = inner.iter().map(|(_, range)| range.clone()).collect();
        let content_end = events.last().map_or(range.start, |last| last.end);
        let lines = fence::whole_lines(self.text, &events);
        let text = self.text;
        let swallows = what != Info::Shop
            && lines.iter().any(|line| fence::opens_another(text.get(line.clone()).unwrap_or_default().trim_start()));
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

    fn open_block(&mut self, range: Range<usize>) {
        let first = self.place.span(fence::first_line(self.text, &range));
        let found =
            Diagnostic::error(Slug::OpenBlock, first, "this block is not closed, so none of its lines are read");
        self.warn(found.expected("a line of its own with the same marks, ``` or ~~~, after its last line"));
        let range = trimmed_end(self.text, range);
        let text = self.text.get(range.clone()).unwrap_or_default().to_owned();
        self.out.hole(Piece::Unread { text, span: self.place.span(range) });
    }

    /// Markdown kept in the shop: walked on its own, so that all of it can be taken out.
    fn shop(&mut self, lines: &[Range<usize>]) {
        let text: String = lines.iter().filter_map(|line| self.text.get(line.clone())).collect();
        let anchors = std::mem::take(&mut self.anchors);
        let mut inner = Walker::new(&text, self.place.of_lines(lines), self.around, anchors);
        inner.in_shop = true;
        inner.run();
        let (walked, anchors) = inner.finish();
        self.anchors = anchors;
        self.walked.diagnostics.extend(walked.diagnostics);
        self.out.hole(Piece::Shop(walked.prose));
    }

    /// HTML of somebody else shows as text.
    fn html_block(&mut self) {
        let inner = self.gather();
        if let [(Event::Html(text), _)] = inner.as_slice()
            && is_line_break(text.trim())
        {
            return self.out.html("<br>\n");
        }
        self.out.html("<pre>");
        self.texts(&inner);
        self.out.html("</pre>\n");
    }

    fn heading(&mut self, level: HeadingLevel, range: Range<usize>) {
        let inner = self.gather();
        let text = plain_text(&inner);
        let anchor = self.anchors.take(&text);
        let span = self.place.span(trimmed_end(self.text, range.clone()));
        let marks_before = self.walked.marks.len();
        self.walked.headings.push(Heading { level: level as u8, text, span, marks_before });
        self.out.html(&format!("<{level} id=\"{anchor}\">"));
        self.open.push(Open::Tag(heading_close(level)));
        self.ahead.push_front((Event::End(TagEnd::Heading(level)), range));
        for event in inner.into_iter().rev() {
            self.ahead.push_front(event);
        }
    }

    // --- notes -------------------------------------------------------------------------------

    fn note(&mut self, name: &CowStr) {
        let note = self.numbered(name);
        let number = note.number;
        let first = !std::mem::replace(&mut note.written, true);
        let id = if first { format!(" id=\"note_{number}\"") } else { String::new() };
        self.out.html(&format!("<div class=\"note\"{id}><sup>{number}</sup>\n"));
        self.open.push(Open::Tag("</div>\n"));
    }

    fn note_reference(&mut self, name: &CowStr) {
        let in_link = self.links > 0;
        let note = self.numbered(name);
        let number = note.number;
        let first = !std::mem::replace(&mut note.referred, true);
        let id = if first { format!(" id=\"from_note_{number}\"") } else { String::new() };
        if in_link {
            return self.out.html(&format!("<sup{id}>{number}</sup>"));
        }
        self.out.html(&format!("<sup{id}><a href=\"#note_{number}\">{number}</a></sup>"));
    }

    fn numbered(&mut self, name: &CowStr) -> &mut Note {
        let count = &mut self.anchors.notes;
        self.notes.entry(name.to_string()).or_insert_with(|| {
            *count += 1;
            Note { number: *count, ..Note::default() }
        })
    }

    // --- inline ------------------------------------------------------------------------------

    fn inline(&mut self, event: Event<'a>, range: Range<usize>) {
        self.open_rest();
        match event {
            Event::Code(code) => self.inline_code(&code, range),
            Event::InlineHtml(html) if is_line_break(&html) => self.out.html("<br>"),
            Event::Text(text)
            | Event::InlineHtml(text)
            | Event::Html(text)
            | Event::InlineMath(text)
            | Event::DisplayMath(text) => self.out.text(&text),
            Event::FootnoteReference(name) => self.note_reference(&name),
            Event::SoftBreak => self.out.html("\n"),
            Event::HardBreak => self.out.html("<br>\n"),
            Event::Rule => self.out.html("<hr>\n"),
            Event::TaskListMarker(ticked) => self.out.html(tick_box(ticked)),
            Event::Start(_) | Event::End(_) => {}
        }
    }

    fn inline_code(&mut self, code: &CowStr, range: Range<usize>) {
        if self.links == 0 && is_reference(code) {
            let span = self.place.span(range);
            return self.out.hole(Piece::Reference(Reference { text: code.to_string(), span }));
        }
        self.out.html("<code>");
        self.out.text(code);
        self.out.html("</code>");
    }

    fn link(&mut self, kind: LinkType, address: &CowStr, range: Range<usize>) {
        self.open_rest();
        let mail = if kind == LinkType::Email { "mailto:" } else { "" };
        match link::link(self.around, &format!("{mail}{address}"), self.place.span(range.clone())) {
            Err(found) => {
                self.open.push(Open::Silent);
                self.warn_of(*found, |around| link::nearest_log(around, address));
            }
            Ok(Goes::To(href)) => {
                self.links += 1;
                self.out.html(&format!("<a href=\"{href}\">"));
                self.open.push(Open::Link);
            }
            Ok(Goes::Here(anchor)) => {
                self.links += 1;
                let href = super::escape_href(&anchor);
                let opens = self.out.loose(format!("<a href=\"#{href}\">"));
                self.open.push(Open::LinkHere(LinkHere { opens, closes: opens, anchor, range }));
            }
        }
    }

    fn image(&mut self, address: &CowStr, title: &CowStr, range: Range<usize>) {
        self.open_rest();
        let alt = plain_text(&self.gather());
        let span = self.place.span(range);
        match link::photo(self.around, address, span) {
            Ok(path) => {
                let caption = (!title.is_empty()).then(|| title.to_string());
                self.out.hole(Piece::Photo(Photo { path, alt, caption, span }));
            }
            Err(found) => {
                self.out.text(&alt);
                self.warn_of(*found, |around| link::nearest_photo(around, address));
            }
        }
    }
}

/// The words of some events, without their marks.
fn plain_text(events: &[(Event, Range<usize>)]) -> String {
    let words = events.iter().map(|(event, _)| match event {
        Event::Text(text) | Event::Code(text) | Event::InlineHtml(text) => text.as_ref(),
        Event::SoftBreak | Event::HardBreak => " ",
        _ => "",
    });
    words.collect::<String>().trim().to_owned()
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

fn tick_box(ticked: bool) -> &'static str {
    if ticked {
        "<input type=\"checkbox\" disabled checked aria-label=\"done\"> "
    } else {
        "<input type=\"checkbox\" disabled aria-label=\"to do\"> "
    }
}

fn is_line_break(html: &str) -> bool {
    matches!(html, "<br>" | "<br/>" | "<br />")
}

/// A range without the line end and space it ends in.
fn trimmed_end(text: &str, range: Range<usize>) -> Range<usize> {
    let len = text.get(range.clone()).unwrap_or_default().trim_end().len();
    range.start..range.start + len
}
