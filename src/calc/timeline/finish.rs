//! The end of the book: names nobody defined, and everything handed on.

use super::Timeline;
use super::checks::limit_unit;
use crate::calc::choice::{ChoiceOutcome, ChoiceStory};
use crate::calc::names::NameId;
use crate::calc::worked::{NameStory, Verdict, Worked};
use crate::text::{Diagnostic, Slug, nearest};

/// For more unknown names than anybody mends at once, the nearest is not looked for: each is held against every name.
const NEAREST_LOOKED_FOR: usize = 100;

impl Timeline<'_> {
    /// Everything worked out, and what is wrong.
    pub fn finish(mut self) -> (Worked, Vec<Diagnostic>) {
        self.unknown_names();
        self.units_of_silent_checks();
        let evaluations = self.cells.evaluations;
        let values = self.cells.into_cells().into_iter().map(|cell| NameStory {
            moments: cell.moments,
            prediction: cell.prediction,
            hidden: cell.predicts.is_some(),
            broken: cell.broken,
            checks: cell.checks.into_iter().collect(),
        });
        let worked = Worked {
            names: self.names,
            values: values.collect(),
            checks: self.checks,
            choices: self.choices,
            origins: self.origins,
            blocks: self.blocks,
            days: self.days,
            formulas_used: self.formulas_used,
            evaluations,
        };
        let mut diagnostics = self.diagnostics;
        diagnostics.extend(worked.choices.values().filter_map(|story| without_window(&worked, story)));
        (worked, diagnostics)
    }

    /// A name that nothing defines makes what uses it *no reading*: say so once, with the nearest name.
    fn unknown_names(&mut self) {
        let is_known = |id: NameId| {
            let cell = self.cells.get(id);
            !cell.moments.is_empty() || cell.broken
        };
        let known: Vec<&str> = self.names.iter().filter(|(_, id)| is_known(*id)).map(|(text, _)| text).collect();
        let unknown: Vec<Diagnostic> = self
            .names
            .iter()
            .filter(|(_, id)| !is_known(*id))
            .enumerate()
            .map(|(place, (text, id))| {
                let (message, expected) = if text.contains('.') {
                    (format!("{text} is not given in parts.yaml"), "the figure, in parts.yaml")
                } else {
                    (
                        format!("nothing in the book says what {text} is"),
                        "a reading or a sum for it, on this or any other day",
                    )
                };
                let near = if place < NEAREST_LOOKED_FOR { nearest(text, known.iter().copied()) } else { None };
                Diagnostic::warning(Slug::UnknownName, self.names.first_mention(id), message)
                    .expected(expected)
                    .maybe_instead(near)
            })
            .collect();
        for diagnostic in unknown {
            self.say(diagnostic);
        }
    }

    /// A check without a value shows its limit's unit.
    fn units_of_silent_checks(&mut self) {
        for check in &mut self.checks {
            let Some(unit) = limit_unit(&check.rule) else { continue };
            for judgement in check.judgements.iter_mut().filter(|j| j.verdict == Verdict::NoReading) {
                if judgement.unit.name.is_empty() {
                    judgement.unit = unit.clone();
                }
            }
        }
    }
}

/// A choice that no check hangs on, or that nothing satisfies at the end of the book.
fn without_window(worked: &Worked, story: &ChoiceStory) -> Option<Diagnostic> {
    let choice = story.found.last()?;
    let name = worked.text(story.name);
    match &choice.outcome {
        ChoiceOutcome::NoCheck if story.found.len() == 1 => Some(
            Diagnostic::warning(Slug::NoWindow, story.at, format!("no check depends on {name}"))
                .expected("a check on it, or on something worked out from it"),
        ),
        ChoiceOutcome::Nothing(exclusion) if !story.settled => {
            let message = format!("{} does for {name}", worked.searched(choice, exclusion));
            Some(Diagnostic::warning(Slug::NoWindow, story.at, message).expected(worked.excluded(choice, exclusion)))
        }
        _ => None,
    }
}
