//! `formulas`: the catalogue.

use clap::Args;

use super::terminal::{self, BOLD, FAINT};
use super::{Done, Failure, Status};
use crate::calc::catalogue::{self, Argument, ArgumentKind, Formula};
use crate::calc::expression::built_in;
use crate::diagnostics::nearest;

/// List the formulas and built-in functions for sums, or show one formula in full.
#[derive(Debug, Args)]
#[command(after_help = "Example: shimbook formulas shaft_critical_speed")]
pub(super) struct Formulas {
    /// The formula or function to show
    name: Option<String>,
}

impl Formulas {
    pub(super) fn run(self) -> Done {
        let text = match self.name {
            Some(name) => match built_in().find(|row| row.0 == name) {
                Some((_, signature, says)) => {
                    format!("{BOLD}{signature}{BOLD:#}\n\n  {}.\n", capital(says))
                }
                None => one(find(&name)?),
            },
            None => all(),
        };
        terminal::print(&text)?;
        Ok(Status::Fine)
    }
}

fn find(name: &str) -> Result<&'static Formula, Failure> {
    catalogue::find(name).ok_or_else(|| {
        let near = nearest(
            name,
            built_in()
                .map(|row| row.0)
                .chain(catalogue::all().map(|formula| formula.name)),
        );
        let hint = near.map_or_else(
            || "Run `shimbook formulas` for the list.".to_owned(),
            |near| format!("Did you mean `{near}`?"),
        );
        Failure(format!("No formula is called `{name}`.\n  {hint}"))
    })
}

fn all() -> String {
    let formulas: Vec<(String, &str)> = catalogue::all()
        .map(|formula| (formula.signature(), formula.says))
        .collect();
    let functions: Vec<(String, &str)> = built_in().map(|row| (row.1.to_owned(), row.2)).collect();
    let wide = formulas
        .iter()
        .chain(&functions)
        .map(|(signature, _)| signature.chars().count())
        .max()
        .unwrap_or(0);
    let line =
        |(signature, says): &(String, &str)| format!("{signature:wide$}  {FAINT}{says}{FAINT:#}\n");
    let list = |rows: &[(String, &str)]| rows.iter().map(line).collect::<String>();
    format!(
        "{}\n{BOLD}Built-in functions; pi is a constant{BOLD:#}\n{}",
        list(&formulas),
        list(&functions)
    )
}

/// The text with a capital at its beginning.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn one(formula: &Formula) -> String {
    let mut text = format!(
        "{BOLD}{}{BOLD:#}\n\n  {}.\n\n",
        formula.signature(),
        formula.says
    );
    let rows: Vec<Vec<String>> = formula.arguments.iter().map(argument).collect();
    text.push_str(&terminal::columns(&rows, &[]));
    for argument in formula.arguments {
        if let ArgumentKind::Word { words, .. } = &argument.kind {
            text.push('\n');
            let rows: Vec<Vec<String>> = words
                .iter()
                .map(|word| vec![word.word.to_owned(), word.says.to_owned()])
                .collect();
            text.push_str(&terminal::columns(&rows, &[]));
        }
    }
    let held = if formula.held_against.is_empty() {
        String::new()
    } else {
        formula.held_against.join(", ")
    };
    let pieces = [
        ("Equation", formula.equation.to_owned()),
        ("Source", formula.source.to_owned()),
        ("Checked against", held),
        (
            "Example",
            format!("{} = {}", formula.worked.call, formula.worked.comes_to),
        ),
        ("Caution", formula.caution.unwrap_or_default().to_owned()),
    ];
    text.push('\n');
    for (label, words) in pieces.iter().filter(|(_, words)| !words.is_empty()) {
        text.push_str(&format!("  {FAINT}{label:12}{FAINT:#}  {words}\n"));
    }
    text
}

fn argument(argument: &Argument) -> Vec<String> {
    let (unit, domain) = match &argument.kind {
        ArgumentKind::Quantity { unit, domain, .. } => (
            if unit.is_empty() {
                "a plain number"
            } else {
                unit
            }
            .to_owned(),
            domain.words().to_owned(),
        ),
        ArgumentKind::Word { words, optional } => {
            let domain = if *optional {
                format!("{} if omitted", words[0].word)
            } else {
                String::new()
            };
            ("a word".to_owned(), domain)
        }
    };
    vec![
        argument.name.to_owned(),
        unit,
        domain,
        argument.says.to_owned(),
    ]
}
