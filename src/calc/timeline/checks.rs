//! Checks as the book goes on: verdicts, and what keeps a hold check on the hold list.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Timeline;
use crate::book::When;
use crate::calc::bare;
use crate::calc::bindings::names_in;
use crate::calc::limits::Limits;
use crate::calc::margin::Verdict;
use crate::calc::names::NameId;
use crate::calc::results::{Check, Hold, Judgement, State};
use crate::calc::statement::Rule;
use crate::calc::weigh::weigh;
use crate::diagnostics::Diagnostic;
use crate::quantity::{Unit, Value};

impl Timeline<'_> {
    /// Judges a check as things stand.
    pub(super) fn judge(&mut self, index: usize) {
        self.keep_strictest(index);
        let mut findings = Vec::new();
        let judgement = self.judgement(index, &mut findings);
        for finding in findings {
            let check = &self.now.checks[index];
            let cause = bare::in_check(check.name, &check.rule, &finding, &self.now.cells);
            bare::cause_and(finding, cause).for_each(|finding| self.say(finding));
        }
        let check = &mut self.now.checks[index];
        let same = check
            .judgements
            .last()
            .is_some_and(|last| last.says_the_same(&judgement));
        if same {
            return;
        }
        let check = Arc::make_mut(check);
        if check
            .judgements
            .last()
            .is_some_and(|last| last.step == judgement.step)
        {
            check.judgements.pop();
        }
        check.judgements.push(judgement);
        self.now.today.judged.push(index);
    }

    fn judgement(&self, index: usize, findings: &mut Vec<Diagnostic>) -> Judgement {
        let check = &self.now.checks[index];
        if check.withdrawn {
            return self.withdrawn(check);
        }
        let cell = self.now.cells.get(check.name);
        let weighed = weigh(
            check,
            &cell.known,
            &self.now.cells,
            check.judged_by(self.book.sheet.judge),
            findings,
        );
        let margin = weighed.judged.as_ref().map(|(_, margin)| *margin);
        let si = |limit: fn(&Limits) -> &Option<Value>| {
            weighed
                .limits
                .as_ref()
                .and_then(|limits| limit(limits).as_ref())
                .map(|limit| limit.nominal)
        };
        Judgement {
            step: self.now.step,
            day: self.now.day,
            rule: self.limit_words(check, weighed.limits.as_ref()),
            verdict: margin.map_or(Verdict::NoReading, |margin| margin.verdict),
            margin,
            lower: si(|limits| &limits.lower),
            upper: si(|limits| &limits.upper),
            value: weighed.judged.map(|(value, _)| value),
            unit: judged_in(&cell.unit, &check.rule),
            wanting: weighed.wanting,
        }
    }

    /// How a check stands once it is withdrawn.
    fn withdrawn(&self, check: &Check) -> Judgement {
        let last = check.latest();
        Judgement {
            step: self.now.step,
            day: self.now.day,
            rule: last.map_or_else(
                || check.rule.written.as_str().into(),
                |last| Arc::clone(&last.rule),
            ),
            verdict: Verdict::Withdrawn,
            margin: None,
            value: None,
            lower: None,
            upper: None,
            unit: last.map_or_else(Unit::none, |last| last.unit.clone()),
            wanting: None,
        }
    }

    /// At a day's end: what keeps each hold check on the hold list, and whether a bare reading took
    /// it off.
    pub(super) fn close_holds(&mut self) {
        for index in 0..self.now.checks.len() {
            self.note_hold(index);
        }
    }

    /// Puts down what keeps a hold check on the hold list from this block on.
    pub(super) fn note_hold(&mut self, index: usize) {
        let hold = self.hold(index);
        let when = When {
            day: self.now.day,
            entry: self.now.entry,
        };
        let check = &mut self.now.checks[index];
        let never_was = check.holds.is_empty() && hold == Hold::Ended;
        if !never_was && check.holds.last().is_none_or(|(_, last)| *last != hold) {
            Arc::make_mut(check).holds.push((when, hold));
        }
    }

    fn hold(&self, index: usize) -> Hold {
        let check = &self.now.checks[index];
        if !check.hold || check.withdrawn {
            return Hold::Ended;
        }
        let cell = self.now.cells.get(check.name);
        let verdict = check
            .latest()
            .map_or(Verdict::NoReading, |judgement| judgement.verdict);
        let measured = cell
            .defined
            .as_ref()
            .is_some_and(|defined| defined.state == State::Measured);
        let bare = cell
            .defined
            .as_ref()
            .is_some_and(|defined| defined.is_bare());
        let unread = check.unread.or(cell.story.unread);
        match (verdict, measured, cell.overtaken_by) {
            (Verdict::InLimits, true, Some(cause)) => Hold::Overtaken(cause),
            (Verdict::InLimits, false, _) => Hold::OnPaper,
            (Verdict::InLimits, true, None) if bare => Hold::Bare,
            (Verdict::InLimits, true, None) => unread.map_or(Hold::Clear, Hold::Unread),
            (other, ..) => Hold::Verdict(other),
        }
    }
}

pub(super) fn new_check(name: NameId, rule: &Rule, target: bool, since_day: u32) -> Check {
    Check {
        name,
        kind: rule.kind,
        rule: rule.clone(),
        unsigned: Vec::new(),
        strictest: Limits::default(),
        hold: rule.hold,
        withdrawn: false,
        limits: Vec::new(),
        unread: None,
        target,
        since_day,
        judgements: Vec::new(),
        holds: Vec::new(),
    }
}

/// The names that a rule's limits read.
pub(super) fn limit_names(rule: &Rule) -> BTreeSet<NameId> {
    let limits = rule.lower.iter().chain(&rule.upper);
    limits
        .flat_map(|limit| [Some(&limit.base), limit.side.as_ref()])
        .flatten()
        .flat_map(names_in)
        .collect()
}

/// A value is judged in the unit that its limit is written in, where that measures the same; else
/// in its own.
pub(super) fn judged_in(own: &Unit, rule: &Rule) -> Unit {
    let same =
        |limit: &Unit| limit.dimension == own.dimension && limit.is_scale() == own.is_scale();
    limit_unit(rule)
        .filter(|limit| !limit.name.is_empty() && same(limit))
        .unwrap_or_else(|| own.clone())
}

/// The unit of a limit, for a check whose value is not known yet.
pub(super) fn limit_unit(rule: &Rule) -> Option<Unit> {
    use crate::calc::expression::ExprKind;
    let limit = rule.lower.as_ref().or(rule.upper.as_ref())?;
    let mut kind = &limit.base.kind;
    while let ExprKind::Negative(inner) = kind {
        kind = &inner.kind;
    }
    match kind {
        ExprKind::Number(_, unit) => unit.clone(),
        _ => None,
    }
}
