//! What one mention in a log does to its job.
//!
//! In: a job and a mention. Out: the job as it stands after it, and whether it was opened.

use std::collections::BTreeSet;

use super::{Job, JobState, MentionRecord};
use crate::book::Mention;
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::{Span, Spanned};

/// Where and when something was said.
#[derive(Clone, Copy)]
pub(super) struct At {
    pub(super) day: u32,
    pub(super) place: (usize, usize),
}

impl Job {
    /// A job at its first mention.
    pub(super) fn first(mention: &Mention) -> Self {
        let mut job = Self {
            id: mention.id.value.clone(),
            title: mention
                .title
                .clone()
                .unwrap_or_else(|| mention.id.value.clone()),
            has_title: mention.title.is_some(),
            at: mention.span,
            planned_day: None,
            added_day: None,
            listed_day: None,
            state: JobState::Planned,
            by: Vec::new(),
            first_by: Vec::new(),
            takes: None,
            hours_spent: 0.0,
            hours_twice: 0.0,
            done_day: None,
            slipped: 0,
            cautions: BTreeSet::new(),
            follows: Vec::new(),
            needs: Vec::new(),
            planned_temp: None,
            history: Vec::new(),
        };
        job.take_conditions(mention);
        job.take_hands(mention);
        job.first_by.clone_from(&job.by);
        job
    }

    /// Who has the job, and how long it takes.
    fn take_hands(&mut self, mention: &Mention) {
        if !mention.by.is_empty() {
            self.by = names(mention);
        }
        self.takes = mention.takes.or(self.takes);
    }

    /// What the job has to wait for, and its hazards: these are never only a remark.
    fn take_conditions(&mut self, mention: &Mention) {
        self.cautions
            .extend(mention.cautions.iter().map(|caution| caution.value));
        add_new(&mut self.follows, &mention.follows);
        add_new(&mut self.needs, &mention.needs);
    }

    /// What a mention says about what happened. `Err` where it is refused: then it
    /// changes neither state nor hours.
    pub(super) fn take_work(&mut self, mention: &Mention, at: At) -> Result<(), Box<Diagnostic>> {
        let wrong = self.done_already(mention);
        self.take_title(mention);
        self.take_conditions(mention);
        if wrong.is_none() {
            self.move_on(mention, at.day);
            self.hours_spent += mention.took.unwrap_or(0.0);
        }
        let said = self.put_down(mention, at, wrong.is_some());
        self.history.push(said);
        wrong.map_or(Ok(()), |wrong| Err(Box::new(wrong)))
    }

    /// The first title stays.
    fn take_title(&mut self, mention: &Mention) {
        if let (false, Some(title)) = (self.has_title, &mention.title) {
            self.title.clone_from(title);
            self.has_title = true;
        }
    }

    /// The state a mention leads to; where it is only a remark, the job stays as it is.
    fn move_on(&mut self, mention: &Mention, day: u32) {
        if mention.again.is_some() {
            self.hours_twice = self.hours_spent;
        }
        if !self.state.is_open() && !self.opens(mention) {
            return;
        }
        self.take_hands(mention);
        self.state = if mention.dropped.is_some() {
            JobState::Dropped
        } else if mention.ticked {
            JobState::Done
        } else if mention.held_up.is_some() {
            JobState::HeldUp
        } else if self.listed_day.is_some() {
            JobState::Carried
        } else {
            JobState::Planned
        };
        self.done_day = (self.state == JobState::Done).then_some(day);
    }

    /// Does a mention open a job that was done or dropped?
    pub(super) fn opens(&self, mention: &Mention) -> bool {
        let taken_up = mention.ticked
            || mention.held_up.is_some()
            || mention.took.is_some()
            || mention.takes.is_some();
        match self.state {
            JobState::Done => mention.again.is_some(),
            JobState::Dropped => mention.again.is_some() || (taken_up && mention.dropped.is_none()),
            _ => false,
        }
    }

    fn done_already(&self, mention: &Mention) -> Option<Diagnostic> {
        let settled = mention.again.is_some() || mention.made_good.is_some();
        let done_day = self.done_day?;
        let took = mention.took.filter(|_| mention.ticked && !settled)?;
        let message = format!(
            "`{}` was done on day {done_day} and is ticked again with hours",
            self.id
        );
        let id = &self.id;
        let found = Diagnostic::error(Slug::DoneAlready, mention.span, message)
            .expected("`again: why` if it was done again, or `made good by NAME` if a stopgap was replaced")
            .instead(format!("{{{id}, again: why, took {took} h}}"));
        Some(match self.history.iter().rev().find(|said| said.ticked) {
            Some(said) => found.see(said.span, "done here"),
            None => found,
        })
    }

    fn put_down(&self, mention: &Mention, at: At, refused: bool) -> MentionRecord {
        let made_good = mention.made_good.as_ref();
        MentionRecord {
            day: at.day,
            place: at.place,
            span: mention.span,
            state: self.state,
            ticked: mention.ticked,
            refused,
            took: mention.took,
            takes: mention.takes,
            // Somebody named in a mere remark does not have the job.
            by: Some(names(mention))
                .filter(|by| *by == self.by)
                .unwrap_or_default(),
            remark: mention.title.clone().filter(|title| *title != self.title),
            held_up: mention.held_up.clone(),
            again: mention.again.clone(),
            dropped: mention.dropped.clone(),
            temp: mention.temp.clone(),
            made_good: made_good
                .map(|names| names.value.iter().map(|name| name.value.clone()).collect()),
        }
    }

    /// Where it was said that the job is dropped.
    pub(super) fn dropped_at(&self) -> Option<(u32, Span)> {
        let said = self
            .history
            .iter()
            .rev()
            .find(|said| said.dropped.is_some() && !said.refused)?;
        (self.state == JobState::Dropped).then_some((said.day, said.span))
    }
}

fn add_new(all: &mut Vec<Spanned<String>>, more: &[Spanned<String>]) {
    if more.is_empty() {
        return;
    }
    let mut known: BTreeSet<String> = all.iter().map(|one| one.value.clone()).collect();
    all.extend(
        more.iter()
            .filter(|one| known.insert(one.value.clone()))
            .cloned(),
    );
}

fn names(mention: &Mention) -> Vec<String> {
    mention.by.iter().map(|name| name.value.clone()).collect()
}
