//! Findings for people: the place, the line with the place ruled under, what is wrong, what to
//! write.
//!
//! In: diagnostics, sources, and the styles to print them in. Out: text with the styles' codes in
//! it, for a stream that takes them out where they are not wanted. Nothing of the book reaches it
//! raw.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};

use super::excerpt::excerpt;
use super::visible;
use crate::diagnostics::{Diagnostic, Severity, follow_ups, lines_that_need_it};
use crate::source::{Sources, Span};

/// The styles of a finding's parts.
#[derive(Clone, Copy, Debug, Default)]
pub struct Styles {
    /// File and line.
    pub place: Style,
    /// The word `error`, and the rule under its place.
    pub error: Style,
    /// The word `warning`, and the rule under its place.
    pub warning: Style,
    /// The word `note`, and the rule under its place.
    pub note: Style,
    /// `Expected`, `Write`, `See`.
    pub label: Style,
}

impl Styles {
    /// The program's own colours.
    pub fn coloured() -> Self {
        Self {
            place: Style::new().bold(),
            error: AnsiColor::Red.on_default().bold(),
            warning: AnsiColor::Yellow.on_default().bold(),
            note: AnsiColor::Cyan.on_default(),
            label: Style::new().dimmed(),
        }
    }

    fn of(&self, severity: Severity) -> Style {
        match severity {
            Severity::Error => self.error,
            Severity::Warning => self.warning,
            Severity::Note => self.note,
        }
    }
}

/// So many findings are shown in full; nobody reads more of them on a terminal.
const MOST: usize = 200;

/// All findings, in the order given, a blank line between two; follow-ups are counted under their
/// cause. Of very many the first, and how many more there are.
pub fn all(diagnostics: &[Diagnostic], sources: &Sources, styles: &Styles) -> String {
    let mut each: Vec<String> = Vec::new();
    let mut rest = diagnostics;
    while let Some(cause) = rest.first().filter(|_| each.len() < MOST) {
        let behind = follow_ups(rest).len();
        each.push(with_follow_ups(cause, rest, sources, styles));
        rest = &rest[1 + behind..];
    }
    if !rest.is_empty() {
        let more = rest.len();
        each.push(format!(
            "And {more} more; `shimbook check --format lines` prints one per line.\n"
        ));
    }
    each.join("\n")
}

/// A cause, the first of the findings, and how many lines need it.
fn with_follow_ups(
    cause: &Diagnostic,
    findings: &[Diagnostic],
    sources: &Sources,
    styles: &Styles,
) -> String {
    let mut text = one(cause, sources, styles);
    if let Some(lines) = lines_that_need_it(findings, sources) {
        labelled(&mut text, "And", &lines, styles.label);
    }
    text
}

/// One finding; ends in a line end.
pub fn one(diagnostic: &Diagnostic, sources: &Sources, styles: &Styles) -> String {
    let severity = styles.of(diagnostic.severity);
    let mut out = String::new();
    line(
        &mut out,
        &format!(
            "{}: {}",
            painted(&place(sources, diagnostic.at), styles.place),
            painted(diagnostic.severity.word(), severity)
        ),
    );
    shown_line(&mut out, diagnostic.at, sources, severity);
    line(&mut out, &sentence(&diagnostic.message));
    let expected = diagnostic
        .expected
        .iter()
        .map(|what| ("Expected", what.clone()));
    let instead = diagnostic
        .instead
        .iter()
        .map(|what| ("Write", what.clone()));
    let also = diagnostic
        .also
        .iter()
        .map(|(span, why)| ("See", format!("{}: {why}", place(sources, *span))));
    for (label, text) in expected.chain(instead).chain(also) {
        labelled(&mut out, label, &text, styles.label);
    }
    out
}

fn line(out: &mut String, text: &str) {
    out.push_str(text);
    out.push('\n');
}

fn painted(text: &str, style: Style) -> String {
    format!("{style}{text}{style:#}")
}

fn place(sources: &Sources, span: Span) -> String {
    format!(
        "{}, line {}",
        visible(sources.path(span.file)),
        sources.position(span).line
    )
}

fn shown_line(out: &mut String, at: Span, sources: &Sources, style: Style) {
    if let Some(shown) = excerpt(sources, at) {
        let rule = painted(&"─".repeat(shown.rule), style);
        line(
            out,
            &format!(
                "\n    {}\n    {}{rule}",
                shown.line,
                " ".repeat(shown.indent)
            ),
        );
    }
}

