//! Findings as data: the items of `diagnostics` in `check --format json`.
//!
//! In: a diagnostic and the sources. Out: a [`Finding`] to serialize. Lines and columns count from
//! 1, columns in characters; ends are one past the last character. Text is as written, not made
//! visible.

use serde::Serialize;

use crate::diagnostics::Diagnostic;
use crate::source::{Sources, Span};

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// The stable short name of its kind.
    pub slug: &'static str,
    /// `error`, `warning` or `note`.
    pub severity: &'static str,
    /// What is wrong.
    pub message: String,
    /// Where it is.
    #[serde(flatten)]
    pub place: Place,
    /// Where the finding is that this one follows from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cause: Option<Place>,
    /// What was expected there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub expected: Option<String>,
    /// What to write instead.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub instead: Option<String>,
    /// Further places.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub see: Vec<See>,
}

/// A place in a file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Place {
    /// Relative to the book, with `/`.
    pub path: String,
    /// First line.
    pub line: usize,
    /// First column.
    pub column: usize,
    /// Last line.
    pub end_line: usize,
    /// One past the last column.
    pub end_column: usize,
}

/// A further place, and what it has to do with it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct See {
    /// Why to look there.
    pub message: String,
    /// Where it is.
    #[serde(flatten)]
    pub place: Place,
}

impl Finding {
    /// A diagnostic as data.
    pub fn new(diagnostic: &Diagnostic, sources: &Sources) -> Self {
        let see = |(span, why): &(Span, String)| See {
            message: why.clone(),
            place: Place::new(*span, sources),
        };
        Self {
            slug: diagnostic.slug.word(),
            severity: diagnostic.severity.word(),
            message: diagnostic.message.clone(),
            place: Place::new(diagnostic.at, sources),
            cause: diagnostic.because.map(|cause| Place::new(cause, sources)),
            expected: diagnostic.expected.clone(),
            instead: diagnostic.instead.clone(),
            see: diagnostic.also.iter().map(see).collect(),
        }
    }
}

impl Place {
    /// A span as people count.
    pub fn new(span: Span, sources: &Sources) -> Self {
        let (from, to) = (
            sources.position(span),
            sources.file(span.file).position(span.end as usize),
        );
        Self {
            path: sources.path(span.file).to_owned(),
            line: from.line,
            column: from.column,
            end_line: to.line,
            end_column: to.column,
        }
    }
}

/// All findings, in the order given.
pub fn all(diagnostics: &[Diagnostic], sources: &Sources) -> Vec<Finding> {
    diagnostics
        .iter()
        .map(|diagnostic| Finding::new(diagnostic, sources))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::Slug;

    #[test]
    fn a_follow_up_names_the_place_of_its_cause() {
        let mut sources = Sources::default();
        let file = sources.add("parts.yaml", "a\nb\n");
        let found = Diagnostic::error(Slug::UnknownPart, Span::new(file, 0..1), "m")
            .because(Some(Span::new(file, 2..3)));
        let json = serde_json::to_value(Finding::new(&found, &sources)).unwrap();
        let cause = serde_json::json!({"path": "parts.yaml", "line": 2, "column": 1, "end_line": 2, "end_column": 2});
        assert_eq!(json["cause"], cause);
    }

    #[test]
    fn the_keys_that_scripts_rely_on_are_there() {
        let mut sources = Sources::default();
        let file = sources.add("days/day-02.md", "a\n±b c\n");
        let found = Diagnostic::error(Slug::UnitMismatch, Span::new(file, 4..5), "m")
            .see(Span::new(file, 0..1), "why");
        let json = serde_json::to_value(Finding::new(&found, &sources)).unwrap();
        let expected = serde_json::json!({
            "slug": "unit-mismatch", "severity": "error", "message": "m", "path": "days/day-02.md",
            "line": 2, "column": 2, "end_line": 2, "end_column": 3,
            "see": [{"message": "why", "path": "days/day-02.md", "line": 1, "column": 1, "end_line": 1, "end_column": 2}],
        });
        assert_eq!(json, expected);
    }
}
