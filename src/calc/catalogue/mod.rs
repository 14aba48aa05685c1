//! The trade's formulas, one entry each: arguments, domain, equation, source, caution, worked
//! check.
//!
//! In: nothing. Out: [`Formula`] entries, from which the evaluator, the `formulas` listing and the
//! record's methods page all take what they say. Arguments and results are in SI inside.
#![allow(
    clippy::unnecessary_wraps,
    reason = "every formula has one shape, also those that hold everywhere"
)]

mod air;
mod argument;
mod brakes;
mod electrical;
mod engine;
mod fasteners;
mod fits;
mod gearing;
mod joints;
mod materials;
mod motion;
mod performance;
mod planning;
mod shafts;
mod thermal;
mod weight;

pub use argument::{Argument, ArgumentKind, Domain, Word};

use super::dual::{Dual, MOST};
use crate::quantity::{Dimension, TemperatureKind};

/// The formulas, trade by trade.
const TRADES: &[&[&Formula]] = &[
    joints::FORMULAS,
    shafts::FORMULAS,
    gearing::FORMULAS,
    performance::FORMULAS,
    planning::FORMULAS,
    motion::FORMULAS,
    weight::FORMULAS,
    air::FORMULAS,
    engine::FORMULAS,
    fits::FORMULAS,
    fasteners::FORMULAS,
    electrical::FORMULAS,
    brakes::FORMULAS,
    thermal::FORMULAS,
];

/// One formula of the catalogue.
#[derive(Debug)]
pub struct Formula {
    /// The name sums call it by.
    pub name: &'static str,
    /// What it gives, in one line.
    pub says: &'static str,
    /// Its arguments, in order.
    pub arguments: &'static [Argument],
    /// The dimension of its result.
    pub dimension: Dimension,
    /// The unit its result is shown in where nothing else says; `degC` for a reading, `K` for a
    /// rise.
    pub shown_in: &'static str,
    /// The equation as a person would write it.
    pub equation: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// What to mind where its result can hurt somebody.
    pub caution: Option<&'static str>,
    /// A call that anybody can check by hand, and what it comes to.
    pub worked: WorkedExample,
    /// The published rows it is held against in the tests.
    pub held_against: &'static [&'static str],
    pub(super) work: fn(&Inputs) -> Result<Outcome, Outside>,
}

/// A worked check: a call, and its result to the digits printed.
#[derive(Debug)]
pub struct WorkedExample {
    /// The call, as in a sums block.
    pub call: &'static str,
    /// What it comes to, with its unit.
    pub comes_to: &'static str,
}

/// The arguments of one call: quantities as duals by position, words as indices into their lists.
pub(super) struct Inputs {
    pub(super) numbers: [Dual; MOST],
    pub(super) words: [usize; MOST],
}

impl Inputs {
    fn number(&self, index: usize) -> Dual {
        self.numbers[index]
    }

    fn word(&self, index: usize) -> usize {
        self.words[index]
    }
}

/// What a formula comes to.
pub(super) struct Outcome {
    /// The result.
    pub(super) value: Dual,
    /// How far the law itself may be off, as a share of the result; 0 for an exact relation.
    pub(super) law_spread: f64,
    /// The argument that brings the result near the edge of what the law holds for.
    pub(super) near_edge: Option<Outside>,
}

impl Outcome {
    fn exact(value: Dual) -> Result<Self, Outside> {
        Self::law(value, 0.0)
    }

    fn law(value: Dual, law_spread: f64) -> Result<Self, Outside> {
        Ok(Self {
            value,
            law_spread,
            near_edge: None,
        })
    }
}

/// An argument that the formula does not hold for.
pub(super) struct Outside {
    /// Which argument.
    pub(super) argument: usize,
    /// The domain in words.
    pub(super) domain: &'static str,
}

/// Every formula, by name.
pub fn all() -> impl Iterator<Item = &'static Formula> {
    let mut formulas: Vec<&'static Formula> = TRADES.concat();
    formulas.sort_by_key(|formula| formula.name);
    formulas.into_iter()
}

/// The formula of that name.
pub fn find(name: &str) -> Option<&'static Formula> {
    TRADES
        .iter()
        .copied()
        .flatten()
        .copied()
        .find(|formula| formula.name == name)
}

impl Formula {
    /// The result for nominal arguments in SI, words by their place in the argument's list; `None`
    /// outside its domain.
    pub fn nominal(&self, numbers: &[f64], words: &[usize]) -> Option<f64> {
        let mut inputs = Inputs {
            numbers: [Dual::fixed(0.0); MOST],
            words: [0; MOST],
        };
        for (slot, number) in inputs.numbers.iter_mut().zip(numbers) {
            *slot = Dual::fixed(*number);
        }
        for (slot, word) in inputs.words.iter_mut().zip(words) {
            *slot = *word;
        }
        (self.work)(&inputs).ok().map(|outcome| outcome.value.value)
    }

    /// `name(argument, …)`.
    pub fn signature(&self) -> String {
        let names: Vec<&str> = self
            .arguments
            .iter()
            .map(|argument| argument.name)
            .collect();
        format!("{}({})", self.name, names.join(", "))
    }

    /// Is its result a reading or a rise, where it is a temperature?
    pub fn heat(&self) -> TemperatureKind {
        match self.shown_in {
            "degC" => TemperatureKind::Absolute,
            "K" => TemperatureKind::Difference,
            _ => TemperatureKind::Either,
        }
    }
}
