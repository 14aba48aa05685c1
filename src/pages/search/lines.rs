//! A log's text, stretch by stretch, each with the nearest anchor before it.
//!
//! In: a log. Out: its lines. What a name stood at is found with the name, so a reference is its
//! words only. A stretch ends where a paragraph, an item, a heading or a row of a table does. Of
//! sums and part events only what somebody wrote is text; their figures are found with the values
//! and parts.

use super::FoundLine;
use crate::book::{DayLog, Entry, Mention, PartsBlock};
use crate::calc::Outcome;
use crate::markdown::{Piece, Prose, unescape};
use crate::pages::body::{notes, said_at};
use crate::pages::layout::{Layout, plain};

/// Tags between which words belong together.
const WITHIN: [&str; 24] = [
    "a", "abbr", "b", "cite", "code", "del", "dfn", "em", "i", "ins", "kbd", "mark", "q", "s",
    "samp", "small", "span", "strong", "sub", "sup", "u", "var", "wbr", "input",
];
/// Tags at which a word ends and a stretch does not.
const BETWEEN_WORDS: [&str; 3] = ["td", "th", "br"];

pub(super) fn lines(layout: &Layout, index: usize, log: &DayLog) -> Vec<FoundLine> {
    let mut reader = Reader {
        layout,
        index,
        log,
        at: String::new(),
        text: String::new(),
        lines: Vec::new(),
    };
    reader.prose(&log.prose);
    reader.end();
    reader.lines
}

struct Reader<'a> {
    layout: &'a Layout<'a>,
    index: usize,
    log: &'a DayLog,
    /// The anchor last met.
    at: String,
    text: String,
    lines: Vec<FoundLine>,
}

impl Reader<'_> {
    fn prose(&mut self, prose: &Prose) {
        for piece in &prose.pieces {
            match piece {
                Piece::Html(html) => self.html(html),
                Piece::Entry(entry) => self.entry(*entry),
                Piece::Reference(reference) => self.reference(&reference.text),
                Piece::Photo(photo) => {
                    self.text.push_str(&format!(
                        " {} {} ",
                        photo.alt,
                        photo.caption.as_deref().unwrap_or_default()
                    ));
                }
                Piece::Shop(inner) => self.prose(inner),
                Piece::Unread { .. } => self.end(),
            }
        }
    }

    /// A value is its name, as on the page; a job its title, a part what it is.
    fn reference(&mut self, text: &str) {
        let layout = self.layout;
        let job = || layout.build.jobs.job(text).map(|job| plain(&job.title));
        let part = || {
            layout
                .build
                .book
                .parts
                .get(text)
                .map(|part| part.what.clone())
        };
        let value = layout
            .build
            .worked
            .names
            .find(text)
            .map(|_| text.to_owned());
        self.text.push_str(
            &value
                .or_else(job)
                .or_else(part)
                .unwrap_or_else(|| text.to_owned()),
        );
    }

    /// Finished HTML: its texts, and the anchors of its headings.
    fn html(&mut self, html: &str) {
        let mut rest = html;
        while let Some((text, tag)) = rest.split_once('<') {
            self.text.push_str(&unescape(text));
            let (tag, after) = tag.split_once('>').unwrap_or((tag, ""));
            self.tag(tag);
            rest = after;
        }
        self.text.push_str(&unescape(rest));
    }

    fn tag(&mut self, tag: &str) {
        let name = tag
            .trim_start_matches('/')
            .split([' ', '/'])
            .next()
            .unwrap_or_default();
        if WITHIN.contains(&name) {
            return;
        }
        if BETWEEN_WORDS.contains(&name) {
            return self.text.push(' ');
        }
        self.end();
        if let Some((_, id)) = tag.split_once(" id=\"") {
            self.at = unescape(id.split('"').next().unwrap_or_default());
        }
    }

    /// Ends a stretch.
    fn end(&mut self) {
        let text = std::mem::take(&mut self.text);
        self.line(&text);
    }

    /// A stretch at the anchor last met, with single spaces.
    fn line(&mut self, text: &str) {
        let words = text
            .split(|c: char| c.is_whitespace() || c.is_control())
            .filter(|word| !word.is_empty());
        let says = words.collect::<Vec<_>>().join(" ");
        if !says.is_empty() {
            self.lines.push(FoundLine {
                at: self.at.clone(),
                says,
            });
        }
    }

    fn entry(&mut self, entry: usize) {
        self.end();
        match self.log.entries.get(entry) {
            Some(Entry::Mention(mention)) => self.mention(entry, mention),
            Some(Entry::Sums(_)) => self.sums(entry),
            Some(Entry::Parts(block)) => self.parts(block),
            Some(Entry::Drawing(_)) | None => {}
        }
    }

    /// What a job's line says besides the work.
    fn mention(&mut self, entry: usize, mention: &Mention) {
        self.at = self.layout.line_id(mention.span);
        let Some(job) = self.layout.build.jobs.job(&mention.id.value) else {
            return;
        };
        let Some(said) = said_at(&job.history, (self.index, entry)) else {
            return;
        };
        let said = notes(said)
            .into_iter()
            .chain(said.remark.clone())
            .collect::<Vec<_>>()
            .join(", ");
        if !said.is_empty() {
            self.line(&format!("{}: {said}", plain(&job.title)));
        }
    }

    /// The remarks of a sums block.
    fn sums(&mut self, entry: usize) {
        let worked = &self.layout.build.worked;
        for line in worked
            .blocks
            .get(&(self.index, entry))
            .into_iter()
            .flat_map(|lines| lines.iter())
        {
            self.at = self.layout.line_id(line.at);
            let name = match &line.outcome {
                Outcome::Value { name, .. } => Some(*name),
                Outcome::Check { check, .. } => Some(worked.checks[*check].name),
                Outcome::Remark | Outcome::Unread => None,
            };
            if let Some(remark) = &line.remark {
                self.line(&name.map_or_else(
                    || remark.clone(),
                    |name| format!("{}: {remark}", worked.text(name)),
                ));
            }
        }
    }

    /// The remarks of a parts block.
    fn parts(&mut self, block: &PartsBlock) {
        for line in &block.lines {
            self.at = self.layout.line_id(line.line.span);
            let Some(event) = &line.event else { continue };
            if let Some(remark) = &event.remark {
                let what = self.layout.part_link(&event.id.value).text;
                self.line(&format!("{what}: {}, {remark}", event.what.value.words()));
            }
        }
    }
}
