//! The worked book: every name with its history, every check with its verdicts.
//!
//! In: filled by the timeline. Out: plain data for the hold list, the record and the commands.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::choice::ChoiceHistory;
use super::evaluate::Known;
use super::expression::Expr;
use super::latest::latest;
use super::limits::{LimitLine, Limits, UnreadLine};
use super::margin::{Margin, Verdict};
use super::names::{NameId, Names};
use super::spread_sources::SpreadSources;
use super::statement::{Rule, RuleKind};
use crate::book::{Judge, When};
use crate::quantity::{Unit, Value, data};
use crate::source::Span;

/// Everything worked out.
#[derive(Clone, Debug)]
pub struct Results {
    /// The book's names.
    pub names: Names,
    /// What each name was, by [`NameId`].
    pub values: Vec<Arc<NameHistory>>,
    /// Does a formula or a check read it now? By [`NameId`].
    pub used: Vec<bool>,
    /// The checks, in the order they were first written.
    pub checks: Vec<Arc<Check>>,
    /// What `choose` and `stack` came to, by name.
    pub choices: BTreeMap<NameId, Arc<ChoiceHistory>>,
    /// Where spread comes from.
    pub origins: SpreadSources,
    /// The lines of each sums block, by index into the book's days and into that day's entries.
    pub blocks: BTreeMap<(usize, usize), Arc<[LineResult]>>,
    /// What each day moved, by index into the book's days.
    pub days: Vec<Arc<DayResults>>,
    /// The formulas of the catalogue that the book calls, by name.
    pub formulas_used: BTreeSet<&'static str>,
    /// How many formulas were worked out, for judging growth without a clock.
    pub evaluations: usize,
}

/// One name from first to last.
#[derive(Clone, Debug, Default)]
pub struct NameHistory {
    /// What it was, from when on.
    pub moments: Vec<Version>,
    /// The name under which its formula lives on after it was measured.
    pub prediction: Option<NameId>,
    /// Is it the hidden name of a prediction?
    pub hidden: bool,
    /// Was a line that defines it in error?
    pub broken: bool,
    /// A line about it, later than the one that defines it, could not be read.
    pub unread: Option<UnreadLine>,
    /// Checks that read it.
    pub checks: BTreeSet<usize>,
}

/// What a name was from one block on.
#[derive(Clone, Debug)]
pub struct Version {
    /// The block, counted through the book; 0 is before the first day.
    pub step: u32,
    /// The day; 0 is before the first.
    pub day: u32,
    /// What was known.
    pub known: Known,
    /// The unit it is shown in.
    pub unit: Unit,
    /// The line that says so.
    pub defined: Arc<Defined>,
}

impl Version {
    /// Does a later moment say nothing new?
    pub(super) fn says_the_same(&self, later: &Self) -> bool {
        Arc::ptr_eq(&self.defined, &later.defined)
            && self.known == later.known
            && self.unit == later.unit
    }

    /// Is it a reading without a tolerance?
    pub fn is_bare(&self) -> bool {
        self.defined.is_bare()
    }

    /// The value, where there is one.
    pub fn value(&self) -> Option<&Value> {
        match &self.known {
            Known::Value(value) => Some(value),
            _ => None,
        }
    }
}

/// A line that defines a name.
#[derive(Clone, Debug)]
pub struct Defined {
    /// What kind of line.
    pub state: State,
    /// Where.
    pub at: Span,
    /// What stands behind `measured` or `=`.
    pub written: String,
    /// Who read it.
    pub by: Option<String>,
    /// The remark of the line.
    pub remark: Option<String>,
    /// What it gives.
    pub content: Content,
    /// Is its tolerance written, `± 0` included?
    pub toleranced: bool,
}

impl Defined {
    /// Is it a reading without a tolerance?
    pub fn is_bare(&self) -> bool {
        self.state == State::Measured && !self.toleranced
    }
}

