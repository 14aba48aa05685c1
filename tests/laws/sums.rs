//! Random readings and random sums over them.

use proptest::prelude::*;
use shimbook::calc::catalogue::{Argument, ArgumentKind, Domain, Formula, all};
use shimbook::quantity::{Unit, Units};

/// The readings every random sum is written over.
pub const NAMES: [&str; 4] = ["a", "b", "c", "d"];

/// What random sums are made of besides names, `+`, `*` and `/`.
#[derive(Clone, Copy)]
pub struct Parts {
    /// Differences, which may lose figures.
    pub differences: bool,
    /// `min`, `max`: where two values change places.
    pub bends: bool,
}

/// A sum over `a` to `d` that comes to a length.
pub fn length(parts: Parts) -> impl Strategy<Value = String> {
    let leaf = proptest::sample::select(&NAMES[..]).prop_map(str::to_owned);
    leaf.prop_recursive(4, 24, 3, move |inner| {
        let two = (inner.clone(), inner.clone());
        let mut shapes: Vec<BoxedStrategy<String>> = vec![
            two.clone()
                .prop_map(|(x, y)| format!("({x} + {y})"))
                .boxed(),
            (0.2..5.0, inner.clone())
                .prop_map(|(n, x)| format!("({n:.3} * {x})"))
                .boxed(),
            (two.clone(), inner.clone())
                .prop_map(|((x, y), z)| format!("({x} * {y} / {z})"))
                .boxed(),
            two.clone()
                .prop_map(|(x, y)| format!("sqrt(({x})^2 + {y} * {y})"))
                .boxed(),
            two.clone()
                .prop_map(|(x, y)| format!("({x} * (1 + sin(atan2({y}, {x}))))"))
                .boxed(),
            two.clone()
                .prop_map(|(x, y)| format!("(abs({x}) * tan(tilt({y}, 2 m + abs({y}))))"))
                .boxed(),
        ];
        if parts.differences {
            shapes.push(
                two.clone()
                    .prop_map(|(x, y)| format!("({x} - {y})"))
                    .boxed(),
            );
            shapes.push(inner.prop_map(|x| format!("(-{x})")).boxed());
        }
        if parts.bends {
            shapes.push(
                two.clone()
                    .prop_map(|(x, y)| format!("min({x}, {y})"))
                    .boxed(),
            );
            shapes.push(
                two.prop_map(|(x, y)| format!("max({x}, {y}, 3 mm)"))
                    .boxed(),
            );
        }
        proptest::strategy::Union::new(shapes)
    })
}

/// A reading of each name in mm, and how far it may be off.
pub fn readings() -> impl Strategy<Value = [(f64, f64); 4]> {
    proptest::array::uniform4((1.0..900.0, 0.001..3.0))
}

/// The lines of the readings, and more below them.
pub fn block(readings: &[(f64, f64); 4], more: &str) -> String {
    let line = |(name, (nominal, spread)): (&&str, &(f64, f64))| {
        format!("{name} measured {nominal} ± {spread} mm\n")
    };
    NAMES.iter().zip(readings).map(line).collect::<String>() + more
}

/// A formula of the catalogue with an argument for each place: a number in its usual unit, or a
/// word.
#[derive(Clone, Debug)]
pub struct Call {
    pub formula: &'static Formula,
    pub arguments: Vec<Given>,
}

/// One argument of a call.
#[derive(Clone, Debug)]
pub enum Given {
    Number(f64, Unit),
    /// A whole number, which no spread moves.
    Count(f64),
    Word(&'static str),
}

impl Call {
    /// The call, with another text in place of one argument.
    pub fn with(&self, place: usize, text: &str) -> String {
        let texts: Vec<String> = self.arguments.iter().map(Given::text).collect();
        let swapped = texts
            .iter()
            .enumerate()
            .map(|(at, own)| if at == place { text } else { own });
        format!(
            "{}({})",
            self.formula.name,
            swapped.collect::<Vec<_>>().join(", ")
        )
    }

    /// The numbers among the arguments, with their places.
    pub fn numbers(&self) -> impl Iterator<Item = (usize, f64, &Unit)> {
        self.arguments
            .iter()
            .enumerate()
            .filter_map(|(place, given)| match given {
                Given::Number(number, unit) => Some((place, *number, unit)),
                Given::Count(_) | Given::Word(_) => None,
            })
    }
}

impl Given {
    /// As written in a sum.
    pub fn text(&self) -> String {
        match self {
            Self::Number(number, unit) => format!("{number} {}", unit.name).trim().to_owned(),
            Self::Count(number) => number.to_string(),
            Self::Word(word) => (*word).to_owned(),
        }
    }
}

/// Any formula, called inside its domain.
pub fn call() -> impl Strategy<Value = Call> {
    let formulas: Vec<&'static Formula> = all().collect();
    proptest::sample::select(formulas).prop_flat_map(call_of)
}

/// One formula, called inside its domain.
pub fn call_of(formula: &'static Formula) -> impl Strategy<Value = Call> {
    let arguments: Vec<BoxedStrategy<Given>> = formula.arguments.iter().map(argument).collect();
    arguments.prop_map(move |arguments| Call { formula, arguments })
}

fn argument(argument: &'static Argument) -> BoxedStrategy<Given> {
    match &argument.kind {
        ArgumentKind::Word { words, .. } => {
            let words: Vec<&'static str> = words.iter().map(|word| word.word).collect();
            proptest::sample::select(words)
                .prop_map(Given::Word)
                .boxed()
        }
        ArgumentKind::Quantity {
            domain: Domain::Whole(low, high, _),
            ..
        } => (*low as i32..=*high as i32)
            .prop_map(|number| Given::Count(f64::from(number)))
            .boxed(),
        ArgumentKind::Quantity { unit, domain, .. } => {
            let unit = if unit.is_empty() {
                Unit::none()
            } else {
                Units::new("EUR").named(unit).unwrap()
            };
            range(argument.name, *domain, &unit)
                .prop_map(move |number| Given::Number(number, unit.clone()))
                .boxed()
        }
    }
}

/// Well inside the domain, in the unit, and where arguments depend on each other such that they
/// fit: a wall into its tube, three guesses in their order, a pitch on its thread, a lift below the
/// wheelbase, two joints that differ, air that a correction holds for.
fn range(name: &str, domain: Domain, unit: &Unit) -> std::ops::Range<f64> {
    match (name, domain) {
        ("joint_1", _) => 20.0..40.0,
        ("joint_2", _) => 1.0..15.0,
        ("temperature", _) => 10.0..35.0,
        ("pressure", Domain::Within(..)) => 97.0..101.0,
        ("size", _) => 10.5..15.5,
        ("pitch", _) => 0.5..4.0,
        ("lift", _) => 0.5..20.0,
        ("wheelbase", _) => 30.0..60.0,
        ("od", _) => 40.0..120.0,
        ("wall", _) => 0.5..9.0,
        ("least", _) => 0.5..5.0,
        ("likely", _) => 6.0..20.0,
        ("most", _) => 25.0..60.0,
        ("limit" | "mean", _) => 20.0..30.0,
        ("deviation", _) => 4.0..12.0,
        (_, Domain::Between(low, high, _) | Domain::Within(low, high, _)) => {
            let edge = (high - low) / 20.0;
            unit.reading(low + edge)..unit.reading(high - edge)
        }
        _ => 0.5..50.0,
    }
}
