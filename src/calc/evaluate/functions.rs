//! Functions of plain mathematics, and the catalogue's formulas, on values with dimension and
//! spread.

use std::borrow::Cow;

use super::{Evaluator, Halt, fault};
use crate::calc::catalogue::{Argument, ArgumentKind, Formula, Inputs};
use crate::calc::dual::{Dual, MOST};
use crate::calc::expression::{Input, Math};
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{Dimension, SourceId, TemperatureKind, Value};
use crate::source::Span;

pub(super) fn math(
    math: Math,
    values: &[Cow<Value>],
    places: &[Span],
    warnings: &mut Vec<Diagnostic>,
) -> Result<Value, Halt> {
    match (math, values, places) {
        (Math::Min, ..) => extreme(values, places, -1.0),
        (Math::Max, ..) => extreme(values, places, 1.0),
        (Math::Atan2, [opposite, adjacent], [_, at]) => atan2(opposite, adjacent, *at),
        (_, [value], [at]) => {
            let result = of_one(math, value, *at)?;
            warnings.extend(reaches_out(math, value, *at));
            Ok(result)
        }
        _ => Err(Halt::Broken),
    }
}

/// `min` (`sign` -1) and `max` (`sign` 1). The result follows the one that wins; that another may
/// win at the end of its spread is found where every reading is taken to its ends.
fn extreme(values: &[Cow<Value>], places: &[Span], sign: f64) -> Result<Value, Halt> {
    let (first, rest) = values.split_first().ok_or(Halt::Broken)?;
    for (value, at) in rest.iter().zip(places.iter().skip(1)) {
        if !value.dimension.agrees_with(first.dimension) {
            let message = format!(
                "{} cannot be compared with {}",
                value.dimension.words(),
                first.dimension.words()
            );
            return Err(fault(
                Diagnostic::error(Slug::UnitMismatch, *at, message)
                    .expected(first.dimension.words()),
            ));
        }
    }
    let winner = rest.iter().fold(first, |best, value| {
        if sign * value.nominal > sign * best.nominal {
            value
        } else {
            best
        }
    });
    Ok(Value::result(winner.nominal, winner.dimension, [(1.0, &**winner)]).with_heat(winner.heat))
}

fn of_one(math: Math, value: &Value, at: Span) -> Result<Value, Halt> {
    let x = value.nominal;
    let wants = match math {
        Math::Sin | Math::Cos | Math::Tan => Some(Dimension::ANGLE),
        Math::Asin | Math::Acos | Math::Atan => Some(Dimension::NONE),
        _ => None,
    };
    if let Some(wants) = wants.filter(|wants| *wants != value.dimension) {
        return Err(wrong_kind(math, wants, value.dimension, at));
    }
    let (result, slope, dimension) = match math {
        // Either way from 0 the result rises; taking the slope as 1 there keeps the spread from
        // vanishing.
        Math::Abs => (x.abs(), if x < 0.0 { -1.0 } else { 1.0 }, value.dimension),
        Math::Sqrt => return root(value, at),
        Math::Sin => (x.sin(), x.cos(), Dimension::NONE),
        Math::Cos => (x.cos(), -x.sin(), Dimension::NONE),
        Math::Tan => (x.tan(), 1.0 + x.tan() * x.tan(), Dimension::NONE),
        Math::Asin | Math::Acos if x.abs() > 1.0 => {
            return Err(outside(
                "a sine or cosine must be between -1 and 1",
                "between -1 and 1",
                at,
            ));
        }
        Math::Asin => (x.asin(), 1.0 / (1.0 - x * x).sqrt(), Dimension::ANGLE),
        Math::Acos => (x.acos(), -1.0 / (1.0 - x * x).sqrt(), Dimension::ANGLE),
        _ => (x.atan(), 1.0 / (1.0 + x * x), Dimension::ANGLE),
    };
    let slope = if value.terms().is_empty() { 0.0 } else { slope };
    let heat = if math == Math::Abs {
        value.heat
    } else {
        TemperatureKind::Either
    };
    Ok(Value::result(result, dimension, [(slope, value)]).with_heat(heat))
}

