//! `check`: work everything out and say what is wrong.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::terminal::{self, BOLD, FAINT, STOP};
use super::{Done, Status, build_with_photos, not_current};
use crate::build::Build;
use crate::calc::{self, Verdict};
use crate::diagnostics::Severity;
use crate::diagnostics::render::{lines, sarif, terminal as findings};
use crate::export::document::{self, CheckLine};

/// Calculate everything and list what is wrong.
///
/// Exits with status 1 on an error, a check out of limits or a `choose` with no solution.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook check book-example --format json")]
pub(super) struct Check {
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

/// Formats of `check`.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Format {
    /// For people
    Text,
    /// `path:line:col: severity: message`, for editors.
    Lines,
    /// One document, for scripts.
    Json,
    /// SARIF 2.1.0, for code hosts.
    Sarif,
}

impl Check {
    pub(super) fn run(self) -> Done {
        let (_, build) = build_with_photos(self.book.as_ref())?;
        match self.format {
            Format::Text => terminal::print(&text(&build))?,
            Format::Lines => terminal::print(&lines::all(&build.diagnostics, &build.sources))?,
            Format::Json => terminal::print_json(&document::check(&build))?,
            Format::Sarif => {
                terminal::print_json(&sarif::document(&build.diagnostics, &build.sources))?;
            }
        }
        Ok(status(&build))
    }
}

fn status(build: &Build) -> Status {
    let out = |check: &calc::Check| {
        check
            .latest()
            .is_some_and(|judged| judged.verdict == Verdict::OutOfLimits)
    };
    let no_window = build.worked.choices.values().any(|story| story.fails());
    let wrong = super::status(build) == Status::Wrong
        || build.worked.checks.iter().any(|check| out(check))
        || no_window;
    if wrong { Status::Wrong } else { Status::Fine }
}

/// Findings, checks that are not in limits, and one line that sums it up.
fn text(build: &Build) -> String {
    let mut text = findings::all(&build.diagnostics, &build.sources, &terminal::styles());
    let checks = document::check(build).checks;
    let open: Vec<&CheckLine> = checks
        .iter()
        .filter(|check| check.verdict != "in limits")
        .collect();
    if !open.is_empty() {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(&format!("{BOLD}Not in limits{BOLD:#}\n"));
        let rows: Vec<Vec<String>> = open.iter().map(|check| row(check)).collect();
        text.push_str(&terminal::columns(&rows, &[]));
    }
    if !text.is_empty() {
        text.push('\n');
    }
    text.push_str(&not_current(build));
    text.push_str(&summary(build, &checks));
    text
}

fn row(check: &CheckLine) -> Vec<String> {
    let hold = if check.hold { "hold" } else { "" };
    let place = format!("{FAINT}{}, line {}{FAINT:#}", check.path, check.line);
    let verdict = check.verdict.to_owned();
    vec![
        check.name.clone(),
        verdict,
        check.by.clone(),
        check.now.clone(),
        check.rule.clone(),
        hold.to_owned(),
        place,
    ]
}

fn summary(build: &Build, checks: &[CheckLine]) -> String {
    let count = |verdict: &str| {
        checks
            .iter()
            .filter(|check| check.verdict == verdict)
            .count()
    };
    let (errors, warnings) = (build.count(Severity::Error), build.count(Severity::Warning));
    let style = if errors > 0 || count("out of limits") > 0 {
        STOP
    } else {
        BOLD
    };
    format!(
        "{style}{}, day {}{style:#}: {}, {}. Checks: {} in limits, {} too close, {} out of limits, {} without a reading.\n",
        build.book.sheet.title,
        build.day(),
        counted(errors, "error"),
        counted(warnings, "warning"),
        count("in limits"),
        count("too close"),
        count("out of limits"),
        count("no reading"),
    )
}

fn counted(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}
