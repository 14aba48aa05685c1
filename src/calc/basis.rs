//! What a value rests on: was it measured, calculated, given, claimed by a maker, or chosen?
//!
//! In: the worked book, a name or a rule, a day. Out: a [`Basis`]. A calculated value rests on
//! readings, but its basis is calculated: nobody measured it.

use std::collections::BTreeSet;

use super::money::names_ever_in;
use super::names::NameId;
use super::results::{Content, Defined, Results, State};
use super::statement::Rule;
use crate::quantity::Dimension;

/// The basis of a value, strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Read off the vehicle.
    Measured,
    /// A reading, moved by what a formula says has changed since.
    Corrected,
    /// Worked out by a formula.
    Calculated,
    /// Written without a reading.
    Given,
    /// A mass or a rating of a part, as its maker states it.
    MakersFigure,
    /// Chosen from a window, or stacked from stock.
    Chosen,
}

impl Basis {
    /// All of them, strongest first.
    pub const ALL: [Self; 6] = [
        Self::Measured,
        Self::Corrected,
        Self::Calculated,
        Self::Given,
        Self::MakersFigure,
        Self::Chosen,
    ];

    /// The word scripts may rely on.
    pub fn word(self) -> &'static str {
        match self {
            Self::MakersFigure => "maker's figure",
            other => other.printed(),
        }
    }

    /// The same for pages.
    pub fn printed(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Corrected => "corrected",
            Self::Calculated => "calculated",
            Self::Given => "given",
            Self::MakersFigure => "maker’s figure",
            Self::Chosen => "chosen",
        }
    }

    /// Is it a finding on the vehicle?
    pub fn is_found(self) -> bool {
        self <= Self::Corrected
    }
}

impl Defined {
    /// The basis of what the line gives.
    pub fn basis(&self) -> Basis {
        match self.state {
            State::Measured => Basis::Measured,
            State::Worked | State::Total => Basis::Calculated,
            State::Figure if self.is_money() => Basis::Given,
            State::Given => Basis::Given,
            State::Chosen => Basis::Chosen,
            State::Figure => Basis::MakersFigure,
        }
    }

    /// The weakest thing that it rests on by itself, its formula left out: a total of the ledger
    /// rests on the figures that it adds up.
    fn rests_on(&self) -> Basis {
        match self.state {
            State::Total if self.is_money() => Basis::Given,
            State::Total => Basis::MakersFigure,
            _ => self.basis(),
        }
    }

    fn is_money(&self) -> bool {
        matches!(&self.content, Content::Value(value, _) if value.dimension == Dimension::MONEY)
    }
}

impl Results {
    /// The basis of a value at the end of a day; `None` if there is no value.
    pub fn basis(&self, name: NameId, day: u32) -> Option<Basis> {
        let moment = self.on_day(name, day)?;
        moment.value()?;
        Some(moment.defined.basis())
    }

    /// The weakest basis that the limits of a rule rest on at the end of a day, through any number
    /// of formulas; `None` for limits that are written as figures.
    pub fn limit_basis(&self, rule: &Rule, day: u32) -> Option<Basis> {
        let limits = rule.lower.iter().chain(&rule.upper);
        let parts = limits.flat_map(|limit| std::iter::once(&limit.base).chain(&limit.side));
        let mut seen: BTreeSet<NameId> = parts.flat_map(names_ever_in).collect();
        let mut waiting: Vec<NameId> = seen.iter().copied().collect();
        let mut weakest = None;
        while let Some(name) = waiting.pop() {
            let Some(moment) = self.on_day(name, day) else {
                continue;
            };
            weakest = weakest.max(Some(moment.defined.rests_on()));
            if let Content::Formula { expr, .. } = &moment.defined.content {
                waiting.extend(
                    names_ever_in(expr)
                        .into_iter()
                        .filter(|next| seen.insert(*next)),
                );
            }
        }
        weakest
    }
}