/// The spread of a sine or cosine may reach where no angle has it. (Of a root nothing is said: a
/// sum of squares comes with a spread that reaches below zero, and never does itself.)
fn reaches_out(math: Math, value: &Value, at: Span) -> Option<Diagnostic> {
    let sides = value.worst_case();
    let inside = value.nominal - sides.down >= -1.0 && value.nominal + sides.up <= 1.0;
    (matches!(math, Math::Asin | Math::Acos) && !inside).then(|| {
        Diagnostic::warning(
            Slug::NearDomainEdge,
            at,
            "the spread reaches values that have no result",
        )
        .expected("a closer reading, with its whole spread between -1 and 1")
    })
}

fn root(value: &Value, at: Span) -> Result<Value, Halt> {
    if value.nominal < 0.0 {
        return Err(outside(
            "a negative value has no square root",
            "zero or above",
            at,
        ));
    }
    let dimension = value.dimension.power(0.5).ok_or(Halt::Broken)?;
    let root = value.nominal.sqrt();
    let slope = if value.terms().is_empty() {
        0.0
    } else {
        0.5 / root
    };
    Ok(Value::result(root, dimension, [(slope, value)]))
}

fn atan2(opposite: &Value, adjacent: &Value, at: Span) -> Result<Value, Halt> {
    if !opposite.dimension.agrees_with(adjacent.dimension) {
        return Err(wrong_kind(
            Math::Atan2,
            opposite.dimension,
            adjacent.dimension,
            at,
        ));
    }
    let (y, x) = (opposite.nominal, adjacent.nominal);
    let square = x * x + y * y;
    if square == 0.0 {
        return Err(outside(
            "two sides of 0 do not give an angle",
            "at least one side that is not 0",
            at,
        ));
    }
    Ok(Value::result(
        y.atan2(x),
        Dimension::ANGLE,
        [(x / square, opposite), (-y / square, adjacent)],
    ))
}

fn wrong_kind(math: Math, wants: Dimension, is: Dimension, at: Span) -> Halt {
    let message = format!("this must be {}; it is {}", wants.words(), is.words());
    fault(Diagnostic::error(Slug::UnitMismatch, at, message).expected(math.signature()))
}

fn outside(message: &str, domain: &str, at: Span) -> Halt {
    fault(Diagnostic::error(Slug::OutsideDomain, at, message).expected(domain))
}

