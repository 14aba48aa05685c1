//! What a formula takes: quantities with their domains, temperatures of either kind, bare words.
//!
//! In: nothing. Out: [`Argument`] and what it is made of. Domains are in SI; their words are in
//! usual units.

use crate::quantity::{Dimension, TemperatureKind};

/// One argument of a formula.
#[derive(Debug)]
pub struct Argument {
    /// The name it may be given by.
    pub name: &'static str,
    /// What it is.
    pub says: &'static str,
    /// What may stand there.
    pub kind: ArgumentKind,
}

/// What may stand as an argument.
#[derive(Debug)]
pub enum ArgumentKind {
    /// A quantity; the unit stands for its dimension in the listing.
    Quantity {
        /// Its dimension.
        dimension: Dimension,
        /// A usual unit of it.
        unit: &'static str,
        /// Where the formula holds.
        domain: Domain,
        /// Reading or rise, where it is a temperature; kelvin does for both.
        heat: TemperatureKind,
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
    /// Strictly between the two, with care near them; the words say so in usual units.
    Between(f64, f64, &'static str),
    /// From the one to the other, both of them good.
    Within(f64, f64, &'static str),
    /// A whole number from the one to the other.
    Whole(f64, f64, &'static str),
}

impl Domain {
    /// Does the formula hold there?
    pub fn holds(self, value: f64) -> bool {
        match self {
            Self::Any => true,
            Self::Positive => value > 0.0,
            Self::NotNegative => value >= 0.0,
            Self::Between(low, high, _) => low < value && value < high,
            Self::Within(low, high, _) => (low..=high).contains(&value),
            Self::Whole(low, high, _) => (low..=high).contains(&value) && value.fract() == 0.0,
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
            Self::Between(_, _, words) | Self::Within(_, _, words) | Self::Whole(_, _, words) => {
                words
            }
        }
    }
}

pub(super) const fn quantity(
    name: &'static str,
    says: &'static str,
    dimension: Dimension,
    unit: &'static str,
    domain: Domain,
) -> Argument {
    Argument {
        name,
        says,
        kind: ArgumentKind::Quantity {
            dimension,
            unit,
            domain,
            heat: TemperatureKind::Either,
        },
    }
}

/// A plain number.
pub(super) const fn number(name: &'static str, says: &'static str, domain: Domain) -> Argument {
    quantity(name, says, Dimension::NONE, "", domain)
}

/// A length in mm.
pub(super) const fn length(name: &'static str, says: &'static str, domain: Domain) -> Argument {
    quantity(name, says, Dimension::LENGTH, "mm", domain)
}

/// A temperature as a thermometer shows it.
pub(super) const fn reading(name: &'static str, says: &'static str, domain: Domain) -> Argument {
    let (dimension, unit, heat) = (Dimension::TEMPERATURE, "degC", TemperatureKind::Absolute);
    Argument {
        name,
        says,
        kind: ArgumentKind::Quantity {
            dimension,
            unit,
            domain,
            heat,
        },
    }
}

/// A difference of two temperatures.
pub(super) const fn rise(name: &'static str, says: &'static str, domain: Domain) -> Argument {
    let (dimension, unit, heat) = (Dimension::TEMPERATURE, "K", TemperatureKind::Difference);
    Argument {
        name,
        says,
        kind: ArgumentKind::Quantity {
            dimension,
            unit,
            domain,
            heat,
        },
    }
}

/// A word that must be given.
pub(super) const fn word(
    name: &'static str,
    says: &'static str,
    words: &'static [Word],
) -> Argument {
    Argument {
        name,
        says,
        kind: ArgumentKind::Word {
            words,
            optional: false,
        },
    }
}

/// A word that stands for the first of the list where none is given.
pub(super) const fn word_or_first(
    name: &'static str,
    says: &'static str,
    words: &'static [Word],
) -> Argument {
    Argument {
        name,
        says,
        kind: ArgumentKind::Word {
            words,
            optional: true,
        },
    }
}
