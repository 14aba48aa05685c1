//! Findings in the Static Analysis Results Interchange Format, version 2.1.0 (OASIS).
//!
//! In: diagnostics and sources. Out: one JSON document. Every kind of finding is a rule of it;
//! columns count characters; paths are relative references, percent-encoded as RFC 3986 asks.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::json::Place;
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{Sources, Span, uri};

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

/// The document for all findings, in the order given.
pub fn document(diagnostics: &[Diagnostic], sources: &Sources) -> Value {
    let results: Vec<Value> = diagnostics
        .iter()
        .map(|diagnostic| result(diagnostic, sources))
        .collect();
    json!({
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "Shimbook",
                "version": env!("CARGO_PKG_VERSION"),
                "semanticVersion": env!("CARGO_PKG_VERSION"),
                "rules": Slug::ALL.iter().map(|slug| rule(*slug)).collect::<Vec<_>>(),
            }},
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    })
}

fn rule(slug: Slug) -> Value {
    json!({"id": slug.word(), "shortDescription": {"text": slug.about()}})
}

fn result(diagnostic: &Diagnostic, sources: &Sources) -> Value {
    let mut result = json!({
        "ruleId": diagnostic.slug.word(),
        "level": diagnostic.severity.word(),
        "message": {"text": message(diagnostic)},
        "locations": [{"physicalLocation": physical(diagnostic.at, sources)}],
    });
    if let Some(index) = Slug::ALL.iter().position(|slug| *slug == diagnostic.slug) {
        result["ruleIndex"] = json!(index);
    }
    let cause = diagnostic.because.map(|cause| (cause, "the cause"));
    let also = diagnostic
        .also
        .iter()
        .map(|(span, why)| (*span, why.as_str()))
        .chain(cause);
    let also: Vec<Value> = also
        .enumerate()
        .map(|(id, (span, why))| related(id, span, why, sources))
        .collect();
    if !also.is_empty() {
        result["relatedLocations"] = also.into();
    }
    result
}

/// What is wrong, what was expected and what to write, as sentences.
fn message(diagnostic: &Diagnostic) -> String {
    let mut text = format!("{}.", diagnostic.message);
    if let Some(expected) = &diagnostic.expected {
        let _ = write!(text, " Expected: {expected}.");
    }
    if let Some(instead) = &diagnostic.instead {
        let _ = write!(text, " Write: {instead}");
    }
    text
}

fn related(id: usize, span: Span, why: &str, sources: &Sources) -> Value {
    json!({"id": id, "message": {"text": why}, "physicalLocation": physical(span, sources)})
}

fn physical(span: Span, sources: &Sources) -> Value {
    let place = Place::new(span, sources);
    json!({
        "artifactLocation": {"uri": uri(&place.path)},
        "region": {
            "startLine": place.line,
            "startColumn": place.column,
            "endLine": place.end_line,
            "endColumn": place.end_column,
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finding_points_at_its_rule_and_place() {
        let mut sources = Sources::default();
        let file = sources.add("days/day 0ä.md", "±b c\n");
        let found = Diagnostic::warning(Slug::OutOfOrder, Span::new(file, 2..3), "b is first")
            .expected("c first")
            .see(Span::new(file, 4..5), "here");
        let document = document(&[found], &sources);
        let run = &document["runs"][0];
        let result = &run["results"][0];
        let index = result["ruleIndex"].as_u64().unwrap() as usize;
        assert_eq!(
            run["tool"]["driver"]["rules"][index]["id"],
            result["ruleId"]
        );
        assert_eq!(
            (&result["level"], &result["ruleId"]),
            (&json!("warning"), &json!("out-of-order"))
        );
        assert_eq!(result["message"]["text"], "b is first. Expected: c first.");
        let location = json!({
            "artifactLocation": {"uri": "days/day%200%C3%A4.md"},
            "region": {"startLine": 1, "startColumn": 2, "endLine": 1, "endColumn": 3},
        });
        assert_eq!(result["locations"][0]["physicalLocation"], location);
        assert_eq!(result["relatedLocations"][0]["message"]["text"], "here");
    }

    #[test]
    fn every_kind_of_finding_is_a_rule_once() {
        let document = document(&[], &Sources::default());
        let rules = document["runs"][0]["tool"]["driver"]["rules"]
            .as_array()
            .unwrap();
        let ids: std::collections::BTreeSet<&str> = rules
            .iter()
            .map(|rule| rule["id"].as_str().unwrap())
            .collect();
        assert_eq!((ids.len(), rules.len()), (Slug::ALL.len(), Slug::ALL.len()));
        assert_eq!(document["runs"][0]["results"], json!([]));
    }
}
