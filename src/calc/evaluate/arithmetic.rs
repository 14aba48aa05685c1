//! `+ - * / ^` on values with dimension and spread.

use super::{Halt, fault};
use crate::calc::expression::Operator;
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{Dimension, TemperatureKind, Value};
use crate::source::Span;

/// A value and where it stands.
type Operand<'a> = (&'a Value, Span);

pub(super) fn negative(value: &Value, at: Span) -> Result<Value, Halt> {
    if value.heat == TemperatureKind::Absolute {
        return Err(fault(
            Diagnostic::error(
                Slug::UnitMismatch,
                at,
                "a temperature reading cannot be negated",
            )
            .expected("a rise, in K"),
        ));
    }
    Ok(Value::result(-value.nominal, value.dimension, [(-1.0, value)]).with_heat(value.heat))
}

pub(super) fn binary(
    operator: Operator,
    a: Operand,
    b: Operand,
    warnings: &mut Vec<Diagnostic>,
) -> Result<Value, Halt> {
    match operator {
        Operator::Add => sum(a, b),
        Operator::Subtract => difference(a, b, "is taken from"),
        Operator::Multiply => product(a, b),
        Operator::Divide => quotient(a, b, warnings),
        Operator::Power => power(a, b),
    }
}

fn sum(a: Operand, b: Operand) -> Result<Value, Halt> {
    let dimension = common_dimension(a, b, "is added to")?;
    let heat = match (a.0.heat, b.0.heat) {
        (TemperatureKind::Absolute, TemperatureKind::Absolute) => return Err(two_points(b.1)),
        (TemperatureKind::Absolute, _) | (_, TemperatureKind::Absolute) => {
            TemperatureKind::Absolute
        }
        (TemperatureKind::Difference, _) | (_, TemperatureKind::Difference) => {
            TemperatureKind::Difference
        }
        _ => TemperatureKind::Either,
    };
    Ok(Value::result(
        a.0.nominal + b.0.nominal,
        dimension,
        [(1.0, a.0), (1.0, b.0)],
    )
    .with_heat(heat))
}

/// `a - b`; `doing` says what the right one does to the left one, for the message.
pub(super) fn difference(a: Operand, b: Operand, doing: &str) -> Result<Value, Halt> {
    let dimension = common_dimension(a, b, doing)?;
    let heat = match (a.0.heat, b.0.heat) {
        (TemperatureKind::Difference, TemperatureKind::Absolute) => {
            return Err(rise_and_point(b.1));
        }
        (TemperatureKind::Absolute, TemperatureKind::Difference) if doing == "is compared with" => {
            return Err(rise_and_point(b.1));
        }
        (TemperatureKind::Absolute | TemperatureKind::Either, TemperatureKind::Absolute)
        | (TemperatureKind::Difference, _) => TemperatureKind::Difference,
        (TemperatureKind::Absolute, _) => TemperatureKind::Absolute,
        (TemperatureKind::Either, heat) => heat,
    };
    Ok(Value::result(
        a.0.nominal - b.0.nominal,
        dimension,
        [(1.0, a.0), (-1.0, b.0)],
    )
    .with_heat(heat))
}

fn two_points(at: Span) -> Halt {
    fault(
        Diagnostic::error(
            Slug::UnitMismatch,
            at,
            "two temperature readings cannot be added",
        )
        .expected("a rise, in K"),
    )
}

fn multiple_of_reading(at: Span) -> Halt {
    fault(
        Diagnostic::error(
            Slug::UnitMismatch,
            at,
            "a temperature reading cannot be multiplied or divided",
        )
        .expected("a rise in K, or the reading in K"),
    )
}

fn rise_and_point(at: Span) -> Halt {
    fault(
        Diagnostic::error(
            Slug::UnitMismatch,
            at,
            "a rise of temperature is compared with a reading",
        )
        .expected("a rise, in K"),
    )
}