/// What a definition gives.
#[derive(Clone, Debug)]
pub enum Content {
    /// A value and the unit it was written in.
    Value(Value, Unit),
    /// A figure that is not known.
    Unknown,
    /// A formula.
    Formula {
        /// It.
        expr: Expr,
        /// `as UNIT`
        shown_in: Option<(Unit, Span)>,
    },
}

/// How a value came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Read off the vehicle.
    Measured,
    /// Worked out.
    Worked,
    /// Given.
    Given,
    /// Chosen from a window, or stacked from stock.
    Chosen,
    /// A part's figure, kept by the ledger.
    Figure,
    /// A total of the ledger: what is fitted, what is spent.
    Total,
}

impl State {
    /// The word scripts may rely on.
    pub fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Worked => "worked",
            Self::Chosen => "chosen",
            Self::Given | Self::Figure | Self::Total => "given",
        }
    }
}

/// A check and its verdicts.
#[derive(Clone, Debug)]
pub struct Check {
    /// The name it is on.
    pub name: NameId,
    /// Which kind.
    pub kind: RuleKind,
    /// The line whose limit counts.
    pub rule: Rule,
    /// Later lines of a hold check that would ease it and that nobody signed; they count where they
    /// are stricter.
    pub unsigned: Vec<Rule>,
    /// For a hold check: the strictest that its limits came to since it was eased last.
    pub strictest: Limits,
    /// Is it a hold check? Only names take it off.
    pub hold: bool,
    /// Was it withdrawn?
    pub withdrawn: bool,
    /// The lines about its limit, each from a block on.
    pub limits: Vec<LimitLine>,
    /// A line about it, later than the one that counts, could not be read.
    pub unread: Option<UnreadLine>,
    /// Is it a target of the build sheet?
    pub target: bool,
    /// The day it was first written; 0 for targets.
    pub since_day: u32,
    /// Its verdicts, each from a block on.
    pub judgements: Vec<Judgement>,
    /// For a hold check: what keeps it on the hold list, each from the end of a block on.
    pub holds: Vec<(When, Hold)>,
}

impl Check {
    /// The judgement at the end of a day.
    pub fn on_day(&self, day: u32) -> Option<&Judgement> {
        latest(&self.judgements, |judgement| judgement.day <= day)
    }

    /// The judgement at the end of a block.
    pub fn at_step(&self, step: u32) -> Option<&Judgement> {
        latest(&self.judgements, |judgement| judgement.step <= step)
    }

    /// The spread it is judged with, in a book that judges with `judge`: a hold check always with
    /// the worst case.
    pub fn judged_by(&self, judge: Judge) -> Judge {
        if self.hold { Judge::WorstCase } else { judge }
    }

    /// The latest judgement.
    pub fn latest(&self) -> Option<&Judgement> {
        self.judgements.last()
    }

    /// The limit that counts, as written or as it came to.
    pub fn limit(&self) -> &str {
        self.latest()
            .map_or(&self.rule.written, |judgement| &judgement.rule)
    }

    /// What keeps it on the hold list at the end of a day.
    pub fn hold_on_day(&self, day: u32) -> Option<Hold> {
        latest(&self.holds, |(from, _)| from.day <= day).map(|(_, hold)| *hold)
    }
}

/// One verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// The block.
    pub step: u32,
    /// The day.
    pub day: u32,
    /// The rule as it stood then: `at least 25 mm`.
    pub rule: Arc<str>,
    /// The verdict.
    pub verdict: Verdict,
    /// The margin that the verdict comes from; `None` if there is no reading.
    pub margin: Option<Margin>,
    /// The value that was judged.
    pub value: Option<Value>,
    /// The lower limit in SI.
    pub lower: Option<f64>,
    /// The upper limit in SI.
    pub upper: Option<f64>,
    /// The unit the value is shown in.
    pub unit: Unit,
    /// For *no reading*: the name that is wanting.
    pub wanting: Option<NameId>,
}

impl Judgement {
    /// The signed margin in the unit of the judgement, as other programs read it.
    pub fn margin_figure(&self) -> Option<f64> {
        Some(data::difference(self.unit.step(self.margin?.signed)))
    }

