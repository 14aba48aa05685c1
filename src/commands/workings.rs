//! `workings`: where a value comes from.

use std::path::{Path, PathBuf};

use clap::Args;

use super::terminal::{self, BOLD, FAINT, columns};
use super::{Done, Failure, Format, Status, build, not_current};
use crate::io;
use crate::pages::workings::{Workings, workings};

/// Show where a value comes from: formula, readings, spread and its sources, history, checks.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook workings pinion_angle book-example")]
pub(super) struct ShowWorkings {
    /// The value, or a part's figure, for example fitted.mass
    name: String,
    /// The book's folder (default: this folder or its nearest parent with a book)
    book: Option<PathBuf>,
    /// Day to report on (default: the latest)
    #[arg(long, value_name = "N")]
    day: Option<u32>,
    /// Output format
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

impl ShowWorkings {
    pub(super) fn run(self) -> Done {
        let (_, build) = build(self.book.as_ref())
            .map_err(|error| self.turned_round().unwrap_or(error.into()))?;
        let day = self.day.unwrap_or_else(|| build.day());
        let told = workings(&build, &self.name, day)
            .map_err(|near| unknown(&self.name, near.as_deref()))?;
        match self.format {
            Format::Text => terminal::print(&format!("{}{}", not_current(&build), text(&told)))?,
            Format::Json => terminal::print_json(&told)?,
        }
        Ok(if build.current.is_current() {
            Status::Fine
        } else {
            Status::Wrong
        })
    }
}

impl ShowWorkings {
    /// The book's folder was given first, and the value after it.
    fn turned_round(&self) -> Option<Failure> {
        let (folder, name) = (&self.name, self.book.as_ref()?.display());
        let words =
            format!("the value comes first, then the book\n  shimbook workings {name} {folder}");
        io::is_there(Path::new(folder)).then_some(Failure(words))
    }
}

fn unknown(name: &str, near: Option<&str>) -> Failure {
    let hint = near.map_or_else(
        || "See the as-built sheet for all names.".to_owned(),
        |near| format!("Did you mean `{near}`?"),
    );
    Failure(format!("No value is called `{name}`.\n  {hint}"))
}

fn text(told: &Workings) -> String {
    let mut text = format!(
        "{BOLD}{}{BOLD:#}  {}, evening of day {}\n",
        told.name, told.shows, told.day
    );
    text.push_str(&format!(
        "  {}  {FAINT}{}{FAINT:#}\n",
        told.from, told.place
    ));
    for (title, rows) in [
        ("Chosen from", choice(told)),
        ("From", tree(told)),
        ("Spread", sources(told)),
        ("Predicted and found", predicted(told)),
        ("History", history(told)),
        ("Checks", checks(told)),
    ] {
        if !rows.is_empty() {
            text.push_str(&format!("\n{BOLD}{title}{BOLD:#}\n{}", columns(&rows, &[])));
        }
    }
    if let Some(caution) = told.choice.as_ref().and_then(|choice| choice.caution) {
        text.push_str(&format!("\n{caution}\n"));
    }
    text
}

fn faint(text: &str) -> String {
    format!("{FAINT}{text}{FAINT:#}")
}

fn tree(told: &Workings) -> Vec<Vec<String>> {
    let row = |branch: &crate::pages::workings::Branch| {
        let name = format!("{}{}", "  ".repeat(branch.depth - 1), branch.name);
        let from = if branch.above {
            "as above".to_owned()
        } else {
            format!("{}, day {}", branch.from, branch.day)
        };
        vec![name, branch.shows.clone(), from, faint(&branch.place)]
    };
    told.tree.iter().map(row).collect()
}

fn choice(told: &Workings) -> Vec<Vec<String>> {
    let Some(choice) = &told.choice else {
        return Vec::new();
    };
    let mut rows = vec![vec![choice.window.clone(), choice.taken.clone()]];
    rows.extend(
        choice
            .handy
            .iter()
            .map(|handy| vec![format!("  {}", handy.size), handy.gives.join("; ")]),
    );
    rows
}

fn sources(told: &Workings) -> Vec<Vec<String>> {
    if told.sources.is_empty() {
        return Vec::new();
    }
    let half = |width: &str| format!("± {width}");
    let mut rows = vec![
        vec!["worst case".to_owned(), half(&told.worst_case_shows)],
        vec!["root-sum-square".to_owned(), half(&told.rss_shows)],
    ];
    rows.extend(told.sources.iter().map(|source| {
        let who = source
            .by
            .as_ref()
            .map_or_else(String::new, |by| format!(", {by}"));
        vec![
            format!("  {}", source.label),
            source.shows.clone(),
            format!(
                "{} of the worst case, {} of the root-sum-square",
                source.worst_case_percent, source.rss_percent
            ),
            format!("{}{who}, day {}", source.kind, source.day),
            faint(&source.place),
        ]
    }));
    rows
}

fn predicted(told: &Workings) -> Vec<Vec<String>> {
    let Some(predicted) = &told.predicted else {
        return Vec::new();
    };
    let within = if predicted.within {
        "within the predicted spread"
    } else {
        "outside the predicted spread"
    };
    vec![
        vec!["predicted".to_owned(), predicted.shows.clone()],
        vec!["found".to_owned(), told.shows.clone()],
        vec![
            "difference".to_owned(),
            format!("{}, {within}", predicted.difference),
        ],
    ]
}

fn history(told: &Workings) -> Vec<Vec<String>> {
    let row = |past: &crate::pages::workings::Past| {
        vec![
            format!("day {}", past.day),
            past.shows.clone(),
            past.from.clone(),
            faint(&past.place),
        ]
    };
    told.history.iter().map(row).collect()
}

fn checks(told: &Workings) -> Vec<Vec<String>> {
    let row = |check: &crate::pages::workings::CheckOn| {
        let hold = if check.hold { "hold" } else { "" };
        vec![
            check.rule.clone(),
            check.verdict.to_owned(),
            check.by.clone(),
            hold.to_owned(),
            faint(&check.place),
        ]
    };
    told.checks
        .iter()
        .flat_map(|check| [row(check)].into_iter().chain(limits(check)))
        .collect()
}

/// What became of a limit, where it changed.
fn limits(check: &crate::pages::workings::CheckOn) -> Vec<Vec<String>> {
    if check.limits.len() < 2 {
        return Vec::new();
    }
    let lines = check.limits.iter().zip(&check.limit_words);
    lines
        .map(|(line, words)| vec![format!("  day {}: {words}", line.day)])
        .collect()
}
