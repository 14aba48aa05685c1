//! A finding a line, for editors and other programs: `path:line:col: severity: message`.
//!
//! In: diagnostics and sources. Out: lines. A finding never takes more than one.

use super::visible;
use crate::diagnostics::Diagnostic;
use crate::source::Sources;

/// All findings, in the order given, each line with its end.
pub fn all(diagnostics: &[Diagnostic], sources: &Sources) -> String {
    diagnostics
        .iter()
        .map(|diagnostic| one(diagnostic, sources) + "\n")
        .collect()
}

/// One finding, without a line end.
pub fn one(diagnostic: &Diagnostic, sources: &Sources) -> String {
    let at = sources.position(diagnostic.at);
    let path = visible(sources.path(diagnostic.at.file));
    let (severity, message) = (diagnostic.severity.word(), visible(&diagnostic.message));
    format!("{path}:{}:{}: {severity}: {message}", at.line, at.column)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::Slug;
    use crate::source::Span;

    #[test]
    fn a_finding_is_one_line_with_its_column_in_characters() {
        let mut sources = Sources::default();
        let file = sources.add("days/day-01.md", "one\n± x\n");
        let found = Diagnostic::error(
            Slug::UnknownName,
            Span::new(file, 7..8),
            "no value is\ncalled `x`",
        );
        assert_eq!(
            all(&[found], &sources),
            "days/day-01.md:2:3: error: no value is␊called `x`\n"
        );
    }
}
