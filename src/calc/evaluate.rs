//! What an expression comes to.
//!
//! In: an [`Expr`] and what each name is at that moment. Out: a [`Value`] with its spread, or why
//! there is none. Never a number that is not finite, never a wrong dimension.

mod arithmetic;
mod ends;
mod functions;

use std::borrow::Cow;

use super::expression::{Comparison, Expr, ExprKind};
use super::names::NameId;
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::Value;
use crate::source::Span;

/// What is known of a name.
#[derive(Clone, Debug, PartialEq)]
pub enum Known {
    /// Its value.
    Value(Value),
    /// Nothing yet, for want of this name.
    NoReading(NameId),
    /// What it is worked out from is in error.
    Broken,
}

/// What names are at the moment of working out.
pub trait Lookup {
    /// What is known of a name now.
    fn known(&self, name: NameId) -> &Known;
    /// What was known of a name at the end of a day.
    fn past(&self, day: u32, name: NameId) -> &Known;
}

/// Why an expression comes to no value.
#[derive(Clone, Debug)]
pub enum Halt {
    /// For want of this name.
    NoReading(NameId),
    /// Something it needs is in error, and said so where it stands.
    Broken,
    /// An error in the expression itself.
    Fault(Box<Diagnostic>),
}

type Results<'e> = Result<Cow<'e, Value>, Halt>;

pub use ends::{Of, plain};

/// Works out `expr`; what should be looked at goes into `warnings`.
pub fn evaluate(
    expr: &Expr,
    lookup: &dyn Lookup,
    warnings: &mut Vec<Diagnostic>,
) -> Result<Value, Halt> {
    let mut evaluator = Evaluator { lookup, warnings };
    let value = evaluator.value(expr)?.into_owned();
    Ok(ends::widened(expr, lookup, value))
}

struct Evaluator<'e, 'w> {
    lookup: &'e dyn Lookup,
    warnings: &'w mut Vec<Diagnostic>,
}

impl<'e> Evaluator<'e, '_> {
    fn value(&mut self, expr: &'e Expr) -> Results<'e> {
        match &expr.kind {
            ExprKind::Number(value, _) if value.is_finite() => Ok(Cow::Borrowed(value)),
            ExprKind::Number(..) => Err(no_number(expr.at)),
            ExprKind::Name(name) => known(self.lookup.known(*name)),
            ExprKind::Past { day, name } => known(self.lookup.past(*day, *name)),
            ExprKind::Negative(inner) => {
                let inner = self.value(inner)?;
                arithmetic::negative(&inner, expr.at).map(Cow::Owned)
            }
            ExprKind::Binary(operator, left, right) => {
                let (a, b) = (self.value(left)?, self.value(right)?);
                let result =
                    arithmetic::binary(*operator, (&a, left.at), (&b, right.at), self.warnings)?;
                finite(result, expr.at)
            }
            ExprKind::If(parts) => self.choice(parts),
            ExprKind::Math(math, arguments) => {
                let values = arguments
                    .iter()
                    .map(|argument| self.value(argument))
                    .collect::<Result<Vec<_>, _>>()?;
                let places: Vec<Span> = arguments.iter().map(|argument| argument.at).collect();
                finite(
                    functions::math(*math, &values, &places, self.warnings)?,
                    expr.at,
                )
            }
            ExprKind::Formula(formula, inputs, source) => {
                let result = functions::formula(self, formula, inputs, *source)?;
                finite(result, expr.at)
            }
            ExprKind::Compare(..) | ExprKind::And(..) | ExprKind::Or(..) | ExprKind::Not(..) => {
                Err(fault(
                    Diagnostic::error(
                        Slug::BadExpression,
                        expr.at,
                        "this gives true or false, not a value",
                    )
                    .expected("a comparison as the condition of if(condition, then, else)"),
                ))
            }
        }
    }

    /// Only the branch that holds is worked out; the other must agree in kind where it comes to a
    /// value.
    fn choice(&mut self, parts: &'e [Expr; 3]) -> Results<'e> {
        let [condition, then, otherwise] = parts;
        let (taken, left) = if self.holds(condition)? {
            (then, otherwise)
        } else {
            (otherwise, then)
        };
        let result = self.value(taken)?;
        let mut unheard = Vec::new();
        let other = Evaluator {
            lookup: self.lookup,
            warnings: &mut unheard,
        }
        .value(left);
        if let Ok(other) = other
            && !other.dimension.agrees_with(result.dimension)
        {
            let message = format!(
                "one branch is {}, the other is {}",
                result.dimension.words(),
                other.dimension.words()
            );
            return Err(fault(
                Diagnostic::error(Slug::UnitMismatch, left.at, message)
                    .expected(result.dimension.words()),
            ));
        }
        Ok(result)
    }

    fn holds(&mut self, condition: &'e Expr) -> Result<bool, Halt> {
        match &condition.kind {
            ExprKind::Compare(comparison, left, right) => self.compare(*comparison, left, right),
            ExprKind::And(left, right) => Ok(self.holds(left)? & self.holds(right)?),
            ExprKind::Or(left, right) => Ok(self.holds(left)? | self.holds(right)?),
            ExprKind::Not(inner) => Ok(!self.holds(inner)?),
            _ => Err(fault(
                Diagnostic::error(
                    Slug::BadExpression,
                    condition.at,
                    "a value is not a condition",
                )
                .expected("a comparison, for example a < b"),
            )),
        }
    }

    fn compare(
        &mut self,
        comparison: Comparison,
        left: &'e Expr,
        right: &'e Expr,
    ) -> Result<bool, Halt> {
        let (a, b) = (self.value(left)?, self.value(right)?);
        let difference = arithmetic::difference((&a, left.at), (&b, right.at), "is compared with")?;
        let sides = difference.worst_case();
        if difference.nominal - sides.down < 0.0 && difference.nominal + sides.up > 0.0 {
            self.warnings.push(
                Diagnostic::warning(
                    Slug::ConditionInDoubt,
                    left.at.to(right.at),
                    "within its spread, this condition could be true or false",
                )
                .expected("closer readings"),
            );
        }
        Ok(match comparison {
            Comparison::Below => difference.nominal <= 0.0,
            Comparison::Above => difference.nominal >= 0.0,
        })
    }
}

fn known(known: &Known) -> Results<'_> {
    match known {
        Known::Value(value) => Ok(Cow::Borrowed(value)),
        Known::NoReading(name) => Err(Halt::NoReading(*name)),
        Known::Broken => Err(Halt::Broken),
    }
}

fn finite<'e>(value: Value, at: Span) -> Results<'e> {
    if value.is_finite() {
        return Ok(Cow::Owned(value));
    }
    Err(no_number(at))
}

/// The finding for what no number of the machine can hold.
pub(super) fn no_number(at: Span) -> Halt {
    fault(
        Diagnostic::error(Slug::NoNumber, at, "this has no result")
            .expected("values that give a result"),
    )
}

fn fault(diagnostic: Diagnostic) -> Halt {
    Halt::Fault(Box::new(diagnostic))
}
