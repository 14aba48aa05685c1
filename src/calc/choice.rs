//! What `choose` and `stack` came to: windows, the best point, handy sizes, pieces of stock.
//!
//! In: filled by the timeline. Out: plain data for pages and commands.

use std::collections::BTreeSet;

use super::latest::latest;
use super::margin::Margin;
use super::names::NameId;
use super::results::Results;
use crate::quantity::{Unit, Value, format, printed};
use crate::source::Span;

/// A name that is chosen, from first to last.
#[derive(Clone, Debug)]
pub struct ChoiceHistory {
    /// The name.
    pub name: NameId,
    /// The line that asks for it, the latest.
    pub at: Span,
    /// The names that the ends of its range and its aim ever read.
    pub range_reads: BTreeSet<NameId>,
    /// Was it measured or set since?
    pub settled: bool,
    /// What was found, each from a block on.
    pub found: Vec<Choice>,
}

impl ChoiceHistory {
    /// What stood at the end of a block.
    pub fn at_step(&self, step: u32) -> Option<&Choice> {
        latest(&self.found, |choice| choice.step <= step)
    }

    /// Is it asked for, and does nothing do?
    pub fn fails(&self) -> bool {
        !self.settled
            && self
                .found
                .last()
                .is_some_and(|choice| matches!(choice.outcome, ChoiceOutcome::Nothing(_)))
    }
}

/// What a `choose` or a `stack` found from one block on.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The block.
    pub step: u32,
    /// The day.
    pub day: u32,
    /// The lower end of the range searched, in SI.
    pub from: f64,
    /// The upper end of the range searched, in SI.
    pub to: f64,
    /// The unit it is shown in.
    pub unit: Unit,
    /// The checks that depend on the name.
    pub checks: Vec<usize>,
    /// What came of it.
    pub outcome: ChoiceOutcome,
}

/// What came of searching.
#[derive(Clone, Debug, PartialEq)]
pub enum ChoiceOutcome {
    /// Windows in which every check is in limits.
    Found(Found),
    /// There is none, and why.
    Nothing(Exclusion),
    /// No check depends on the name.
    NoCheck,
    /// This name is wanting.
    Wanting(NameId),
    /// Something it needs is in error.
    Broken,
}

/// Windows and what was taken from them.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The windows, in SI, in order.
    pub windows: Vec<(f64, f64)>,
    /// The best point, in SI.
    pub best: f64,
    /// What the name is taken to be: the best point, or the sum of the pieces.
    pub taken: f64,
    /// Handy sizes inside the windows, nearest to the best point first.
    pub handy: Vec<Handy>,
    /// Pieces of stock: size as written, and how many; empty for `choose`.
    pub pieces: Vec<(String, u32)>,
}

/// A handy size and what it would give.
#[derive(Clone, Debug, PartialEq)]
pub struct Handy {
    /// The size, in SI.
    pub size: f64,
    /// What each check comes to.
    pub gives: Vec<Gives>,
}

/// What one check comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Gives {
    /// The check.
    pub check: usize,
    /// The value.
    pub value: Value,
    /// The margin.
    pub margin: Margin,
}

/// Why there is no window.
#[derive(Clone, Debug, PartialEq)]
pub enum Exclusion {
    /// One check can be met nowhere; at its best it is this far short, in SI of its value, at this
    /// place.
    Alone {
        /// The check.
        check: usize,
        /// How far short, in SI.
        short: f64,
        /// Where, in SI.
        at: f64,
    },
    /// Two checks exclude each other; their windows lie this far apart, in SI of the name.
    Pair {
        /// One.
        first: usize,
        /// The other.
        second: usize,
        /// How far apart, in SI.
        apart: f64,
    },
    /// Only three or more together do.
    Several,
    /// There are windows, and no sum of pieces lies in one.
    NoPieces {
        /// The windows, in SI.
        windows: Vec<(f64, f64)>,
    },
    /// The pieces are too fine to be searched.
    TooFine,
}

impl Results {
    /// What was searched and found wanting: `nothing from 0 to 60 mm`, `no stack of this stock`.
    pub fn searched(&self, choice: &Choice, exclusion: &Exclusion) -> String {
        match exclusion {
            Exclusion::NoPieces { .. } | Exclusion::TooFine => "no stack of this stock".to_owned(),
            _ => format!(
                "nothing from {} to {}",
                choice.shown(choice.from),
                choice.shown(choice.to)
            ),
        }
    }

    /// What stands in the way.
    pub fn excluded(&self, choice: &Choice, exclusion: &Exclusion) -> String {
        match exclusion {
            Exclusion::Alone { check, short, at } => {
                let unit = self.checks[*check]
                    .latest()
                    .map_or_else(Unit::none, |judged| judged.unit.clone());
                let short = printed::at_least(*short, &unit);
                format!(
                    "room for {}: nearest at {}, still {short} short",
                    self.rule(*check),
                    choice.shown(*at)
                )
            }
            Exclusion::Pair {
                first,
                second,
                apart,
            } => {
                let apart = printed::at_least(*apart, &choice.unit);
                format!(
                    "room for both {} and {}: they exclude each other by {apart}",
                    self.rule(*first),
                    self.rule(*second)
                )
            }
            Exclusion::Several => {
                "checks that leave room for each other: here three or more together do not"
                    .to_owned()
            }
            Exclusion::NoPieces { windows } => {
                format!("pieces that make {}", choice.windows_words(windows))
            }
            Exclusion::TooFine => "sizes to 0.001 mm or 0.1 thou".to_owned(),
        }
    }

    /// `tail_after within 3.4 ± 0.4 deg`
    pub fn rule(&self, check: usize) -> String {
        let check = &self.checks[check];
        format!("{} {}", self.text(check.name), check.limit())
    }
}

impl Choice {
    /// A size in the unit of the choice.
    pub fn shown(&self, si: f64) -> String {
        printed::joined(&format::exact(self.unit.reading(si)), &self.unit)
    }

    /// `6.5 to 11 mm, or 14 to 15 mm`
    pub fn windows_words(&self, windows: &[(f64, f64)]) -> String {
        let one = |(from, to): &(f64, f64)| {
            let (from, to) = format::inwards(self.unit.reading(*from), self.unit.reading(*to));
            printed::joined(&format!("{from} to {to}"), &self.unit)
        };
        windows.iter().map(one).collect::<Vec<_>>().join(", or ")
    }
}
