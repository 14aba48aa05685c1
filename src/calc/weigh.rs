//! A check put on the scales: its limits as they come to, the value against them.
//!
//! In: a check, what is known of its name, and what every name is (at the moment, or in a trial).
//! Out: limits, value and margin, or the name that is wanting.

use super::evaluate::{Halt, Known, Lookup, evaluate, no_number};
use super::judge::judge;
use super::limits::Limits;
use super::margin::Margin;
use super::names::NameId;
use super::results::Check;
use super::statement::{Limit, Rule};
use crate::book::Judge;
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{TemperatureKind, Value};
use crate::source::Span;

/// What the scales show.
#[derive(Clone, Debug, Default)]
pub(super) struct Weighed {
    /// The limits that count; `None` where one is not known or in error.
    pub(super) limits: Option<Limits>,
    /// The value and how it stands; `None` where something is not known or in error.
    pub(super) judged: Option<(Value, Margin)>,
    /// The name that is wanting.
    pub(super) wanting: Option<NameId>,
}

/// Weighs a check. What is wrong with its limits goes into `findings`.
pub(super) fn weigh(
    check: &Check,
    known: &Known,
    lookup: &dyn Lookup,
    by: Judge,
    findings: &mut Vec<Diagnostic>,
) -> Weighed {
    let mut weighed = Weighed::default();
    match (known, counting(check, lookup, findings)) {
        (Known::NoReading(name), limits) => {
            weighed.limits = limits.ok();
            weighed.wanting = Some(*name);
        }
        (_, Err(Halt::NoReading(name))) => weighed.wanting = Some(name),
        (_, Err(Halt::Fault(finding))) => findings.push(*finding),
        (Known::Value(value), Ok(limits)) => {
            if let Some(finding) = mismatch(value, &check.rule, &limits) {
                findings.push(finding);
            } else {
                let margin = judge(value, limits.lower.as_ref(), limits.upper.as_ref(), by);
                weighed.judged = margin.map(|margin| (value.clone(), margin));
            }
            weighed.limits = Some(limits);
        }
        (_, limits) => weighed.limits = limits.ok(),
    }
    weighed
}

/// The limits of a check that count: of all its lines, and of what they came to so far, the
/// strictest.
pub(super) fn counting(
    check: &Check,
    lookup: &dyn Lookup,
    findings: &mut Vec<Diagnostic>,
) -> Result<Limits, Halt> {
    let mut strictest = limits(&check.rule, lookup, findings)?;
    for rule in &check.unsigned {
        strictest = strictest.stricter(&limits(rule, lookup, findings)?);
    }
    Ok(strictest.stricter(&check.strictest))
}

/// What the limits of one line come to.
pub(super) fn limits(
    rule: &Rule,
    lookup: &dyn Lookup,
    findings: &mut Vec<Diagnostic>,
) -> Result<Limits, Halt> {
    let lower = rule
        .lower
        .as_ref()
        .map(|limit| edge(limit, -1.0, lookup, findings))
        .transpose()?;
    let upper = rule
        .upper
        .as_ref()
        .map(|limit| edge(limit, 1.0, lookup, findings))
        .transpose()?;
    if let (Some(lower), Some(upper)) = (&lower, &upper)
        && lower.dimension.agrees_with(upper.dimension)
        && lower.nominal > upper.nominal
    {
        return Err(Halt::Fault(Box::new(
            Diagnostic::error(Slug::EmptyLimits, rule.at, "these limits leave no room")
                .expected("the lower limit first"),
        )));
    }
    Ok(Limits { lower, upper })
}

/// A limit, or a middle with its side taken from it (`sign` -1) or added to it (`sign` 1).
fn edge(
    limit: &Limit,
    sign: f64,
    lookup: &dyn Lookup,
    findings: &mut Vec<Diagnostic>,
) -> Result<Value, Halt> {
    let base = evaluate(&limit.base, lookup, findings)?;
    let Some(side) = &limit.side else {
        return Ok(base);
    };
    let step = evaluate(side, lookup, findings)?;
    if !step.dimension.agrees_with(base.dimension) {
        return Err(Halt::Fault(Box::new(unlike(
            side.at,
            &step,
            &base,
            "the tolerance is",
        ))));
    }
    if step.heat == TemperatureKind::Absolute {
        return Err(Halt::Fault(Box::new(
            Diagnostic::error(
                Slug::UnitMismatch,
                side.at,
                "the tolerance of a temperature must be a rise, not a reading",
            )
            .expected("K"),
        )));
    }
    let edge = Value::result(
        base.nominal + sign * step.nominal,
        base.dimension,
        [(1.0, &base), (sign, &step)],
    );
    if edge.is_finite() {
        Ok(edge.with_heat(base.heat))
    } else {
        Err(no_number(limit.base.at.to(side.at)))
    }
}

/// What is wrong with a value that cannot be held against the limits of a line.
pub(super) fn mismatch(value: &Value, rule: &Rule, limits: &Limits) -> Option<Diagnostic> {
    let limits = [
        (rule.lower.as_ref(), limits.lower.as_ref()),
        (rule.upper.as_ref(), limits.upper.as_ref()),
    ];
    limits.into_iter().find_map(|(written, limit)| {
        let (at, limit) = (written?.base.at, limit?);
        if !limit.dimension.agrees_with(value.dimension) {
            return Some(unlike(at, limit, value, "the limit is"));
        }
        let rise_and_point = matches!(
            (value.heat, limit.heat),
            (TemperatureKind::Difference, TemperatureKind::Absolute)
                | (TemperatureKind::Absolute, TemperatureKind::Difference)
        );
        rise_and_point.then(|| rise_against_reading(at))
    })
}

fn unlike(at: Span, what: &Value, value: &Value, doing: &str) -> Diagnostic {
    let message = format!(
        "{doing} {} but the value is {}",
        what.dimension.words(),
        value.dimension.words()
    );
    Diagnostic::error(Slug::UnitMismatch, at, message).expected(value.dimension.words())
}

fn rise_against_reading(at: Span) -> Diagnostic {
    Diagnostic::error(
        Slug::UnitMismatch,
        at,
        "a rise of temperature is compared with a reading",
    )
    .expected("a rise, in K")
}