fn common_dimension(a: Operand, b: Operand, doing: &str) -> Result<Dimension, Halt> {
    let (left, right) = (a.0.dimension, b.0.dimension);
    if left == right {
        return Ok(left);
    }
    if left.agrees_with(right) {
        return Ok(left.without_angle());
    }
    let message = format!("{} {doing} {}", right.words(), left.words());
    Err(fault(
        Diagnostic::error(Slug::UnitMismatch, b.1, message)
            .expected(left.words())
            .see(a.1, format!("this is {}", left.words())),
    ))
}

fn product(a: Operand, b: Operand) -> Result<Value, Halt> {
    for (reading, other) in [(a, b), (b, a)] {
        if reading.0.heat == TemperatureKind::Absolute && other.0.dimension.is_none() {
            return Err(multiple_of_reading(reading.1));
        }
    }
    let dimension =
        a.0.dimension
            .times(b.0.dimension)
            .ok_or_else(|| beyond(a.1.to(b.1)))?;
    // The angle of a turning speed is used up where torque turns: what is left is a power and
    // nothing else, or its share of another power would come out as an angle.
    let dimension = if dimension.without_angle() == Dimension::POWER {
        Dimension::POWER
    } else {
        dimension
    };
    Ok(Value::result(
        a.0.nominal * b.0.nominal,
        dimension,
        [(b.0.nominal, a.0), (a.0.nominal, b.0)],
    ))
}

fn quotient(a: Operand, b: Operand, warnings: &mut Vec<Diagnostic>) -> Result<Value, Halt> {
    let dimension =
        a.0.dimension
            .over(b.0.dimension)
            .ok_or_else(|| beyond(a.1.to(b.1)))?;
    let divisor = b.0.nominal;
    if divisor == 0.0 {
        return Err(fault(
            Diagnostic::error(
                Slug::NoNumber,
                b.1,
                "this is 0, and a value cannot be divided by 0",
            )
            .expected("a value that is not 0"),
        ));
    }
    let sides = b.0.worst_case();
    if divisor - sides.down <= 0.0 && divisor + sides.up >= 0.0 {
        warnings.push(
            Diagnostic::warning(
                Slug::NearDomainEdge,
                b.1,
                "the spread of this divisor reaches 0",
            )
            .expected("a closer reading, because the spread of the result cannot be trusted"),
        );
    }
    let quotient = a.0.nominal / divisor;
    // Blended before it is divided, so that a value over itself keeps no spread at all.
    let above = Value::result(quotient, dimension, [(1.0, a.0), (-quotient, b.0)]);
    Ok(Value::result(
        quotient,
        dimension,
        [(1.0 / divisor, &above)],
    ))
}

fn power(a: Operand, b: Operand) -> Result<Value, Halt> {
    let (base, exponent) = (a.0, b.0);
    if !exponent.dimension.is_none() {
        let message = format!(
            "an exponent must be a plain number; this is {}",
            exponent.dimension.words()
        );
        return Err(fault(
            Diagnostic::error(Slug::UnitMismatch, b.1, message).expected("a plain number"),
        ));
    }
    let n = exponent.nominal;
    let dimension = base.dimension.power(n).ok_or_else(|| beyond(a.1.to(b.1)))?;
    if !base.dimension.is_none() && !exponent.terms().is_empty() {
        return Err(fault(
            Diagnostic::error(
                Slug::UnitMismatch,
                b.1,
                "an exponent with a spread does not give a unit",
            )
            .expected("an exact exponent, or a plain number as its base"),
        ));
    }
    let value = base.nominal.powf(n);
    if !value.is_finite() {
        return Err(fault(
            Diagnostic::error(Slug::NoNumber, a.1.to(b.1), "this power has no result")
                .expected("a base above 0 if the exponent is a fraction or negative"),
        ));
    }
    let along_base = if n == 0.0 {
        0.0
    } else {
        n * base.nominal.powf(n - 1.0)
    };
    let along_exponent = if exponent.terms().is_empty() {
        0.0
    } else {
        value * base.nominal.ln()
    };
    Ok(Value::result(
        value,
        dimension,
        [(along_base, base), (along_exponent, exponent)],
    ))
}

fn beyond(at: Span) -> Halt {
    fault(
        Diagnostic::error(Slug::UnitMismatch, at, "no unit measures this dimension")
            .expected("powers and products of quantities used in the shop"),
    )
}
