//! What holds of every book, however it is written.

use shimbook::calc::Results;
use shimbook::diagnostics::Diagnostic;
use shimbook::diagnostics::render::lines;
use shimbook::source::Sources;

/// Every value and every figure of a verdict is a number.
pub(super) fn worked(worked: &Results) {
    for moment in worked.values.iter().flat_map(|story| &story.moments) {
        let Some(value) = moment.value() else {
            continue;
        };
        let (worst, rss) = (value.worst_case(), value.rss());
        assert!(
            value.is_finite() && moment.unit.reading(value.nominal).is_finite(),
            "{moment:?}"
        );
        assert!(
            [worst.up, worst.down, rss.up, rss.down]
                .iter()
                .all(|side| side.is_finite() && *side >= 0.0),
            "{moment:?}"
        );
    }
    for judgement in worked.checks.iter().flat_map(|check| &check.judgements) {
        let figures = [
            judgement.margin.map(|margin| margin.signed),
            judgement.lower,
            judgement.upper,
        ];
        assert!(
            figures.iter().flatten().all(|figure| figure.is_finite()),
            "{judgement:?}"
        );
    }
}

/// Every finding stands at a place that is there, and says something; for editors, on one line.
pub(super) fn findings(sources: &Sources, found: &[Diagnostic]) {
    for finding in found {
        let text = sources.text(finding.at.file);
        let range = finding.at.range();
        assert!(
            text.get(range.clone()).is_some(),
            "{finding:?} of {} bytes",
            text.len()
        );
        assert!(!finding.message.is_empty(), "{finding:?}");
        assert!(!lines::one(finding, sources).contains('\n'), "{finding:?}");
    }
}