    /// The margin in words, in the unit of the check; empty if there is no reading.
    pub fn margin_words(&self) -> String {
        self.margin
            .map_or_else(String::new, |margin| margin.words(&self.unit))
    }

    /// Does a later judgement say nothing new?
    pub(super) fn says_the_same(&self, later: &Self) -> bool {
        (
            self.verdict,
            self.margin,
            self.lower,
            self.upper,
            self.wanting,
        ) == (
            later.verdict,
            later.margin,
            later.lower,
            later.upper,
            later.wanting,
        ) && self.rule == later.rule
            && self.value == later.value
            && self.unit == later.unit
    }
}

/// What keeps a hold check on the hold list.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hold {
    /// Nothing: it was measured, in limits, after the last change.
    Clear,
    /// It is not in limits.
    Verdict(Verdict),
    /// In limits, but only worked out.
    OnPaper,
    /// In limits, but read without a tolerance.
    Bare,
    /// In limits, but a later line about it, of this day, could not be read.
    Unread(UnreadLine),
    /// Nothing: the check was withdrawn, or two people took the hold off.
    Ended,
    /// Measured before this name changed.
    Overtaken(NameId),
}

impl Hold {
    /// Does it keep the check on the list?
    pub fn is_on(self) -> bool {
        !matches!(self, Self::Clear | Self::Ended)
    }
}

/// A line of a sums block, worked.
#[derive(Clone, Debug)]
pub struct LineResult {
    /// The whole line, remark included.
    pub at: Span,
    /// The remark.
    pub remark: Option<String>,
    /// What came of it.
    pub outcome: Outcome,
}

/// What came of a line.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// A name's moment: index into its story at the end of the block.
    Value {
        /// The name.
        name: NameId,
        /// Which of its moments.
        moment: usize,
    },
    /// A check's judgement at the end of the block.
    Check {
        /// Index into the checks.
        check: usize,
        /// The rule as written in this line.
        rule: Box<Rule>,
        /// Which of its judgements.
        judgement: usize,
    },
    /// A remark by itself.
    Remark,
    /// In error: the line shows as written, its message stands among the diagnostics.
    Unread,
}

/// What one day changed.
#[derive(Clone, Debug, Default)]
pub struct DayResults {
    /// Names with a new moment on this day, figures of parts included.
    pub moved: Vec<NameId>,
    /// Checks with a new judgement on this day.
    pub judged: Vec<usize>,
}

impl Results {
    /// What a name was at the end of a day.
    pub fn on_day(&self, name: NameId, day: u32) -> Option<&Version> {
        latest(&self.values[name.index()].moments, |moment| {
            moment.day <= day
        })
    }

    /// What a name was at the end of a block.
    pub fn at_step(&self, name: NameId, step: u32) -> Option<&Version> {
        latest(&self.values[name.index()].moments, |moment| {
            moment.step <= step
        })
    }

    /// The checks on a name itself.
    pub fn checks_on(&self, name: NameId) -> impl Iterator<Item = &Check> {
        let read_by = self.values[name.index()].checks.iter();
        read_by
            .filter_map(|check| Some(&**self.checks.get(*check)?))
            .filter(move |check| check.name == name)
    }

    /// Which spread a name is shown with, where the book judges with `judge`: one with a hold check
    /// with its worst case.
    pub fn shown_by(&self, name: NameId, judge: Judge) -> Judge {
        self.checks_on(name)
            .map(|check| check.judged_by(judge))
            .find(|by| *by != judge)
            .unwrap_or(judge)
    }

    /// The unit that the limits of a name are written in, as they were at the end of a day.
    pub fn unit_of_limits(&self, name: NameId, day: u32) -> Option<&Unit> {
        self.checks_on(name)
            .find_map(|check| check.on_day(day))
            .map(|judgement| &judgement.unit)
    }

    /// What a name is now.
    pub fn latest(&self, name: NameId) -> Option<&Version> {
        self.values[name.index()].moments.last()
    }

    /// The text of a name.
    pub fn text(&self, name: NameId) -> &str {
        self.names.text(name)
    }
}
