//! Checks as the book goes on: rules set and set again, verdicts, and what keeps a hold check on the hold list.

use std::collections::BTreeSet;

use super::Timeline;
use crate::book::Judge;
use crate::calc::cells::names_in;
use crate::calc::evaluate::{Halt, Known, evaluate, no_number};
use crate::calc::judge::judge;
use crate::calc::names::NameId;
use crate::calc::statement::{Limit, Rule};
use crate::calc::worked::{Check, Hold, Judgement, State, Verdict};
use crate::quantity::{Heat, Unit, Value};
use crate::text::{Diagnostic, Slug, Span};

/// The limits of a rule as they come to at the moment.
type Limits = (Option<Value>, Option<Value>);

impl Timeline<'_> {
    /// Binds a rule to its name, in place of an earlier one of the same kind.
    pub(super) fn set_rule(&mut self, name: NameId, rule: &Rule, target: bool) -> usize {
        let key = (name, rule.kind);
        let index = self.checks_by.get(&key).copied().unwrap_or_else(|| {
            self.checks.push(new_check(name, rule, target, self.day));
            self.checks.len() - 1
        });
        self.checks_by.insert(key, index);
        for read in limit_names(&self.checks[index].rule) {
            self.cells.get_mut(read).checks.remove(&index);
        }
        let check = &mut self.checks[index];
        // A hold is taken off by measuring, never by writing the limit again without the word.
        check.hold |= rule.hold;
        check.rule = rule.clone();
        for read in limit_names(rule).into_iter().chain([name]) {
            self.cells.get_mut(read).checks.insert(index);
        }
        index
    }

    /// Judges a check as things stand.
    pub(super) fn judge(&mut self, index: usize) {
        let mut findings = Vec::new();
        let judgement = self.judgement(index, &mut findings);
        for finding in findings {
            self.say(finding);
        }
        let check = &mut self.checks[index];
        let same = check
            .judgements
            .last()
            .is_some_and(|last| Judgement { step: last.step, day: last.day, ..judgement.clone() } == *last);
        if same {
            return;
        }
        if check.judgements.last().is_some_and(|last| last.step == judgement.step) {
            check.judgements.pop();
        }
        check.judgements.push(judgement);
        self.today.judged.push(index);
    }

    fn judgement(&self, index: usize, findings: &mut Vec<Diagnostic>) -> Judgement {
        let check = &self.checks[index];
        let cell = self.cells.get(check.name);
        let mut judgement = Judgement {
            step: self.step,
            day: self.day,
            verdict: Verdict::NoReading,
            margin: None,
            value: None,
            lower: None,
            upper: None,
            unit: cell.unit.clone(),
            wanting: None,
        };
        let limits = self.limits(&check.rule, findings);
        if let Ok((lower, upper)) = &limits {
            judgement.lower = lower.as_ref().map(|limit| limit.nominal);
            judgement.upper = upper.as_ref().map(|limit| limit.nominal);
        }
        let (value, (lower, upper)) = match (&cell.known, limits) {
            (Known::Value(value), Ok(limits)) => (value.clone(), limits),
            (Known::NoReading(name), _) => {
                judgement.wanting = Some(*name);
                return judgement;
            }
            (_, Err(Halt::NoReading(name))) => {
                judgement.wanting = Some(name);
                return judgement;
            }
            (_, Err(Halt::Fault(finding))) => {
                findings.push(*finding);
                return judgement;
            }
            _ => return judgement,
        };
        if let Some(finding) = mismatch(&value, &check.rule, lower.as_ref(), upper.as_ref()) {
            findings.push(finding);
            return judgement;
        }
        let by = if check.hold { Judge::WorstCase } else { self.book.sheet.judge };
        let judged = judge(&value, lower.as_ref(), upper.as_ref(), by);
        judgement.verdict = judged.verdict;
        judgement.margin = Some(judged.margin);
        judgement.value = Some(value);
        judgement
    }

    fn limits(&self, rule: &Rule, findings: &mut Vec<Diagnostic>) -> Result<Limits, Halt> {
        let lower = rule.lower.as_ref().map(|limit| self.limit(limit, -1.0, findings)).transpose()?;
        let upper = rule.upper.as_ref().map(|limit| self.limit(limit, 1.0, findings)).transpose()?;
        if let (Some(lower), Some(upper)) = (&lower, &upper)
            && lower.dimension.agrees_with(upper.dimension)
            && lower.nominal > upper.nominal
        {
            return Err(Halt::Fault(Box::new(
                Diagnostic::error(Slug::EmptyLimits, rule.at, "these limits leave no room")
                    .expected("the lower limit first"),
            )));
        }
        Ok((lower, upper))
    }

    fn limit(&self, limit: &Limit, sign: f64, findings: &mut Vec<Diagnostic>) -> Result<Value, Halt> {
        let base = evaluate(&limit.base, &self.cells, findings)?;
        let Some(side) = &limit.side else { return Ok(base) };
        let step = evaluate(side, &self.cells, findings)?;
        if !step.dimension.agrees_with(base.dimension) {
            return Err(Halt::Fault(Box::new(unlike(side.at, &step, &base, "the tolerance is"))));
        }
        if step.heat == Heat::Point {
            return Err(Halt::Fault(Box::new(
                Diagnostic::error(Slug::UnitMismatch, side.at, "a tolerance of temperature is a rise, not a reading")
                    .expected("K"),
            )));
        }
        let edge = Value::result(base.nominal + sign * step.nominal, base.dimension, [(1.0, &base), (sign, &step)]);
        if edge.is_finite() { Ok(edge.with_heat(base.heat)) } else { Err(no_number(limit.base.at.to(side.at))) }
    }

    /// At a day's end: what keeps each hold check on the hold list.
    pub(super) fn close_holds(&mut self) {
        for index in 0..self.checks.len() {
            if !self.checks[index].hold {
                continue;
            }
            let hold = self.hold(index);
            let day = self.day;
            let holds = &mut self.checks[index].holds;
            if holds.last().is_none_or(|(_, last)| *last != hold) {
                holds.push((day, hold));
            }
        }
    }

    fn hold(&self, index: usize) -> Hold {
        let check = &self.checks[index];
        let cell = self.cells.get(check.name);
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
fn limit_names(rule: &Rule) -> BTreeSet<NameId> {
    let limits = rule.lower.iter().chain(&rule.upper);
    limits.flat_map(|limit| [Some(&limit.base), limit.side.as_ref()]).flatten().flat_map(names_in).collect()
}

fn mismatch(value: &Value, rule: &Rule, lower: Option<&Value>, upper: Option<&Value>) -> Option<Diagnostic> {
    let limits = [(rule.lower.as_ref(), lower), (rule.upper.as_ref(), upper)];
    limits.into_iter().find_map(|(written, limit)| {
        let (at, limit) = (written?.base.at, limit?);
        if !limit.dimension.agrees_with(value.dimension) {
            return Some(unlike(at, limit, value, "the limit is"));
        }
        let rise_and_point = matches!((value.heat, limit.heat), (Heat::Rise, Heat::Point) | (Heat::Point, Heat::Rise));
        rise_and_point.then(|| rise_against_reading(at))
    })
}

fn unlike(at: Span, what: &Value, value: &Value, doing: &str) -> Diagnostic {
    let message = format!("{doing} {} but the value is {}", what.dimension.words(), value.dimension.words());
    Diagnostic::error(Slug::UnitMismatch, at, message).expected(value.dimension.words())
}

fn rise_against_reading(at: Span) -> Diagnostic {
    Diagnostic::error(Slug::UnitMismatch, at, "a rise of temperature is set against a reading")
        .expected("a rise, which is written in K")
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
