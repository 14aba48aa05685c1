//! A log's Markdown as safe HTML pieces with holes where the program has something to say.
//!
//! In: the Markdown of a log. Out: [`Prose`]. The text is walked once, when the log is read; the
//! holes are filled when the page is laid out. Of raw HTML in a log only harmless, balanced tags
//! are left, so a piece is always safe to print as it is.

mod anchor;
mod escape;
mod fence;
mod id;
mod link;
mod out;
mod place;
mod raw;
mod table;
mod task;
#[cfg(test)]
mod tests;
mod title;
mod walk;

use std::collections::BTreeSet;

use crate::diagnostics::Diagnostic;
use crate::source::Span;

pub use escape::{escape, escape_href};
pub(crate) use escape::{unescape, unpercent};
pub use id::is_id;
pub use link::Surroundings;
pub use title::title_html;
pub use walk::walk;

/// After so many findings no more nearest names are looked for: the looking must not cost the
/// square of a broken book.
pub(crate) const NAMES_LOOKED_FOR: usize = 100;

/// A log's Markdown, walked: what to show, and what states something.
#[derive(Clone, Debug, Default)]
pub struct Walked {
    /// The text to show; `Piece::Entry(n)` is `marks[n]`.
    pub prose: Prose,
    /// What states something, in order.
    pub marks: Vec<Mark>,
    /// Every heading, in order.
    pub headings: Vec<Heading>,
    /// The anchors of all headings.
    pub anchors: BTreeSet<String>,
    /// Links to headings of other logs.
    pub far_links: Vec<FarLink>,
    /// Tick boxes without a tail: they are no jobs.
    pub plain_boxes: Vec<PlainBox>,
    /// What is wrong with the Markdown.
    pub diagnostics: Vec<Diagnostic>,
}

/// A tick box without a tail.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlainBox {
    /// From `[` to the end of its line.
    pub span: Span,
    /// What is written behind it, as Markdown.
    pub title: String,
    /// Is it ticked?
    pub ticked: bool,
}

/// A link to a heading of another log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FarLink {
    /// The log's path, such as `days/day-02.md`.
    pub log: String,
    /// The anchor of the heading.
    pub anchor: String,
    /// The link's place.
    pub span: Span,
}

/// A place that states something, not read any further.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mark {
    /// A task-list item whose first line ends in a tail.
    Job(JobLine),
    /// A block of ours.
    Fence(Fence),
}

impl Mark {
    /// Its place.
    pub fn span(&self) -> Span {
        match self {
            Self::Job(line) => line.span,
            Self::Fence(fence) => fence.span,
        }
    }
}

/// The first line of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobLine {
    /// From `[` to `}`.
    pub span: Span,
    /// The title, empty where only the tail stands.
    pub title: Span,
    /// What stands between the braces.
    pub tail: Span,
    /// Is the box ticked?
    pub ticked: bool,
}

/// Which block of ours.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FenceKind {
    /// Sums.
    Sums,
    /// Part events.
    Parts,
    /// A drawing.
    Drawing,
}

/// A block of ours that is closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fence {
    /// Which one.
    pub kind: FenceKind,
    /// Opening fence to closing fence.
    pub span: Span,
    /// Its lines without indentation and trailing space, blank ones left out.
    pub lines: Vec<Span>,
}

/// A heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// 1 to 6.
    pub level: u8,
    /// As plain text.
    pub text: String,
    /// Its place.
    pub span: Span,
    /// How many marks stand before it.
    pub marks_before: usize,
}

/// The text of a log in order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prose {
    /// Its pieces.
    pub pieces: Vec<Piece>,
}

/// A stretch of finished HTML, or a hole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// Safe HTML.
    Html(String),
    /// `entries[n]` of the log is shown here. For a job it stands inside its `<li>`: the tick, the
    /// title and the state go here, what else the item holds follows as HTML.
    Entry(usize),
    /// Inline code that is exactly an id, or an id with a part's figure, `fitted.mass`,
    /// `spent.total` or `dayN.id`: shown as what it was at the end of the day, or as code where
    /// nothing has that name.
    Reference(Reference),
    /// A picture of `photos/`, be it there or not; it stands where running text may stand.
    Photo(Photo),
    /// What stands in a `shop` block: never handed over. Holds no entries and no further shop
    /// block.
    Shop(Prose),
    /// Something of the log that could not be read: an open block's lines, as text.
    Unread {
        /// The text as written.
        text: String,
        /// Its place.
        span: Span,
    },
}

/// Inline code that may stand for something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reference {
    /// The code as written.
    pub text: String,
    /// Its place.
    pub span: Span,
}

/// A picture in a log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photo {
    /// Path inside the book's folder, with `/`.
    pub path: String,
    /// The words that stand for it where it cannot be seen.
    pub alt: String,
    /// The title, shown below it.
    pub caption: Option<String>,
    /// Its place in the log.
    pub span: Span,
}
