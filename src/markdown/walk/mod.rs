//! The one walk through a log's Markdown.
//!
//! In: the text, its place, what it may lead to. Out: [`Walked`]. Every tag that is opened is
//! closed; nothing recurses but a `shop` block, which holds none.

mod blocks;
mod boxes;
mod inline;
mod raw;
mod tags;

use std::collections::{BTreeMap, VecDeque};
use std::ops::Range;

use pulldown_cmark::{Event, OffsetIter, Options, Parser};

use super::anchor::Anchors;
use super::link::Surroundings;
use super::out::Out;
use super::place::Place;
use super::table::Table;
use super::{NAMES_LOOKED_FOR, Walked};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::source::FileId;

/// Tags nested deeper than this are left out; their text stays.
const DEEPEST: usize = 64;

/// Walks the Markdown of `file` that begins at byte `start`.
pub fn walk(text: &str, file: FileId, start: usize, around: &Surroundings) -> Walked {
    let text = text.get(start..).unwrap_or_default();
    let mut walker = Walker::new(text, Place::whole(file, start), around, Anchors::default());
    walker.run();
    let (mut page, anchors) = walker.finish();
    page.anchors = anchors.into_names();
    page
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
    /// A tag of raw HTML, which is taken out again where its end does not come in what it was
    /// opened in.
    Raw(RawTag),
}

/// A raw tag whose end may or may not come.
struct RawTag {
    name: String,
    /// The piece that opens it.
    opens: usize,
    range: Range<usize>,
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
    /// The name of the raw tag of a line that was left out last.
    left_out: String,
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
            left_out: String::new(),
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
        self.end_raw();
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
            let near = nearest(
                &link.anchor,
                self.anchors.names().filter(|_| self.looks_for_names()),
            );
            let near = near.map(|anchor| format!("#{anchor}"));
            let message = format!("this page has no heading `#{}`", link.anchor);
            let found = Diagnostic::warning(Slug::BadLink, self.place.span(link.range), message);
            self.walked.diagnostics.push(found.maybe_instead(near));
        }
    }

    fn looks_for_names(&self) -> bool {
        self.walked.diagnostics.len() < NAMES_LOOKED_FOR
    }

    /// Puts a finding of a link or picture down, without what to write once there are too many.
    fn warn_of(
        &mut self,
        mut found: Diagnostic,
        near: impl FnOnce(&Surroundings) -> Option<String>,
    ) {
        if self.looks_for_names() {
            found.instead = near(self.around);
        }
        self.warn(found);
    }

    fn warn(&mut self, found: Diagnostic) {
        self.walked.diagnostics.push(found);
    }
}

/// The words of some events, without their marks.
fn plain_text(events: &[(Event, Range<usize>)]) -> String {
    let words = events.iter().map(|(event, _)| match event {
        Event::Text(text) | Event::Code(text) => text.as_ref(),
        Event::SoftBreak | Event::HardBreak => " ",
        _ => "",
    });
    words.collect::<String>().trim().to_owned()
}
