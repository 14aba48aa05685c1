//! Findings of one cause: the cause first, and what follows from it directly behind it.
//!
//! In: findings in the order of their places, some of which name the place of their cause. Out: the
//! same findings, each group at the place of its first. A finding whose cause is not among them is
//! on its own. None is left out.

use std::collections::BTreeMap;

use super::Diagnostic;
use crate::source::{Sources, Span};

/// More steps from a finding to its first cause than any book takes.
const FURTHEST: usize = 16;
/// So many lines of one file are named, then they are only counted.
const MOST_LINES: usize = 12;

/// Puts every cause before its follow-ups. Each follow-up names its first cause; none names a
/// follow-up.
pub fn causes_first(mut findings: Vec<Diagnostic>) -> Vec<Diagnostic> {
    if findings.iter().all(|finding| finding.because.is_none()) {
        return findings;
    }
    let mut at: BTreeMap<Span, usize> = BTreeMap::new();
    for (index, finding) in findings.iter().enumerate() {
        let known = at.entry(finding.at).or_insert(index);
        if findings[*known].because.is_some() && finding.because.is_none() {
            *known = index;
        }
    }
    let roots: Vec<usize> = (0..findings.len())
        .map(|index| root(&findings, &at, index))
        .collect();
    let mut first: BTreeMap<usize, usize> = BTreeMap::new();
    for (index, root) in roots.iter().enumerate() {
        first.entry(*root).or_insert(index);
    }
    let mut order: Vec<usize> = (0..findings.len()).collect();
    order.sort_by_key(|index| {
        (
            first.get(&roots[*index]).copied(),
            *index != roots[*index],
            *index,
        )
    });
    for index in 0..findings.len() {
        findings[index].because = (roots[index] != index).then(|| findings[roots[index]].at);
    }
    let mut findings: Vec<Option<Diagnostic>> = findings.into_iter().map(Some).collect();
    order
        .into_iter()
        .filter_map(|index| findings[index].take())
        .collect()
}

/// The first cause of a finding: itself, where it has none.
fn root(findings: &[Diagnostic], at: &BTreeMap<Span, usize>, index: usize) -> usize {
    let mut root = index;
    for _ in 0..FURTHEST {
        let cause = findings[root]
            .because
            .and_then(|place| at.get(&place).copied());
        match cause.filter(|cause| *cause != root) {
            Some(cause) => root = cause,
            None => return root,
        }
    }
    index
}

/// The follow-ups of the finding at the start of a list in this order.
pub fn follow_ups(findings: &[Diagnostic]) -> &[Diagnostic] {
    let Some((cause, behind)) = findings.split_first() else {
        return &[];
    };
    let follows =
        |finding: &&Diagnostic| cause.because.is_none() && finding.because == Some(cause.at);
    &behind[..behind.iter().take_while(follows).count()]
}

/// Of a cause and its follow-ups: `3 lines that need it: days/day-01.md, lines 6 and 8;
/// days/day-02.md, line 3`; `None` where no other line needs it.
pub fn lines_that_need_it(findings: &[Diagnostic], sources: &Sources) -> Option<String> {
    let place = |finding: &Diagnostic| {
        (
            sources.path(finding.at.file),
            sources.position(finding.at).line,
        )
    };
    let cause = place(findings.first()?);
    let mut lines: Vec<(&str, Vec<usize>)> = Vec::new();
    for (path, line) in follow_ups(findings)
        .iter()
        .map(place)
        .filter(|place| *place != cause)
    {
        match lines.iter_mut().find(|(known, _)| *known == path) {
            Some((_, lines)) if lines.contains(&line) => {}
            Some((_, lines)) => lines.push(line),
            None => lines.push((path, vec![line])),
        }
    }
    let count: usize = lines.iter().map(|(_, lines)| lines.len()).sum();
    let places: Vec<String> = lines
        .iter()
        .map(|(path, lines)| format!("{path}, {}", line_numbers(lines)))
        .collect();
    match count {
        0 => None,
        1 => Some(format!("1 line that needs it: {}", places.join("; "))),
        _ => Some(format!("{count} lines that need it: {}", places.join("; "))),
    }
}

