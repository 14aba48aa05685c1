//! What is said about a place in the book: one type for every stage.
//!
//! In: a slug, a severity, a sentence and a span from whichever stage found it. Out: plain data for
//! the renderers, which know nothing of its origin. Whatever of the book it repeats, a message
//! stays one line of a length that can be read.

use super::Slug;
use crate::source::Span;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The line is not worked with until it is put right.
    Error,
    /// Worked with, but somebody should look.
    Warning,
    /// Worth knowing.
    Note,
}

impl Severity {
    /// The word scripts may rely on.
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        }
    }
}

/// Longer than this, in bytes, no message is read to its end.
const LONGEST: usize = 2000;

/// A message, cut in its middle where it repeats too much of the book.
fn readable(message: String) -> String {
    if message.len() <= LONGEST {
        return message;
    }
    let head = message
        .get(..message.floor_char_boundary(LONGEST / 2))
        .unwrap_or_default();
    let tail = message
        .get(message.ceil_char_boundary(message.len() - LONGEST / 4)..)
        .unwrap_or_default();
    format!("{head} … {tail}")
}

/// One finding: where, what is wrong, what was expected, what to write instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// The stable short name of this kind of finding.
    pub slug: Slug,
    /// How bad it is.
    pub severity: Severity,
    /// One terse sentence without a full stop.
    pub message: String,
    /// The place.
    pub at: Span,
    /// Further places, each with what it has to do with it.
    pub also: Vec<(Span, String)>,
    /// The place of the finding that this one follows from.
    pub because: Option<Span>,
    /// What was expected there.
    pub expected: Option<String>,
    /// What to write instead, as it could stand in the file.
    pub instead: Option<String>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn error(slug: Slug, at: Span, message: impl Into<String>) -> Self {
        Self::new(slug, Severity::Error, at, message.into())
    }

    /// A warning at a place.
    pub fn warning(slug: Slug, at: Span, message: impl Into<String>) -> Self {
        Self::new(slug, Severity::Warning, at, message.into())
    }

    /// A note at a place.
    pub fn note(slug: Slug, at: Span, message: impl Into<String>) -> Self {
        Self::new(slug, Severity::Note, at, message.into())
    }

    fn new(slug: Slug, severity: Severity, at: Span, message: String) -> Self {
        Self {
            slug,
            severity,
            message: readable(message),
            at,
            also: Vec::new(),
            because: None,
            expected: None,
            instead: None,
        }
    }

    /// Says what was expected.
    #[must_use]
    pub fn expected(mut self, what: impl Into<String>) -> Self {
        self.expected = Some(readable(what.into()));
        self
    }

    /// Says what to write instead.
    #[must_use]
    pub fn instead(mut self, what: impl Into<String>) -> Self {
        self.instead = Some(what.into()).filter(|what| what.len() <= LONGEST);
        self
    }

    /// Says what to write instead, where there is something to say.
    #[must_use]
    pub fn maybe_instead(mut self, what: Option<impl Into<String>>) -> Self {
        self.instead = what.map(Into::into).filter(|what| what.len() <= LONGEST);
        self
    }

    /// Names the place of the finding that this one follows from.
    #[must_use]
    pub fn because(mut self, cause: Option<Span>) -> Self {
        self.because = cause;
        self
    }

    /// Points at a further place.
    #[must_use]
    pub fn see(mut self, span: Span, why: impl Into<String>) -> Self {
        self.also.push((span, why.into()));
        self
    }
}