/// Works out a formula of the catalogue.
pub(super) fn formula<'e>(
    evaluator: &mut Evaluator<'e, '_>,
    formula: &'static Formula,
    given: &'e [Input],
    source: SourceId,
) -> Result<Value, Halt> {
    let mut inputs = Inputs {
        numbers: [Dual::fixed(0.0); MOST],
        words: [0; MOST],
    };
    let mut parts: Vec<(usize, Cow<'e, Value>)> = Vec::with_capacity(given.len());
    for (index, (argument, input)) in formula.arguments.iter().zip(given).enumerate() {
        match input {
            Input::Word(word) => inputs.words[index] = *word,
            Input::Quantity(expr) => {
                let value = evaluator.value(expr)?;
                check(formula, argument, &value, expr.at, evaluator.warnings)?;
                inputs.numbers[index] = Dual::argument(value.nominal, index);
                parts.push((index, value));
            }
        }
    }
    let outcome = (formula.work)(&inputs).map_err(|outside| {
        let at = match &given[outside.argument] {
            Input::Quantity(expr) => expr.at,
            Input::Word(_) => return Halt::Broken,
        };
        outside_argument(
            formula,
            &formula.arguments[outside.argument],
            outside.domain,
            at,
        )
    })?;
    if let Some(near) = &outcome.near_edge
        && let Input::Quantity(expr) = &given[near.argument]
    {
        evaluator.warnings.push(near_edge(
            formula,
            &formula.arguments[near.argument],
            near.domain,
            expr.at,
        ));
    }
    let slopes = parts
        .iter()
        .map(|(index, value)| (outcome.value.slope[*index], &**value));
    let result =
        Value::result(outcome.value.value, formula.dimension, slopes).with_heat(formula.heat());
    let law = result.nominal.abs() * outcome.law_spread;
    Ok(if law > 0.0 {
        result.moved_by(source, law, law)
    } else {
        result
    })
}

fn check(
    formula: &Formula,
    argument: &Argument,
    value: &Value,
    at: Span,
    warnings: &mut Vec<Diagnostic>,
) -> Result<(), Halt> {
    let ArgumentKind::Quantity {
        dimension,
        unit,
        domain,
        heat,
    } = &argument.kind
    else {
        return Ok(());
    };
    if !value.dimension.agrees_with(*dimension) {
        let (name, kind, is) = (argument.name, dimension.words(), value.dimension.words());
        let message = format!("`{}` needs {kind} for `{name}`; this is {is}", formula.name);
        let example = if unit.is_empty() {
            String::new()
        } else {
            format!(", for example 1 {unit}")
        };
        let expected = format!("{}, with {kind} for `{name}`{example}", formula.signature());
        return Err(fault(
            Diagnostic::error(Slug::UnitMismatch, at, message).expected(expected),
        ));
    }
    check_heat(formula, argument, *heat, value.heat, at)?;
    if !domain.holds(value.nominal) {
        return Err(outside_argument(formula, argument, domain.words(), at));
    }
    let sides = value.worst_case();
    let reaches_out =
        !domain.holds(value.nominal - sides.down) || !domain.holds(value.nominal + sides.up);
    if reaches_out || domain.near_edge(value.nominal) {
        warnings.push(near_edge(formula, argument, domain.words(), at));
    }
    Ok(())
}

/// A reading where a rise is wanted, or the other way round, is an error; kelvin does for both.
fn check_heat(
    formula: &Formula,
    argument: &Argument,
    wants: TemperatureKind,
    is: TemperatureKind,
    at: Span,
) -> Result<(), Halt> {
    let (kind, other, expected) = match (wants, is) {
        (TemperatureKind::Absolute, TemperatureKind::Difference) => {
            ("a reading", "a rise", "a reading, for example 20 degC")
        }
        (TemperatureKind::Difference, TemperatureKind::Absolute) => (
            "a rise",
            "a reading",
            "a rise, for example 40 K or the difference of two readings",
        ),
        _ => return Ok(()),
    };
    let message = format!(
        "`{}` needs {kind} of temperature for `{}`; this is {other}",
        formula.name, argument.name
    );
    let expected = format!(
        "{}, with {expected} for `{}`",
        formula.signature(),
        argument.name
    );
    Err(fault(
        Diagnostic::error(Slug::UnitMismatch, at, message).expected(expected),
    ))
}

fn outside_argument(formula: &Formula, argument: &Argument, domain: &str, at: Span) -> Halt {
    let message = format!(
        "`{}` is not valid for this `{}`",
        formula.name, argument.name
    );
    outside(&message, &domain_of(formula, argument, domain), at)
}

fn near_edge(formula: &Formula, argument: &Argument, domain: &str, at: Span) -> Diagnostic {
    let message = format!(
        "`{}` is near the edge of the range of `{}`",
        argument.name, formula.name
    );
    Diagnostic::warning(Slug::NearDomainEdge, at, message)
        .expected(domain_of(formula, argument, domain))
}

/// The signature, and where the argument may lie.
fn domain_of(formula: &Formula, argument: &Argument, domain: &str) -> String {
    format!("{}, with `{}` {domain}", formula.signature(), argument.name)
}
