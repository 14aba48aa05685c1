//! A log's Markdown as safe HTML pieces with holes where the program has something to say.
//!
//! In: the Markdown of a log. Out: [`Prose`]. The text is walked once, when the log is read; the holes
//! are filled when the page is laid out. HTML that is not ours is shown as text, so a piece is always
//! safe to print as it is.

use crate::text::Span;

/// The text of a log in order.
#[derive(Clone, Debug, Default)]
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
    /// Inline code that is exactly an id, or an id with a part's figure, `fitted.mass`, `spent.total` or
    /// `dayN.id`: shown as what it was at the end of the day, or as code where nothing has that name.
    Reference(Reference),
    /// A picture of the book's folder.
    Photo(Photo),
    /// What stands in a `shop` block: never handed over.
    Shop(String),
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
