//! What became of a check's limit, day by day.
//!
//! In: the lines about it. Out: a row for each, for pages, for scripts and for the terminal.

use serde::Serialize;

use super::Link;
use super::layout::Layout;
use crate::build::Build;
use crate::calc::{Act, Check, LimitChange, LimitLine};
use crate::view_model;

/// One line about a limit.
#[derive(Clone, Debug, Serialize)]
pub struct LimitDocument {
    /// The day; 0 for a target.
    pub day: u32,
    /// The limit as written.
    pub rule: String,
    /// `set`, `not signed`, `eased` or `withdrawn`.
    pub change: &'static str,
    /// Who eased or withdrew it.
    pub by: Vec<String>,
    /// Their reason; null where there is none.
    pub why: Option<String>,
    /// The file.
    pub path: String,
    /// The line.
    pub line: usize,
}

view_model! {
    /// What became of the limit on a day.
    pub struct LimitView {
        /// The line.
        pub line: Option<Link> => View,
        /// `at least 20 mm, eased by Ines + Odd: the tyre is narrower`
        pub words: String => CrewText,
    }
}

/// The lines about a check's limit up to a day.
pub(crate) fn documents(build: &Build, check: &Check, day: u32) -> Vec<LimitDocument> {
    let lines = check.limits.iter().take_while(|line| line.day <= day);
    lines.map(|line| document(build, line)).collect()
}

/// One of them.
pub(crate) fn document(build: &Build, line: &LimitLine) -> LimitDocument {
    let (by, why) = signed(line);
    LimitDocument {
        day: line.day,
        rule: line.rule.written.clone(),
        change: line.change.word(),
        by: by.to_vec(),
        why: why.map(str::to_owned),
        path: build.sources.path(line.rule.at.file).to_owned(),
        line: build.sources.position(line.rule.at).line,
    }
}

/// The same for a page, where there is more to tell than the limit that counts.
pub(super) fn views(layout: &Layout, check: &Check) -> Vec<LimitView> {
    let view = |line: &LimitLine| {
        let text = if line.day == 0 {
            "target".to_owned()
        } else {
            format!("day {}", line.day)
        };
        let href = layout.line_href(line.rule.at);
        LimitView {
            line: href.map(|href| Link { href, text }),
            words: words(line),
        }
    };
    if check.limits.len() < 2 {
        Vec::new()
    } else {
        check.limits.iter().map(view).collect()
    }
}

/// Who signed a line, and why.
fn signed(line: &LimitLine) -> (&[String], Option<&str>) {
    match &line.rule.act {
        Act::Eased(signed) | Act::Withdrawn(signed) => (&signed.by, Some(&signed.why)),
        Act::Set => (&[], None),
    }
}

/// `at least 20 mm, eased by Ines + Odd: the tyre is narrower`
pub(crate) fn words(line: &LimitLine) -> String {
    let written = &line.rule.written;
    let (by, why) = signed(line);
    let alone = if by.len() == 1 && line.hold {
        ", a crew of one"
    } else {
        ""
    };
    match (line.change, why) {
        (LimitChange::Eased | LimitChange::Withdrawn, Some(why)) => {
            format!(
                "{written}, {} by {}{alone}: {why}",
                line.change.word(),
                by.join(" + ")
            )
        }
        (LimitChange::Unsigned, _) => {
            format!("{written}, not signed by two people: the stricter limit counts")
        }
        _ => written.clone(),
    }
}

/// What a script is told of a check that was withdrawn.
#[derive(Clone, Debug, Serialize)]
pub struct WithdrawnDocument {
    /// The name it was on.
    pub name: String,
    /// Was it a hold check?
    pub hold: bool,
    /// The line that withdraws it.
    #[serde(flatten)]
    pub limit: LimitDocument,
}

/// The checks that are withdrawn, in the order they were first written.
pub(crate) fn withdrawn(build: &Build) -> Vec<WithdrawnDocument> {
    let gone = build.worked.checks.iter().filter(|check| check.withdrawn);
    let one = |check: &Check| {
        let last = check.limits.last()?;
        let name = build.worked.text(check.name).to_owned();
        Some(WithdrawnDocument {
            name,
            hold: last.hold,
            limit: document(build, last),
        })
    };
    gone.filter_map(|check| one(check)).collect()
}
