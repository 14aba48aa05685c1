//! Stopgaps: what carries the vehicle until it is made good.
//!
//! In: `temp` and `made good by` of a mention. Out: stopgaps, and what is wrong with making them
//! good. Nothing but `made good` by enough people ever clears one.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{Job, MentionRecord};
use crate::book::{Caution, Mention, When};
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{Span, Spanned};

/// Where two people have to look.
const TWO_NAMES: [Caution; 4] = [
    Caution::Steering,
    Caution::Brakes,
    Caution::Restraint,
    Caution::HighVoltage,
];

/// Something that only carries for now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stopgap {
    /// The job it belongs to.
    pub job: String,
    /// The day it was made.
    pub since_day: u32,
    /// The mention that made it.
    pub since: When,
    /// The line that says so, the latest where it was said again.
    pub span: Span,
    /// What carries it, in the crew's words.
    pub why: String,
    /// The hazards of its job.
    pub cautions: BTreeSet<Caution>,
    /// Who made it good, and when.
    pub good: Option<MadeGood>,
}

/// Somebody stands for a stopgap being one no more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MadeGood {
    /// The day.
    pub day: u32,
    /// The mention.
    pub when: When,
    /// Who.
    pub by: Vec<String>,
    /// The line.
    pub span: Span,
}

impl Stopgap {
    /// Has it a hazard for which one person's word is not enough?
    pub fn needs_two(&self) -> bool {
        TWO_NAMES
            .iter()
            .any(|caution| self.cautions.contains(caution))
    }

    /// Is it in place at the end of a day?
    pub fn open_on(&self, day: u32) -> bool {
        self.since_day <= day && self.good.as_ref().is_none_or(|good| good.day > day)
    }
}

/// The stopgaps of all jobs.
#[derive(Clone, Debug, Default)]
pub(super) struct Stopgaps {
    pub(super) all: Vec<Stopgap>,
    /// By job index: its latest stopgap.
    latest: BTreeMap<usize, usize>,
}

impl Stopgaps {
    /// Takes in what a mention says: first what is made good, then what is new, so that a stopgap
    /// in the place of another stays on the list.
    pub(super) fn take(
        &mut self,
        index: usize,
        job: &Job,
        mention: &Mention,
        said: &MentionRecord,
    ) -> Option<Diagnostic> {
        if let Some(planned) = job
            .planned_temp
            .as_ref()
            .filter(|_| said.is_work() && !self.latest.contains_key(&index))
        {
            self.open(index, job, planned, said);
        }
        let wrong = mention
            .made_good
            .as_ref()
            .and_then(|names| self.make_good(index, job, names, said));
        if let Some(why) = &mention.temp {
            self.open(index, job, why, said);
        }
        wrong
    }

    /// Gives every stopgap the hazards its job has in the end.
    pub(super) fn finish(mut self, jobs: &[Arc<Job>]) -> Vec<Stopgap> {
        for (job, stopgap) in &self.latest {
            self.all[*stopgap].cautions.clone_from(&jobs[*job].cautions);
        }
        self.all
    }

    fn open(&mut self, index: usize, job: &Job, why: &str, said: &MentionRecord) {
        match self.latest.get(&index).map(|at| &mut self.all[*at]) {
            Some(open) if open.good.is_none() => {
                why.clone_into(&mut open.why);
                open.span = said.span;
            }
            _ => {
                self.latest.insert(index, self.all.len());
                self.all.push(Stopgap {
                    job: job.id.clone(),
                    since_day: said.day,
                    since: said.when(),
                    span: said.span,
                    why: why.to_owned(),
                    cautions: job.cautions.clone(),
                    good: None,
                });
            }
        }
    }

    fn make_good(
        &mut self,
        index: usize,
        job: &Job,
        names: &Spanned<Vec<Spanned<String>>>,
        said: &MentionRecord,
    ) -> Option<Diagnostic> {
        let Some(stopgap) = self.latest.get(&index).map(|at| &mut self.all[*at]) else {
            return Some(never_temp(job, names.span));
        };
        if let Some(good) = &stopgap.good {
            return Some(good_already(job, good, names.span));
        }
        let by: BTreeSet<&str> = names
            .value
            .iter()
            .map(|name| name.value.trim())
            .filter(|n| !n.is_empty())
            .collect();
        if let Some(wrong) = too_few(job, by.len(), names, stopgap) {
            return Some(wrong);
        }
        let by = names.value.iter().map(|name| name.value.clone()).collect();
        stopgap.good = Some(MadeGood {
            day: said.day,
            when: said.when(),
            by,
            span: said.span,
        });
        stopgap.cautions.clone_from(&job.cautions);
        None
    }
}

fn too_few(
    job: &Job,
    people: usize,
    names: &Spanned<Vec<Spanned<String>>>,
    stopgap: &Stopgap,
) -> Option<Diagnostic> {
    let hazard = TWO_NAMES.iter().find(|kind| job.cautions.contains(kind));
    let found = match (people, hazard) {
        (0, _) => Diagnostic::error(Slug::MadeGood, names.span, "`made good` needs a name")
            .expected(if hazard.is_some() {
                "two different names"
            } else {
                "a name"
            })
            .instead(if hazard.is_some() {
                "made good by NAME + NAME"
            } else {
                "made good by NAME"
            }),
        (1, Some(kind)) => {
            let name = names
                .value
                .first()
                .map_or("NAME", |name| name.value.as_str());
            let message = format!(
                "`{}` has caution {}, so two people must make it good",
                job.id,
                kind.word()
            );
            Diagnostic::error(Slug::MadeGood, names.span, message)
                .expected("two different names")
                .instead(format!("made good by {name} + NAME"))
        }
        _ => return None,
    };
    Some(found.see(stopgap.span, "this remains on the hold list"))
}

fn never_temp(job: &Job, at: Span) -> Diagnostic {
    Diagnostic::error(
        Slug::MadeGood,
        at,
        format!(
            "`{}` was not a stopgap, so there is nothing to make good",
            job.id
        ),
    )
    .expected("a job with `temp: …` on an earlier line")
    .see(job.at, format!("`{}` first appears here", job.id))
}

fn good_already(job: &Job, good: &MadeGood, at: Span) -> Diagnostic {
    let by = good.by.join(" + ");
    Diagnostic::warning(
        Slug::MadeGood,
        at,
        format!("`{}` was made good on day {} by {by}", job.id, good.day),
    )
    .see(good.span, "made good here")
}
