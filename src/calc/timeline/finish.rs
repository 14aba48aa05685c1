//! The end of the book: names nobody defined, and everything handed on.

use std::sync::Arc;

use super::Timeline;
use super::checks::limit_unit;
use crate::calc::choice::{ChoiceHistory, ChoiceOutcome};
use crate::calc::margin::Verdict;
use crate::calc::names::NameId;
use crate::calc::results::{Judgement, Results};
use crate::diagnostics::{Diagnostic, Slug, nearest};
use crate::quantity::printed;

/// For more unknown names than anybody mends at once, the nearest is not looked for: each is held
/// against every name.
const NEAREST_LOOKED_FOR: usize = 100;

impl Timeline<'_> {
    /// Everything worked out, and what is wrong.
    pub fn finish(mut self) -> (Results, Vec<Diagnostic>) {
        self.unknown_names();
        self.shared_ids();
        self.units_of_silent_checks();
        self.say_of_limits();
        let evaluations = self.now.cells.evaluations;
        let values = self.now.cells.stories();
        let used = self.now.cells.used();
        let worked = Results {
            names: self.now.names,
            values,
            used,
            checks: self.now.checks,
            choices: self.now.choices,
            origins: self.now.origins,
            blocks: self.now.blocks,
            days: self.now.days,
            formulas_used: self.now.formulas_used,
            evaluations,
        };
        let mut diagnostics = self.now.diagnostics;
        diagnostics.extend(
            worked
                .choices
                .values()
                .filter_map(|story| without_window(&worked, story)),
        );
        (worked, diagnostics)
    }

    /// A name that nothing defines makes what uses it *no reading*: say so once, with the nearest
    /// name.
    fn unknown_names(&mut self) {
        let is_known = |id: NameId| {
            let cell = self.now.cells.get(id);
            !cell.story.moments.is_empty() || cell.story.broken
        };
        let unknown: Vec<(&str, NameId)> = self
            .now
            .names
            .iter()
            .filter(|(_, id)| !is_known(*id))
            .collect();
        if unknown.is_empty() {
            return;
        }
        let known = self
            .now
            .names
            .iter()
            .filter(|(text, id)| is_known(*id) && !text.contains('.'));
        let known: Vec<&str> = known.map(|(text, _)| text).collect();
        let unknown: Vec<Diagnostic> = unknown
            .into_iter()
            .enumerate()
            .map(|(place, (text, id))| {
                let (message, expected) = if text.contains('.') {
                    (
                        format!("`{text}` is not given in parts.yaml"),
                        "this figure in parts.yaml",
                    )
                } else {
                    (
                        format!("no line gives `{text}` a value"),
                        "a reading or a sum for it, on any day",
                    )
                };
                // Another figure of a part measures something else.
                let is_looked_for = place < NEAREST_LOOKED_FOR && !text.contains('.');
                let near = if is_looked_for {
                    nearest(text, known.iter().copied())
                } else {
                    None
                };
                Diagnostic::warning(Slug::UnknownName, self.now.names.first_mention(id), message)
                    .expected(expected)
                    .maybe_instead(near)
            })
            .collect();
        for diagnostic in unknown {
            self.say(diagnostic);
        }
    }

    /// Warns of names that are also the id of a part or a job.
    fn shared_ids(&mut self) {
        let parts = self.book.parts.keys().map(|id| (id, "part"));
        let jobs = self.book.job_ids().map(|id| (&id.value, "job"));
        let shared = parts.chain(jobs).filter_map(|(id, what)| {
            let at = self.now.first_set.get(&self.now.names.find(id)?)?;
            let finding = Diagnostic::warning(
                Slug::SharedId,
                *at,
                format!("`{id}` is also the id of a {what}"),
            );
            Some(finding.expected("different names for values, jobs and parts"))
        });
        for finding in shared.collect::<Vec<_>>() {
            self.say(finding);
        }
    }

    /// A check without a value shows its limit's unit.
    fn units_of_silent_checks(&mut self) {
        let silent = |j: &Judgement| j.verdict == Verdict::NoReading && j.unit.name.is_empty();
        for check in self
            .now
            .checks
            .iter_mut()
            .filter(|check| check.judgements.iter().any(silent))
        {
            let Some(unit) = limit_unit(&check.rule) else {
                continue;
            };
            for judgement in Arc::make_mut(check)
                .judgements
                .iter_mut()
                .filter(|j| silent(j))
            {
                judgement.unit = unit.clone();
            }
        }
    }
}

/// A choice that no check depends on, or that nothing satisfies at the end of the book.
fn without_window(worked: &Results, story: &ChoiceHistory) -> Option<Diagnostic> {
    let choice = story.found.last()?;
    let name = worked.text(story.name);
    match &choice.outcome {
        ChoiceOutcome::NoCheck if story.found.len() == 1 => Some(
            Diagnostic::warning(
                Slug::NoWindow,
                story.at,
                format!("no check depends on `{name}`"),
            )
            .expected("a check on it, or on a value calculated from it"),
        ),
        ChoiceOutcome::Nothing(exclusion) if !story.settled => {
            let message = printed::plain_marks(&format!(
                "{} fits for `{name}`",
                worked.searched(choice, exclusion)
            ));
            Some(
                Diagnostic::warning(Slug::NoWindow, story.at, message)
                    .expected(printed::plain_marks(&worked.excluded(choice, exclusion))),
            )
        }
        _ => None,
    }
}
