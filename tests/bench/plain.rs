//! The same trees in plain doubles: no dimension, no spread, no verdict.
//!
//! In: a worked book. Out: its formulas in the order they were worked out, ready to be walked again.

use std::collections::BTreeMap;

use shimbook::calc::{Comparison, Content, Expr, ExprKind, Input, Known, Math, Moment, NameId, Operator, Worked};

/// Every moment of every name, in the order of the book.
pub struct Trees<'w> {
    moments: Vec<(usize, &'w Moment)>,
    names: usize,
}

pub fn trees(worked: &Worked) -> Trees<'_> {
    let mut moments: Vec<(usize, &Moment)> = worked
        .values
        .iter()
        .enumerate()
        .flat_map(|(name, story)| story.moments.iter().map(move |moment| (name, moment)))
        .collect();
    moments.sort_by_key(|(_, moment)| moment.step);
    Trees { moments, names: worked.values.len() }
}

impl Trees<'_> {
    /// Walks all of them once; the sum keeps the work from being left out.
    pub fn evaluate(&self) -> f64 {
        let mut now = vec![0.0; self.names];
        for (name, moment) in &self.moments {
            now[*name] = match (&moment.defined.content, &moment.known) {
                (Content::Formula { expr, .. }, _) => value(expr, &now),
                (_, Known::Value(known)) => known.nominal,
                _ => 0.0,
            };
        }
        now.iter().sum()
    }
}

fn value(expr: &Expr, now: &[f64]) -> f64 {
    match &expr.kind {
        ExprKind::Number(number, _) => number.nominal,
        ExprKind::Name(name) | ExprKind::Past { name, .. } => now[name.index()],
        ExprKind::Negative(inner) => -value(inner, now),
        ExprKind::Binary(operator, a, b) => binary(*operator, value(a, now), value(b, now)),
        ExprKind::If(parts) => value(if holds(&parts[0], now) { &parts[1] } else { &parts[2] }, now),
        ExprKind::Math(math, arguments, _) => {
            let values: Vec<f64> = arguments.iter().map(|argument| value(argument, now)).collect();
            of(*math, &values)
        }
        ExprKind::Formula(formula, inputs, _) => {
            let number = |input: &Input| match input {
                Input::Quantity(expr) => (value(expr, now), 0),
                Input::Word(word) => (0.0, *word),
            };
            let (numbers, words): (Vec<f64>, Vec<usize>) = inputs.iter().map(number).unzip();
            formula.nominal(&numbers, &words).unwrap_or(0.0)
        }
        ExprKind::Compare(..) | ExprKind::And(..) | ExprKind::Or(..) | ExprKind::Not(_) => {
            f64::from(u8::from(holds(expr, now)))
        }
    }
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

fn of(math: Math, values: &[f64]) -> f64 {
    let x = values[0];
    match math {
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
        Math::Atan2 => x.atan2(values[1]),
    }
}

fn holds(expr: &Expr, now: &[f64]) -> bool {
    match &expr.kind {
        ExprKind::Compare(Comparison::Below, a, b) => value(a, now) <= value(b, now),
        ExprKind::Compare(Comparison::Above, a, b) => value(a, now) >= value(b, now),
        ExprKind::And(a, b) => holds(a, now) && holds(b, now),
        ExprKind::Or(a, b) => holds(a, now) || holds(b, now),
        ExprKind::Not(inner) => !holds(inner, now),
        _ => false,
    }
}

/// The measured name that most formulas read.
pub fn busiest_reading(worked: &Worked) -> String {
    let mut readers: BTreeMap<usize, usize> = BTreeMap::new();
    for moment in worked.values.iter().filter_map(|story| story.moments.last()) {
        for read in calc_reads(&moment.defined.content) {
            *readers.entry(read).or_default() += 1;
        }
    }
    let measured = worked
        .names
        .iter()
        .filter(|(_, id)| worked.latest(*id).is_some_and(|now| now.defined.state.word() == "measured"));
    let busiest = measured.max_by_key(|(_, id)| readers.get(&id.index()).copied().unwrap_or(0));
    busiest.map(|(text, _)| text.to_owned()).unwrap()
}

fn calc_reads(content: &Content) -> Vec<usize> {
    shimbook::calc::names_read(content).into_iter().map(NameId::index).collect()
}