/// The message as a sentence of its own.
fn sentence(message: &str) -> String {
    let ended = message.ends_with(['.', '!', '?', ':', '…']);
    let shown: Vec<_> = message.lines().map(visible).collect();
    format!("{}{}", shown.join("\n"), if ended { "" } else { "." })
}

/// A label, and what it says; further lines stand under the first.
fn labelled(out: &mut String, label: &str, text: &str, style: Style) {
    for (index, text) in text.lines().enumerate() {
        let label = if index == 0 { label } else { "" };
        let _ = writeln!(out, "{style}{label:<8}{style:#}  {}", visible(text));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::Slug;
    use crate::source::FileId;

    fn book() -> (Sources, FileId, FileId) {
        let mut sources = Sources::default();
        let first = sources.add("days/day-01.md", "a\nb\nc\ntail_after = 3.4 mm\n");
        let second = sources.add("days/day-02.md", "\n\ntail_after within 3.4 ± 0.4 mm\n");
        (sources, first, second)
    }

    fn finding() -> (Sources, Diagnostic) {
        let (sources, first, second) = book();
        let at = Span::new(second, 20..33);
        let found = Diagnostic::error(Slug::UnitMismatch, at, "a length is compared with an angle")
            .expected("an angle")
            .instead("3.4 ± 0.4 deg")
            .see(Span::new(first, 6..16), "tail_after is worked out here");
        (sources, found)
    }

    #[test]
    fn a_finding_says_where_what_and_what_to_write() {
        let (sources, found) = finding();
        let expected = "\
days/day-02.md, line 3: error

    tail_after within 3.4 ± 0.4 mm
                      ────────────
a length is compared with an angle.
Expected  an angle
Write     3.4 ± 0.4 deg
See       days/day-01.md, line 4: tail_after is worked out here
";
        assert_eq!(one(&found, &sources, &Styles::default()), expected);
    }

    #[test]
    fn follow_ups_are_counted_under_their_cause() {
        let (sources, found) = finding();
        let first = found.also[0].0;
        let behind = Diagnostic::error(Slug::UnknownName, first, "follows").because(Some(found.at));
        let shown = all(&[found, behind], &sources, &Styles::default());
        assert!(
            shown.ends_with("And       1 line that needs it: days/day-01.md, line 4\n"),
            "{shown}"
        );
        assert!(!shown.contains("follows"), "{shown}");
    }

    #[test]
    fn colours_are_codes_around_the_same_text() {
        let (sources, found) = finding();
        let coloured = one(&found, &sources, &Styles::coloured());
        let plain = anstream::adapter::strip_str(&coloured).to_string();
        assert!(coloured.contains("\x1b["));
        assert_eq!(plain, one(&found, &sources, &Styles::default()));
    }

    #[test]
    fn nothing_of_the_book_steers_the_terminal() {
        let mut sources = Sources::default();
        let file = sources.add("days/\x1b]0;x\u{7}.md", "bad \x1b[2J \u{202e}line");
        let found = Diagnostic::warning(Slug::BadLink, Span::new(file, 4..8), "no \x1b[31mlink")
            .instead("a\u{9b}b\nc")
            .see(Span::new(file, 0..3), "\u{2066}here");
        let shown = one(&found, &sources, &Styles::default());
        assert!(
            !shown.chars().any(|c| c != '\n' && c.is_control()),
            "{shown:?}"
        );
        assert!(!shown.contains(['\u{202e}', '\u{2066}']), "{shown:?}");
        assert!(
            shown.contains("Write     a\\u{9b}b\n          c\n"),
            "{shown:?}"
        );
    }

    #[test]
    fn a_finding_about_a_whole_empty_file_has_no_line_to_show() {
        let mut sources = Sources::default();
        let file = sources.add("build-sheet.yaml", "");
        let found = Diagnostic::note(Slug::Missing, Sources::top(file), "`title` is missing");
        let shown = all(&[found.clone(), found], &sources, &Styles::default());
        let each = "build-sheet.yaml, line 1: note\n`title` is missing.\n";
        assert_eq!(shown, format!("{each}\n{each}"));
    }
}
