//! Sums: statements, expressions, the catalogue of formulas, the timeline of values, verdicts.
//!
//! In: a [`Book`](crate::book::Book) and the figures of its parts. Out: [`Results`], plain data
//! about every name and check through the whole book. Knows nothing of HTML or files.

mod bare;
mod basis;
mod bindings;
mod block;
pub mod catalogue;
mod choice;
mod display_unit;
mod dual;
mod evaluate;
pub mod expression;
mod figures;
mod judge;
mod latest;
mod limits;
mod margin;
mod money;
mod names;
mod results;
mod search;
mod spread_sources;
mod statement;
#[cfg(test)]
mod tests;
mod timeline;
mod weigh;

pub use basis::Basis;
pub use bindings::reads as names_read;
pub use choice::*;
pub use evaluate::{Known, Of, plain};
pub use expression::{Comparison, Expr, ExprKind, Input, Math, Operator};
pub use figures::{FITTED, Figure, FigureValue, Figures, SPENT};
pub use judge::verdict_of_figures;
pub use limits::{LimitChange, LimitLine, Limits, UnreadLine};
pub use margin::{Edge, Margin, Verdict};
pub use money::{OnMoney, is_cost, on_money};
pub use names::{NameId, Names};
pub use results::*;
pub use spread_sources::{SpreadSource, SpreadSourceKind, SpreadSources};
pub use statement::{Act, Rule, RuleKind, Signed};
pub use timeline::{CalcCache, Timeline, work_out, work_out_again};
