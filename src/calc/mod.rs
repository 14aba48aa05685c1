//! Sums: statements, expressions, the catalogue of formulas, the timeline of values, verdicts.
//!
//! In: a [`Book`](crate::book::Book) and the figures of its parts. Out: [`Worked`], plain data
//! about every name and check through the whole book. Knows nothing of HTML or files.

mod bare;
mod basis;
pub mod catalogue;
mod cells;
mod choice;
mod dual;
mod evaluate;
pub mod expression;
mod judge;
mod limits;
mod margin;
mod money;
mod names;
mod origins;
mod reading;
mod search;
mod shown;
mod statement;
#[cfg(test)]
mod tests;
mod timeline;
mod weigh;
mod worked;

pub use basis::Basis;
pub use cells::reads as names_read;
pub use choice::*;
pub use evaluate::{Known, Of, plain};
pub use expression::{Comparison, Expr, ExprKind, Input, Math, Operator};
pub use judge::verdict_of_figures;
pub use limits::{LimitChange, LimitLine, Limits, UnreadLine};
pub use margin::{Edge, Margin, Verdict};
pub use money::{OnMoney, is_cost, on_money};
pub use names::{NameId, Names};
pub use origins::{Origin, OriginKind, Origins};
pub use statement::{Act, Rule, RuleKind, Signed};
pub use timeline::{Kept, Timeline, work_out, work_out_again};
pub use worked::*;
