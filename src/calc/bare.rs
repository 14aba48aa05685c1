//! A value without a unit, where a sum or a check shows that it needs one.
//!
//! In: what is wrong with the sum or check. Out: the finding at the line that gives the value,
//! which is the cause. A value without a unit that nothing contradicts is a plain number.

use std::collections::BTreeSet;

use super::bindings::{Bindings, names_in};
use super::display_unit::unit_of;
use super::evaluate::{Known, Lookup};
use super::expression::Expr;
use super::names::NameId;
use super::results::{Content, Defined};
use super::statement::Rule;
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::Span;

/// The cause of a wrong dimension in a sum: one of its operands or arguments rests on a single
/// value without a unit.
pub(super) fn in_sum(expr: &Expr, wrong: &Diagnostic, cells: &Bindings) -> Option<Diagnostic> {
    if wrong.slug != Slug::UnitMismatch {
        return None;
    }
    let places: Vec<Span> = [wrong.at]
        .into_iter()
        .chain(wrong.also.iter().map(|(place, _)| *place))
        .collect();
    let mut operands = Vec::new();
    expr.each_piece(|piece| {
        if places.contains(&piece.at) {
            operands.push(piece);
        }
    });
    let given = operands
        .iter()
        .find_map(|operand| rests_on(&names_in(operand), cells).map(|id| (operand.at, id)));
    let (at, id) = given?;
    let other = operands
        .iter()
        .filter(|operand| operand.at != at)
        .find_map(|operand| unit_of(operand, cells));
    let unit = other
        .map(|unit| unit.name)
        .filter(|name| !name.is_empty() && places.len() > 1);
    missing_unit(cells.get(id).defined.as_deref()?, unit.as_deref(), wrong.at)
}

/// The cause of a check whose value has no unit and whose limit has one.
pub(super) fn in_check(
    name: NameId,
    rule: &Rule,
    wrong: &Diagnostic,
    cells: &Bindings,
) -> Option<Diagnostic> {
    if wrong.slug != Slug::UnitMismatch {
        return None;
    }
    let id = rests_on(&BTreeSet::from([name]), cells)?;
    let limit = rule.lower.as_ref().or(rule.upper.as_ref())?;
    let unit = unit_of(&limit.base, cells)
        .map(|unit| unit.name)
        .filter(|unit| !unit.is_empty());
    missing_unit(cells.get(id).defined.as_deref()?, unit.as_deref(), wrong.at)
}

/// A finding and its cause, where there is one: then what the finding expects is said there.
pub(super) fn cause_and(
    mut wrong: Diagnostic,
    cause: Option<Diagnostic>,
) -> impl Iterator<Item = Diagnostic> {
    if let Some(cause) = &cause {
        wrong.because = Some(cause.at);
        wrong.expected = None;
    }
    [wrong].into_iter().chain(cause)
}

fn missing_unit(value: &Defined, unit: Option<&str>, used: Span) -> Option<Diagnostic> {
    let expected = unit.map_or_else(
        || "a unit after the number".to_owned(),
        |unit| {
            format!(
                "a unit after the number, for example {} {unit}",
                value.written
            )
        },
    );
    let wrong = Diagnostic::error(Slug::UnitMismatch, value.at, "this value needs a unit");
    (value.at != used).then(|| wrong.expected(expected).see(used, "used here with a unit"))
}

/// The one written value without a unit that plain numbers come from; `None` where any of them is
/// not a plain number, or they come from several.
fn rests_on(names: &BTreeSet<NameId>, cells: &Bindings) -> Option<NameId> {
    let mut waiting: Vec<NameId> = names.iter().copied().collect();
    let mut seen: BTreeSet<NameId> = BTreeSet::new();
    let mut found = None;
    while let Some(id) = waiting.pop().filter(|_| seen.len() < 64) {
        if !seen.insert(id) {
            continue;
        }
        let plain = matches!(cells.known(id), Known::Value(value) if value.dimension.is_none());
        let defined = cells.get(id).defined.as_deref().filter(|_| plain)?;
        match &defined.content {
            Content::Value(_, unit) if unit.name.is_empty() && found.is_none() => found = Some(id),
            Content::Formula { expr, .. } => waiting.extend(names_in(expr)),
            _ => return None,
        }
    }
    found
}
