//! Checks as the book goes on: rules set and set again, verdicts, and what keeps a hold check on the hold list.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Timeline;
use crate::book::{Judge, When};
use crate::calc::bare;
use crate::calc::cells::names_in;
use crate::calc::names::NameId;
use crate::calc::statement::Rule;
use crate::calc::weigh::weigh;
use crate::calc::worked::{Check, Hold, Judgement, State, Verdict};
use crate::quantity::Unit;
use crate::text::{Diagnostic, Slug};

impl Timeline<'_> {
    /// Binds a rule to its name, in place of an earlier one of the same kind.
    pub(super) fn set_rule(&mut self, name: NameId, rule: &Rule, target: bool) -> usize {
        let key = (name, rule.kind);
        let index = self.now.checks_by.get(&key).copied().unwrap_or_else(|| {
            self.now.checks.push(Arc::new(new_check(name, rule, target, self.now.day)));
            self.now.checks.len() - 1
        });
        self.now.checks_by.insert(key, index);
        for read in limit_names(&self.now.checks[index].rule) {
            self.now.cells.get_mut(read).story_mut().checks.remove(&index);
        }
        let check = Arc::make_mut(&mut self.now.checks[index]);
        let other_limit = check.hold && check.rule.written != rule.written;
        // A hold is taken off by measuring, never by writing the limit again without the word.
        check.hold |= rule.hold;
        check.rule = rule.clone();
        for read in limit_names(rule).into_iter().chain([name]) {
            self.now.cells.get_mut(read).story_mut().checks.insert(index);
        }
        // Nor by a kinder limit: a reading taken before it was changed no longer clears the hold.
        let step = self.now.step;
        let cell = self.now.cells.get_mut(name);
        if other_limit && cell.measured.is_some_and(|measured| measured < step) {
            cell.overtaken_by = Some(name);
        }
        index
    }

    /// Judges a check as things stand.
    pub(super) fn judge(&mut self, index: usize) {
        let mut findings = Vec::new();
        let judgement = self.judgement(index, &mut findings);
        let check = Arc::clone(&self.now.checks[index]);
        for finding in findings {
            let cause = bare::in_check(check.name, &check.rule, &finding, &self.now.cells);
            bare::cause_and(finding, cause).for_each(|finding| self.say(finding));
        }
        let check = &mut self.now.checks[index];
        let same = check.judgements.last().is_some_and(|last| last.says_the_same(&judgement));
        if same {
            return;
        }
        let check = Arc::make_mut(check);
        if check.judgements.last().is_some_and(|last| last.step == judgement.step) {
            check.judgements.pop();
        }
        check.judgements.push(judgement);
        self.now.today.judged.push(index);
    }

    fn judgement(&self, index: usize, findings: &mut Vec<Diagnostic>) -> Judgement {
        let check = &self.now.checks[index];
        let cell = self.now.cells.get(check.name);
        let weighed = weigh(&check.rule, &cell.known, &self.now.cells, self.judged_by(check), findings);
        let judged = weighed.judged.as_ref().map(|(_, judged)| *judged);
        Judgement {
            step: self.now.step,
            day: self.now.day,
            rule: check.rule.written.as_str().into(),
            verdict: judged.map_or(Verdict::NoReading, |judged| judged.verdict),
            margin: judged.map(|judged| judged.margin),
            value: weighed.judged.map(|(value, _)| value),
            lower: weighed.lower,
            upper: weighed.upper,
            unit: judged_in(&cell.unit, &check.rule),
            wanting: weighed.wanting,
        }
    }

    /// Hold checks are always judged with the worst case.
    pub(super) fn judged_by(&self, check: &Check) -> Judge {
        if check.hold { Judge::WorstCase } else { self.book.sheet.judge }
    }

    /// At a day's end: what keeps each hold check on the hold list, and whether a bare reading took it off.
    pub(super) fn close_holds(&mut self) {
        for index in 0..self.now.checks.len() {
            if !self.now.checks[index].hold {
                continue;
            }
            if self.hold(index) == Hold::Clear {
                self.doubt_bare_reading(self.now.checks[index].name);
            }
            self.note_hold(index);
        }
    }

    /// Puts down what keeps a hold check on the hold list from this block on.
    pub(super) fn note_hold(&mut self, index: usize) {
        if !self.now.checks[index].hold {
            return;
        }
        let hold = self.hold(index);
        let when = When { day: self.now.day, entry: self.now.entry };
        let check = &mut self.now.checks[index];
        if check.holds.last().is_none_or(|(_, last)| *last != hold) {
            Arc::make_mut(check).holds.push((when, hold));
        }
    }

    /// A reading that says nothing of how far it can be out is judged as if it were exact; where that takes a check off
    /// the hold list, somebody should know. `± 0` says it is.
    fn doubt_bare_reading(&mut self, name: NameId) {
        let Some(defined) = self.now.cells.get(name).defined.clone() else { return };
        if !defined.written.contains(['±', '+']) {
            let name = self.now.names.text(name);
            let message = format!("{name} was read without a tolerance, and is taken as exact to clear its hold check");
            let wrong = Diagnostic::warning(Slug::BareReading, defined.at, message);
            self.say(wrong.expected("how far the reading can be out behind it; `± 0` and the unit where it cannot be"));
        }
    }

    fn hold(&self, index: usize) -> Hold {
        let check = &self.now.checks[index];
        let cell = self.now.cells.get(check.name);
        let verdict = check.latest().map_or(Verdict::NoReading, |judgement| judgement.verdict);
        let measured = cell.defined.as_ref().is_some_and(|defined| defined.state == State::Measured);
        match (verdict, measured, cell.overtaken_by) {
            (Verdict::InLimits, true, None) => Hold::Clear,
            (Verdict::InLimits, true, Some(cause)) => Hold::Overtaken(cause),
            (Verdict::InLimits, false, _) => Hold::OnPaper,
            (other, ..) => Hold::Verdict(other),
        }
    }
}

fn new_check(name: NameId, rule: &Rule, target: bool, since_day: u32) -> Check {
    Check {
        name,
        kind: rule.kind,
        rule: rule.clone(),
        hold: rule.hold,
        target,
        since_day,
        judgements: Vec::new(),
        holds: Vec::new(),
    }
}

/// The names that a rule's limits read.
pub(super) fn limit_names(rule: &Rule) -> BTreeSet<NameId> {
    let limits = rule.lower.iter().chain(&rule.upper);
    limits.flat_map(|limit| [Some(&limit.base), limit.side.as_ref()]).flatten().flat_map(names_in).collect()
}

/// A bare share is judged in the percent of its limit; everything else in its own unit.
fn judged_in(own: &Unit, rule: &Rule) -> Unit {
    match limit_unit(rule) {
        Some(limit) if own.name.is_empty() && limit.dimension.is_none() => limit,
        _ => own.clone(),
    }
}

/// The unit of a limit, for a check whose value is not known yet.
pub(super) fn limit_unit(rule: &Rule) -> Option<Unit> {
    use crate::calc::expression::ExprKind;
    let limit = rule.lower.as_ref().or(rule.upper.as_ref())?;
    match &limit.base.kind {
        ExprKind::Number(_, unit) => unit.clone(),
        _ => None,
    }
}
