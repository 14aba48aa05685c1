//! The trade's formulas, one entry each: arguments, domain, equation, source, caution, worked check.
//!
//! In: nothing. Out: [`Formula`] entries, from which the evaluator, the `formulas` listing and the
//! record's methods page all take what they say. Arguments and results are in SI inside.
#![allow(clippy::unnecessary_wraps, reason = "every formula has one shape, also those that hold everywhere")]

mod driveline;
mod electrical;
mod materials;
mod performance;

use super::dual::Dual;
use crate::quantity::Dimension;

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
    /// The unit its result is shown in where nothing else says.
    pub shown_in: &'static str,
    /// The equation as a person would write it.
    pub equation: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// What to mind where its result can hurt somebody.
    pub caution: Option<&'static str>,
    /// A call that anybody can check by hand, and what it comes to.
    pub worked: Worked,
    /// The published rows it is held against in the tests.
    pub held_against: &'static [&'static str],
    pub(super) work: fn(&Inputs) -> Result<Outcome, Outside>,
}

/// A worked check: a call, and its result to the digits printed.
#[derive(Debug)]
pub struct Worked {
    /// The call, as in a sums block.
    pub call: &'static str,
    /// What it comes to, with its unit.
    pub comes_to: &'static str,
}

/// One argument of a formula.
#[derive(Debug)]
pub struct Argument {
    /// The name it may be given by.
    pub name: &'static str,
    /// What it is.
    pub says: &'static str,
    /// What may stand there.
    pub kind: Kind,
}

/// What may stand as an argument.
#[derive(Debug)]
pub enum Kind {
    /// A quantity; the unit stands for its dimension in the listing.
    Quantity {
        /// Its dimension.
        dimension: Dimension,
        /// A usual unit of it.
        unit: &'static str,
        /// Where the formula holds.
        domain: Domain,
    },
    /// One of these bare words; the first where `optional` and none is given.
    Word {
        /// The words, each with what it stands for.
        words: &'static [Word],
        /// May it be left out?
        optional: bool,
    },
}

/// A bare word that an argument takes: a material, a named law.
#[derive(Debug)]
pub struct Word {
    /// The word.
    pub word: &'static str,
    /// What it stands for, with its figures and their source.
    pub says: &'static str,
}

/// Where an argument may lie, in SI.
#[derive(Clone, Copy, Debug)]
pub enum Domain {
    /// Anywhere.
    Any,
    /// Above zero.
    Positive,
    /// Zero or above.
    NotNegative,
    /// Strictly between the two; the words say so in usual units.
    Between(f64, f64, &'static str),
}

impl Domain {
    /// Does the formula hold there?
    pub fn holds(self, value: f64) -> bool {
        match self {
            Self::Any => true,
            Self::Positive => value > 0.0,
            Self::NotNegative => value >= 0.0,
            Self::Between(low, high, _) => low < value && value < high,
        }
    }

    /// Is it within a twentieth of the range of an edge?
    pub fn near_edge(self, value: f64) -> bool {
        match self {
            Self::Between(low, high, _) => (value - low).min(high - value) < (high - low) / 20.0,
            _ => false,
        }
    }

    /// The domain in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Any => "any",
            Self::Positive => "above zero",
            Self::NotNegative => "zero or above",
            Self::Between(_, _, words) => words,
        }
    }
}

/// The arguments of one call: quantities as duals by position, words as indices into their lists.
pub(super) struct Inputs {
    pub(super) numbers: [Dual; super::dual::MOST],
    pub(super) words: [usize; super::dual::MOST],
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
}

impl Outcome {
    fn exact(value: Dual) -> Result<Self, Outside> {
        Ok(Self { value, law_spread: 0.0 })
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
    let mut formulas: Vec<&'static Formula> =
        [driveline::FORMULAS, performance::FORMULAS, electrical::FORMULAS].concat();
    formulas.sort_by_key(|formula| formula.name);
    formulas.into_iter()
}

/// The formula of that name.
pub fn find(name: &str) -> Option<&'static Formula> {
    [driveline::FORMULAS, performance::FORMULAS, electrical::FORMULAS]
        .into_iter()
        .flatten()
        .find(|formula| formula.name == name)
        .copied()
}

impl Formula {
    /// `name(argument, …)`.
    pub fn signature(&self) -> String {
        let names: Vec<&str> = self.arguments.iter().map(|argument| argument.name).collect();
        format!("{}({})", self.name, names.join(", "))
    }

    /// How many arguments must be given.
    pub fn needed(&self) -> usize {
        self.arguments.iter().filter(|argument| !matches!(argument.kind, Kind::Word { optional: true, .. })).count()
    }
}

const fn quantity(
    name: &'static str,
    says: &'static str,
    dimension: Dimension,
    unit: &'static str,
    domain: Domain,
) -> Argument {
    Argument { name, says, kind: Kind::Quantity { dimension, unit, domain } }
}
