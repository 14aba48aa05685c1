//! A line that is wrong in very many places is said to be so, not listed to its end.
//!
//! In: findings in the order of their places. Out: the same, at most [`MOST_ON_A_LINE`] of any one
//! line, and one more that counts the rest and is as bad as the worst of them. Nothing that is
//! wrong goes unsaid.

use super::Diagnostic;
use crate::source::Sources;

/// So many findings of one line are listed.
pub const MOST_ON_A_LINE: usize = 20;

/// Puts one finding in the place of what is too much on a line.
pub fn thin_out(findings: Vec<Diagnostic>, sources: &Sources) -> Vec<Diagnostic> {
    let place = |finding: &Diagnostic| (finding.at.file, sources.position(finding.at).line);
    let mut kept: Vec<Diagnostic> = Vec::with_capacity(findings.len().min(1 << 16));
    let mut line = None;
    let (mut on_line, mut further) = (0, 0);
    for finding in findings {
        if line != Some(place(&finding)) {
            count_further(&mut kept, &mut further);
            (line, on_line) = (Some(place(&finding)), 0);
        }
        on_line += 1;
        if on_line <= MOST_ON_A_LINE {
            kept.push(finding);
        } else if let Some(worst) = kept.last_mut().filter(|_| further > 0) {
            further += 1;
            worst.severity = worst.severity.min(finding.severity);
        } else {
            further = 1;
            kept.push(finding);
        }
    }
    count_further(&mut kept, &mut further);
    kept
}

/// The last one kept stands for itself and those left out behind it.
fn count_further(kept: &mut [Diagnostic], further: &mut usize) {
    if let Some(last) = kept.last_mut().filter(|_| *further > 1) {
        let rest = format!("this line has {further} more findings");
        *last = Diagnostic {
            message: rest,
            also: Vec::new(),
            because: None,
            expected: None,
            instead: None,
            ..last.clone()
        };
    }
    *further = 0;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::{Severity, Slug};
    use crate::source::Span;

    fn thinned(of: impl Iterator<Item = usize>) -> Vec<String> {
        let mut sources = Sources::default();
        let file = sources.add("a.md", "0123456789012345678901234567890\nsecond\n");
        let found = of
            .map(|at| Diagnostic::warning(Slug::BadTail, Span::new(file, at..at), format!("{at}")));
        let mut found: Vec<Diagnostic> = found.collect();
        if let Some(last) = found.iter_mut().rfind(|finding| finding.at.start < 31) {
            last.severity = Severity::Error;
        }
        thin_out(found, &sources)
            .iter()
            .map(|f| format!("{}: {}", f.severity.word(), f.message))
            .collect()
    }

    #[test]
    fn a_crowded_line_keeps_its_first_findings_and_counts_the_rest_as_bad_as_the_worst_of_them() {
        let said = thinned((0..30).chain([33]));
        assert_eq!(said.len(), MOST_ON_A_LINE + 2);
        assert_eq!(
            said[MOST_ON_A_LINE - 1..],
            [
                "warning: 19",
                "error: this line has 10 more findings",
                "warning: 33"
            ]
        );
    }

    #[test]
    fn a_line_with_one_finding_more_than_listed_says_it_in_full() {
        assert_eq!(thinned(0..21).last().map(String::as_str), Some("error: 20"));
        assert_eq!(thinned(0..3), ["warning: 0", "warning: 1", "error: 2"]);
        assert_eq!(thinned(0..0), [""; 0]);
    }
}