fn line_numbers(lines: &[usize]) -> String {
    let shown: Vec<String> = lines
        .iter()
        .take(MOST_LINES)
        .map(usize::to_string)
        .collect();
    match shown.split_last() {
        _ if lines.len() > shown.len() => format!(
            "lines {} and {} more",
            shown.join(", "),
            lines.len() - shown.len()
        ),
        Some((last, [])) => format!("line {last}"),
        Some((last, before)) => format!("lines {} and {last}", before.join(", ")),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostics::Slug;
    use crate::source::FileId;

    fn sources() -> (Sources, FileId, FileId) {
        let mut sources = Sources::default();
        let day = sources.add("days/day-01.md", "a\nb\nc\nd\ne\n");
        let parts = sources.add("parts.yaml", "x\ny\n");
        (sources, day, parts)
    }

    fn at(file: FileId, at: usize) -> Span {
        Span::new(file, at..at + 1)
    }

    fn found(file: FileId, place: usize, message: &str, because: Option<Span>) -> Diagnostic {
        Diagnostic {
            because,
            ..Diagnostic::error(Slug::BadYaml, at(file, place), message)
        }
    }

    fn messages(findings: &[Diagnostic]) -> Vec<&str> {
        findings
            .iter()
            .map(|finding| finding.message.as_str())
            .collect()
    }

    #[test]
    fn a_cause_comes_before_its_follow_ups_wherever_its_file_sorts() {
        let (sources, day, parts) = sources();
        let cause = Some(at(parts, 0));
        let ordered = causes_first(vec![
            found(day, 0, "before", None),
            found(day, 2, "first", cause),
            found(day, 4, "between", None),
            found(day, 6, "second", cause),
            found(parts, 0, "cause", None),
        ]);
        assert_eq!(
            messages(&ordered),
            ["before", "cause", "first", "second", "between"]
        );
        assert_eq!(messages(follow_ups(&ordered[1..])), ["first", "second"]);
        assert!(follow_ups(&ordered[2..]).is_empty());
        let said = lines_that_need_it(&ordered[1..], &sources);
        assert_eq!(
            said.as_deref(),
            Some("2 lines that need it: days/day-01.md, lines 2 and 4")
        );
    }

    #[test]
    fn a_chain_of_causes_ends_at_the_first_and_a_ring_or_a_missing_cause_stays_on_its_own() {
        let (_, day, parts) = sources();
        let ordered = causes_first(vec![
            found(day, 0, "last", Some(at(day, 2))),
            found(day, 2, "middle", Some(at(parts, 0))),
            found(day, 4, "alone", Some(at(parts, 2))),
            found(day, 6, "ring", Some(at(day, 8))),
            found(day, 8, "ring too", Some(at(day, 6))),
            found(parts, 0, "cause", None),
        ]);
        assert_eq!(
            messages(&ordered),
            ["cause", "last", "middle", "alone", "ring", "ring too"]
        );
        assert_eq!(ordered[1].because, Some(at(parts, 0)));
        assert!(ordered[3..].iter().all(|finding| finding.because.is_none()));
    }

    #[test]
    fn many_lines_are_counted_after_the_first_dozen() {
        let mut sources = Sources::default();
        let file = sources.add("days/day-01.md", &"x\n".repeat(40));
        let findings: Vec<Diagnostic> = (0..31)
            .map(|line| found(file, 2 * line, "x", (line > 0).then(|| at(file, 0))))
            .collect();
        let said = lines_that_need_it(&findings, &sources).unwrap();
        assert_eq!(
            said,
            "30 lines that need it: days/day-01.md, lines 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13 and 18 more"
        );
        assert_eq!(lines_that_need_it(&[], &sources), None);
    }
}
