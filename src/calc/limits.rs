//! The limits of a check as figures, and which of two is stricter.
//!
//! In: what the limits of a check line come to. Out: for each side the limit that admits less. A
//! limit with a spread of its own admits only what lies inside all of that spread. Limits of one
//! check measure the same and have the same sides.

use std::sync::Arc;

use super::statement::Rule;
use crate::book::When;
use crate::quantity::Value;
use crate::source::Span;

/// Two limits nearer than this share of their size are the same limit written in two ways.
const SAME: f64 = 1e-12;

/// The limits of a check as they come to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits {
    /// The lower limit.
    pub lower: Option<Value>,
    /// The upper limit.
    pub upper: Option<Value>,
}

impl Limits {
    /// On each side the limit that admits less.
    #[must_use]
    pub(super) fn stricter(self, other: &Self) -> Self {
        let pick = |own: Option<Value>, other: &Option<Value>, sign: f64| match (own, other) {
            (Some(own), Some(other)) if eases(&own, other, sign) => Some(other.clone()),
            (None, other) => other.clone(),
            (own, _) => own,
        };
        Self {
            lower: pick(self.lower, &other.lower, 1.0),
            upper: pick(self.upper, &other.upper, -1.0),
        }
    }

    /// Do these admit a value that the other limits do not?
    pub(super) fn ease(&self, other: &Self) -> bool {
        self.pairs(other)
            .any(|(own, other, sign)| match (own, other) {
                (Some(own), Some(other)) => eases(own, other, sign),
                (None, Some(_)) => true,
                (_, None) => false,
            })
    }

    /// Do both admit the same?
    pub(super) fn admit_the_same(&self, other: &Self) -> bool {
        !self.ease(other) && !other.ease(self)
    }

    /// Do both measure the same?
    pub(super) fn agree_with(&self, other: &Self) -> bool {
        self.pairs(other).all(|(own, other, _)| match (own, other) {
            (Some(own), Some(other)) => own.dimension.agrees_with(other.dimension),
            _ => true,
        })
    }

    fn pairs<'l>(
        &'l self,
        other: &'l Self,
    ) -> impl Iterator<Item = (Option<&'l Value>, Option<&'l Value>, f64)> {
        let lower = (self.lower.as_ref(), other.lower.as_ref(), 1.0);
        [lower, (self.upper.as_ref(), other.upper.as_ref(), -1.0)].into_iter()
    }
}

/// Does a limit admit a value that the other does not? `sign` is 1 for lower limits, -1 for upper
/// ones.
fn eases(own: &Value, other: &Value, sign: f64) -> bool {
    let size = SAME * own.nominal.abs().max(other.nominal.abs());
    let slack = size.max(own.grain()).max(other.grain());
    inner(own, sign) < inner(other, sign) - slack
}

/// What a value must reach to be in limits, counted towards the inside.
fn inner(limit: &Value, sign: f64) -> f64 {
    let spread = limit.worst_case();
    sign * limit.nominal + if sign > 0.0 { spread.up } else { spread.down }
}

/// A line about the limit of a check.
#[derive(Clone, Debug)]
pub struct LimitLine {
    /// The day; 0 for targets.
    pub day: u32,
    /// The day, and the block of its log.
    pub when: When,
    /// The block, counted through the book.
    pub step: u32,
    /// The line.
    pub rule: Rule,
    /// What came of it.
    pub change: LimitChange,
    /// Was it a hold check until then?
    pub hold: bool,
    /// The limit that counted until then; empty for the first.
    pub before: Arc<str>,
}

/// What came of a line about a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LimitChange {
    /// Its limit counts.
    Set,
    /// It would ease a hold limit and nobody signed it: it counts only where it is stricter.
    Unsigned,
    /// It eases the limit, by the names in the line.
    Eased,
    /// It ends the check, by the names in the line.
    Withdrawn,
}

impl LimitChange {
    /// The word scripts may rely on.
    pub fn word(self) -> &'static str {
        match self {
            Self::Set => "set",
            Self::Unsigned => "not signed",
            Self::Eased => "eased",
            Self::Withdrawn => "withdrawn",
        }
    }
}

/// A later line about a value or a check that could not be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UnreadLine {
    /// Its day.
    pub day: u32,
    /// The line.
    pub at: Span,
}
