//! Each reading taken to its ends, where the slope at the nominal value tells too little.
//!
//! First order says that a joint at 0 ± 5° has no ripple, and that a cosine at 0 never falls. So
//! each source is also put to its upper and its lower end, by itself, and the formula worked out
//! there in plain numbers; where that moves the result further than the slope says by more than
//! [`SLACK`], the further way counts. Gently curved formulas stay with the first order of the GUM
//! (JCGM 100:2008, 5.1.2).

use std::collections::BTreeMap;

use super::{Known, Lookup};
use crate::calc::bindings::each_name;
use crate::calc::expression::{Comparison, Expr, ExprKind, Input, Math, Operator};
use crate::calc::names::NameId;
use crate::quantity::{SourceId, Value};

/// By what share the ends must reach further than the slope says before they count.
const SLACK: f64 = 0.1;

/// What a name is, now or at the end of an earlier day.
pub type Of<'a> = &'a dyn Fn(Option<u32>, NameId) -> Option<f64>;

/// The value of `expr` with the reach of each source at its ends.
pub(super) fn widened(expr: &Expr, lookup: &dyn Lookup, value: Value) -> Value {
    if is_straight(expr) {
        return value;
    }
    let mut moved: BTreeMap<SourceId, (f64, f64)> = BTreeMap::new();
    for source in sources(expr, lookup, &value) {
        let end = |upper: bool| {
            plain(expr, &|day, name| shifted(lookup, day, name, source, upper))
                .map(|end| end - value.nominal)
        };
        let (Some(at_upper), Some(at_lower)) = (end(true), end(false)) else {
            continue;
        };
        let (up, down) = value.reach_of(source);
        let further = |ends: f64, slope: f64| {
            ends > slope * (1.0 + SLACK) && ends > 1e-9 * value.nominal.abs()
        };
        let (reach_up, reach_down) = (
            at_upper.max(at_lower).max(0.0),
            -at_upper.min(at_lower).min(0.0),
        );
        if further(reach_up, up) || further(reach_down, down) {
            let (up, down) = (up.max(reach_up), down.max(reach_down));
            moved.insert(
                source,
                if at_upper >= at_lower {
                    (up, -down)
                } else {
                    (-down, up)
                },
            );
        }
    }
    if moved.is_empty() {
        value
    } else {
        value.reaching(&moved)
    }
}

/// Sums and multiples: the slope tells all.
fn is_straight(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Number(..) | ExprKind::Name(_) | ExprKind::Past { .. } => true,
        ExprKind::Negative(inner) => is_straight(inner),
        ExprKind::Binary(Operator::Add | Operator::Subtract, a, b) => {
            is_straight(a) && is_straight(b)
        }
        ExprKind::Binary(Operator::Multiply, a, b) => {
            is_straight(a) && is_straight(b) && (is_number(a) || is_number(b))
        }
        ExprKind::Binary(Operator::Divide, a, b) => is_straight(a) && is_number(b),
        _ => false,
    }
}

fn is_number(expr: &Expr) -> bool {
    match &expr.kind {
        ExprKind::Number(..) => true,
        ExprKind::Negative(inner) => is_number(inner),
        _ => false,
    }
}

/// The sources that the names of an expression have, and those the value was found to have, each
/// once.
fn sources(expr: &Expr, lookup: &dyn Lookup, value: &Value) -> Vec<SourceId> {
    let mut sources: Vec<SourceId> = value.terms().iter().map(|term| term.source).collect();
    each_name(expr, |name| {
        if let Known::Value(read) = lookup.known(name) {
            sources.extend(read.terms().iter().map(|term| term.source));
        }
    });
    sources.sort_unstable();
    sources.dedup();
    sources
}

/// A name's nominal value with one source at its upper or lower end.
fn shifted(
    lookup: &dyn Lookup,
    day: Option<u32>,
    name: NameId,
    source: SourceId,
    upper: bool,
) -> Option<f64> {
    let known = day.map_or_else(|| lookup.known(name), |day| lookup.past(day, name));
    let Known::Value(value) = known else {
        return None;
    };
    Some(value.nominal + value.at_end(source, upper))
}

/// An expression in plain numbers, in SI; `None` where a name has no value or the expression no
/// number.
pub fn plain(expr: &Expr, of: Of) -> Option<f64> {
    let number = match &expr.kind {
        ExprKind::Number(number, _) => number.nominal,
        ExprKind::Name(name) => of(None, *name)?,
        ExprKind::Past { day, name } => of(Some(*day), *name)?,
        ExprKind::Negative(inner) => -plain(inner, of)?,
        ExprKind::Binary(operator, a, b) => binary(*operator, plain(a, of)?, plain(b, of)?),
        ExprKind::If(parts) => {
            let [condition, then, otherwise] = &**parts;
            plain(
                if holds(condition, of)? {
                    then
                } else {
                    otherwise
                },
                of,
            )?
        }
        ExprKind::Math(math, arguments) => {
            let values = arguments
                .iter()
                .map(|argument| plain(argument, of))
                .collect::<Option<Vec<f64>>>()?;
            mathematics(*math, &values)?
        }
        ExprKind::Formula(formula, inputs, _) => {
            let mut numbers = Vec::with_capacity(inputs.len());
            let mut words = Vec::with_capacity(inputs.len());
            for input in inputs {
                let (number, word) = match input {
                    Input::Quantity(expr) => (plain(expr, of)?, 0),
                    Input::Word(word) => (0.0, *word),
                };
                numbers.push(number);
                words.push(word);
            }
            formula.nominal(&numbers, &words)?
        }
        ExprKind::Compare(..) | ExprKind::And(..) | ExprKind::Or(..) | ExprKind::Not(_) => {
            return None;
        }
    };
    number.is_finite().then_some(number)
}

fn binary(operator: Operator, a: f64, b: f64) -> f64 {
    match operator {
        Operator::Add => a + b,
        Operator::Subtract => a - b,
        Operator::Multiply => a * b,
        Operator::Divide => a / b,
        Operator::Power => a.powf(b),
    }
}

fn mathematics(math: Math, values: &[f64]) -> Option<f64> {
    let x = *values.first()?;
    Some(match math {
        Math::Min => values.iter().copied().fold(f64::INFINITY, f64::min),
        Math::Max => values.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        Math::Abs => x.abs(),
        Math::Sqrt => x.sqrt(),
        Math::Sin => x.sin(),
        Math::Cos => x.cos(),
        Math::Tan => x.tan(),
        Math::Asin => x.asin(),
        Math::Acos => x.acos(),
        Math::Atan => x.atan(),
        Math::Atan2 => x.atan2(*values.get(1)?),
    })
}

fn holds(expr: &Expr, of: Of) -> Option<bool> {
    Some(match &expr.kind {
        ExprKind::Compare(Comparison::Below, a, b) => plain(a, of)? <= plain(b, of)?,
        ExprKind::Compare(Comparison::Above, a, b) => plain(a, of)? >= plain(b, of)?,
        ExprKind::And(a, b) => holds(a, of)? & holds(b, of)?,
        ExprKind::Or(a, b) => holds(a, of)? | holds(b, of)?,
        ExprKind::Not(inner) => !holds(inner, of)?,
        _ => return None,
    })
}
