//! The book from the first block to the last: definitions, ripples, verdicts.
//!
//! In: the book and the figures of its parts. Out: [`Results`] and what is wrong. Each block sees
//! what was known up to its own end; what it changes is worked out again at once, its checks judged
//! again.

mod checks;
mod choices;
mod finish;
mod incremental;
mod limits;
mod said;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

pub use self::incremental::{CalcCache, work_out_again};

use self::choices::Asked;
use self::limits::LimitWork;
use super::bindings::Bindings;
use super::block::{LineSays, ParsedBlock, ReadLine, read_block};
use super::choice::ChoiceHistory;
use super::display_unit::Shown;
use super::expression::{Reader, heat};
use super::names::{Link, NameId, Names};
use super::results::{Check, Content, DayResults, Defined, LineResult, Outcome, Results, State};
use super::spread_sources::{SpreadSource, SpreadSourceKind, SpreadSources};
use super::statement::{Says, Statement};
use super::{Figure, FigureValue, Figures};
use crate::book::{Block, Book, Entry, Line};
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{Dimension, Literal, SourceId, Unit, Units, Value};
use crate::source::Span;

/// Works out a whole book.
pub fn work_out(book: &Book, figures: &Figures) -> (Results, Vec<Diagnostic>) {
    work_out_again(book, |_| figures, &mut CalcCache::default())
}

/// A book being worked out: [`start`](Timeline::start), then every day in order, then
/// [`finish`](Timeline::finish).
pub struct Timeline<'a> {
    book: &'a Book,
    units: &'a Units,
    shown: Shown<'a>,
    now: SoFar,
}

/// What was worked out so far. A copy shares everything with its original until one of them changes
/// it.
#[derive(Clone, Debug, Default)]
pub(super) struct SoFar {
    names: Names,
    origins: SpreadSources,
    cells: Bindings,
    checks: Vec<Arc<Check>>,
    /// Checks by name and kind.
    checks_by: BTreeMap<(NameId, super::statement::RuleKind), usize>,
    blocks: BTreeMap<(usize, usize), Arc<[LineResult]>>,
    days: Vec<Arc<DayResults>>,
    today: DayResults,
    step: u32,
    day: u32,
    /// Index of the block into the entries of the day's log.
    entry: usize,
    diagnostics: Vec<Diagnostic>,
    said: BTreeSet<(Span, Slug)>,
    formulas_used: BTreeSet<&'static str>,
    /// Where each name was set first.
    first_set: BTreeMap<NameId, Span>,
    /// Names that `choose` or `stack` asks for.
    asked: BTreeMap<NameId, Arc<Asked>>,
    choices: BTreeMap<NameId, Arc<ChoiceHistory>>,
    /// The masses of what is fitted.
    fitted: BTreeMap<String, NameId>,
}

impl<'a> Timeline<'a> {
    /// A book with nothing worked out yet.
    pub fn new(book: &'a Book, units: &'a Units) -> Self {
        Self::carry_on(book, units, SoFar::default())
    }

    /// A book of which some days are worked out already: they and what they depend on are as they
    /// were then.
    fn carry_on(book: &'a Book, units: &'a Units, now: SoFar) -> Self {
        Self {
            book,
            units,
            shown: Shown {
                units,
                system: book.sheet.units,
            },
            now,
        }
    }

    /// What is known before the first day: figures of parts, and the targets.
    pub fn start(&mut self, figures: &Figures) {
        self.parts(&figures.at_start);
        let targets = self.read(&self.book.sheet.targets, 0);
        self.only_checks_as_targets(&targets);
        self.work_block(targets, true);
        self.now.today = DayResults::default();
    }

    fn only_checks_as_targets(&mut self, targets: &ParsedBlock) {
        for other in targets
            .statements()
            .filter(|statement| !matches!(statement.says, Says::Check(_)))
        {
            let wrong = Diagnostic::error(Slug::BadStatement, other.at, "a target must be a check");
            self.say(wrong.expected("NAME at least, at most, between or within limits"));
        }
    }

    /// Works out the day with that index in the book; the days before it are worked out already.
    pub fn work_day(&mut self, index: usize, figures: &Figures) {
        let log = &self.book.days[index];
        (self.now.day, self.now.entry) = (log.day, 0);
        for (entry, what) in log.entries.iter().enumerate() {
            self.now.entry = entry;
            match what {
                Entry::Sums(block) => self.sums((index, entry), block),
                Entry::Parts(_) => self.parts(
                    figures
                        .changes
                        .get(&(index, entry))
                        .map_or(&[][..], Vec::as_slice),
                ),
                Entry::Mention(_) | Entry::Drawing(_) => {}
            }
        }
        self.close_day();
    }

    fn sums(&mut self, place: (usize, usize), block: &Block) {
        self.now.step += 1;
        let block = self.read(&block.lines, self.now.day);
        let lines = self.work_block(block, false);
        self.now.blocks.insert(place, lines.into());
    }

    /// Reads the lines of a block; `today` is 0 for the targets.
    fn read(&mut self, lines: &[Line], today: u32) -> ParsedBlock {
        let mut reader = Reader {
            names: &mut self.now.names,
            origins: &mut self.now.origins,
            formulas_used: &mut self.now.formulas_used,
            link: &Link {
                units: self.units,
                book: self.book,
                today,
            },
        };
        let (block, findings) = read_block(lines, &mut reader);
        for finding in findings {
            self.say(finding);
        }
        self.now.cells.grow(self.now.names.len());
        block
    }

    /// Says something once: the same thing at the same place is not said again when it is worked
    /// out again.
    fn say(&mut self, diagnostic: Diagnostic) {
        if self.now.said.insert((diagnostic.at, diagnostic.slug)) {
            self.now.diagnostics.push(diagnostic);
        }
    }

    /// Applies a block's statements, lets the changes run on, and takes down what each line came
    /// to.
    fn work_block(&mut self, block: ParsedBlock, target: bool) -> Vec<LineResult> {
        let mut roots: BTreeSet<NameId> = BTreeSet::new();
        let mut limits: Vec<LimitWork> = Vec::new();
        let mut first: BTreeMap<NameId, Span> = BTreeMap::new();
        for id in &block.broken {
            self.now.cells.get_mut(*id).story_mut().broken = true;
            self.now.cells.define(*id, None);
        }
        for line in &block.lines {
            let statement = match &line.says {
                LineSays::Statement(statement) => statement,
                LineSays::Unread(Some(about)) => {
                    limits.push(LimitWork::Unread(*about, line.at));
                    continue;
                }
                LineSays::Unread(None) | LineSays::Remark => continue,
            };
            match &statement.says {
                Says::Check(rule) => limits.push(LimitWork::Line(statement.name, rule.clone())),
                _ if target => {}
                _ => {
                    if !matches!(statement.says, Says::Stack { .. }) {
                        self.once_in_block(statement, &mut first);
                    }
                    self.define(statement, &mut roots);
                }
            }
        }
        self.refuse_rings(&block, &roots);
        roots.extend(block.broken.iter().copied());
        self.let_run(&roots, limits, target);
        self.take_down(block)
    }

    fn once_in_block(&mut self, statement: &Statement, first: &mut BTreeMap<NameId, Span>) {
        if let Some(earlier) = first.insert(statement.name, statement.at) {
            let name = self.now.names.text(statement.name).to_owned();
            self.say(
                Diagnostic::warning(
                    Slug::TwiceInBlock,
                    statement.name_at,
                    format!("`{name}` is set twice in this block; the last line counts"),
                )
                .see(earlier, "first set here"),
            );
        }
    }

    fn define(&mut self, statement: &Statement, roots: &mut BTreeSet<NameId>) {
        let id = statement.name;
        self.now.first_set.entry(id).or_insert(statement.name_at);
        if matches!(statement.says, Says::Choose { .. } | Says::Stack { .. }) {
            self.ask(statement);
        } else if let Some(story) = self.now.choices.get_mut(&id) {
            Arc::make_mut(story).settled = true;
        }
        let defined = self.defined(statement);
        self.keep_prediction(id, &defined, roots);
        let cell = self.now.cells.get_mut(id);
        cell.story_mut().broken = false;
        cell.story_mut().unread = None;
        cell.overtaken_by = None;
        cell.measured = (defined.state == State::Measured).then_some(self.now.step);
        self.now.cells.define(id, Some(Arc::new(defined)));
        roots.insert(id);
    }

    /// A formula that is measured lives on as a prediction; set again, the prediction goes.
    fn keep_prediction(&mut self, id: NameId, new: &Defined, roots: &mut BTreeSet<NameId>) {
        let old = self.now.cells.get(id).defined.clone();
        let formula = old.filter(|old| old.state == State::Worked);
        let kept = self.now.cells.get(id).story.prediction;
        match (new.state, formula) {
            (State::Measured, Some(formula)) => {
                let hidden = kept.unwrap_or_else(|| self.now.names.hidden(id, formula.at));
                self.now.cells.grow(self.now.names.len());
                self.now.cells.define(hidden, Some(formula));
                let prediction = self.now.cells.get_mut(hidden);
                prediction.predicts = Some(id);
                prediction.story_mut().hidden = true;
                self.now.cells.get_mut(id).story_mut().prediction = Some(hidden);
                roots.insert(hidden);
            }
            (State::Measured, None) => {}
            _ => {
                if let Some(hidden) = self.now.cells.get_mut(id).story_mut().prediction.take() {
                    self.now.cells.define(hidden, None);
                }
            }
        }
    }

    fn defined(&mut self, statement: &Statement) -> Defined {
        let (state, written, by, content) = match &statement.says {
            Says::Measured { value, by } => {
                let content = self.written_value(statement, value, value.unit.clone(), by.clone());
                (State::Measured, value.written.clone(), by.clone(), content)
            }
            Says::Given { value, shown_in } => {
                let unit = shown_in.clone().unwrap_or_else(|| value.unit.clone());
                (
                    State::Given,
                    value.written.clone(),
                    None,
                    self.written_value(statement, value, unit, None),
                )
            }
            Says::Formula {
                expr,
                shown_in,
                written,
            } => {
                let content = Content::Formula {
                    expr: expr.clone(),
                    shown_in: shown_in.clone(),
                };
                (State::Worked, written.clone(), None, content)
            }
            Says::Choose { written, .. } | Says::Stack { written, .. } => {
                (State::Chosen, written.clone(), None, Content::Unknown)
            }
            Says::Check(_) => (State::Given, String::new(), None, Content::Unknown),
        };
        let toleranced = match &statement.says {
            Says::Measured { value, .. } | Says::Given { value, .. } => value.toleranced,
            _ => true,
        };
        Defined {
            state,
            at: statement.at,
            written,
            by,
            remark: statement.remark.clone(),
            content,
            toleranced,
        }
    }

    fn written_value(
        &mut self,
        statement: &Statement,
        literal: &Literal,
        unit: Unit,
        by: Option<String>,
    ) -> Content {
        let kind = if matches!(statement.says, Says::Measured { .. }) {
            SpreadSourceKind::Reading
        } else {
            SpreadSourceKind::Given
        };
        let label = self.now.names.text(statement.name).to_owned();
        Content::Value(
            self.sourced(
                literal,
                SpreadSource {
                    label,
                    at: statement.at,
                    kind,
                    day: self.now.day,
                    by,
                },
            ),
            unit,
        )
    }

    /// A written value, its tolerance a source of its own.
    fn sourced(&mut self, literal: &Literal, origin: SpreadSource) -> Value {
        let dimension = literal.unit.dimension;
        let value = if literal.has_spread() {
            Value::from_source(
                literal.nominal,
                dimension,
                self.now.origins.add(origin),
                literal.plus,
                literal.minus,
            )
        } else {
            Value::exact(literal.nominal, dimension)
        };
        value.with_heat(heat(&literal.unit))
    }

    /// A source of its own for a given tolerance.
    fn given_source(&mut self, label: String, at: Span) -> SourceId {
        self.now.origins.add(SpreadSource {
            label,
            at,
            kind: SpreadSourceKind::Given,
            day: self.now.day,
            by: None,
        })
    }

    /// New figures of parts.
    fn parts(&mut self, figures: &[Figure]) {
        if figures.is_empty() {
            return;
        }
        self.now.step += u32::from(self.now.day > 0);
        let mut roots = BTreeSet::new();
        for figure in figures {
            let id = self.now.names.figure(&figure.name, figure.span);
            self.now.cells.grow(self.now.names.len());
            let content = self.figure_content(figure);
            let defined = Defined {
                state: if figure.is_total() {
                    State::Total
                } else {
                    State::Figure
                },
                at: figure.span,
                written: String::new(),
                by: None,
                remark: None,
                content,
                toleranced: true,
            };
            self.now.cells.define(id, Some(Arc::new(defined)));
            roots.insert(id);
        }
        self.let_run(&roots, Vec::new(), false);
    }

    fn figure_content(&mut self, figure: &Figure) -> Content {
        match &figure.value {
            FigureValue::Quantity(literal) => {
                let origin = SpreadSource {
                    label: figure.name.clone(),
                    at: figure.span,
                    kind: SpreadSourceKind::Figure,
                    day: self.now.day,
                    by: None,
                };
                Content::Value(self.sourced(literal, origin), literal.unit.clone())
            }
            FigureValue::Money(amount) => {
                let unit = self
                    .units
                    .named(self.units.currency())
                    .unwrap_or_else(|_| Unit::si(Dimension::MONEY));
                let amount: f64 = amount.to_string().parse().unwrap_or(0.0);
                Content::Value(Value::exact(amount, Dimension::MONEY), unit)
            }
            FigureValue::Fitted { on, off } => self.fitted_mass(on, off, figure.span),
            FigureValue::Unknown(_) => Content::Unknown,
        }
    }

    /// The mass of what is fitted, with some parts more and some no longer.
    fn fitted_mass(&mut self, on: &[String], off: &[String], at: Span) -> Content {
        for mass in on {
            self.now
                .fitted
                .insert(mass.clone(), self.now.names.figure(mass, at));
        }
        for mass in off {
            self.now.fitted.remove(mass);
        }
        self.now.cells.grow(self.now.names.len());
        let value = self.now.cells.mass(self.now.fitted.values());
        let unit = self.shown.usual(&value);
        Content::Value(value, unit)
    }

    /// Lets changes run on, settles limits, and judges what they touch.
    fn let_run(&mut self, roots: &BTreeSet<NameId>, limits: Vec<LimitWork>, target: bool) {
        // New definitions are in place, but nothing is worked out from them yet: this is what was
        // known before.
        let before: Vec<(NameId, Option<f64>)> =
            roots.iter().map(|id| (*id, self.nominal(*id))).collect();
        let ripple = self
            .now
            .cells
            .ripple(roots, (self.now.step, self.now.day), &self.shown);
        for finding in ripple.findings {
            self.say(finding);
        }
        let mut touched = self.settle_limits(limits, target);
        let mut changed = ripple.changed;
        let hit: BTreeSet<NameId> = changed.union(roots).copied().collect();
        let chosen = self.solve_choices(&hit, &touched);
        if !chosen.is_empty() {
            let again = self
                .now
                .cells
                .ripple(&chosen, (self.now.step, self.now.day), &self.shown);
            for finding in again.findings {
                self.say(finding);
            }
            changed.extend(again.changed);
        }
        let mut moved: BTreeSet<NameId> = before
            .iter()
            .filter(|(id, was)| *was != self.nominal(*id))
            .map(|(id, _)| *id)
            .collect();
        moved.extend(chosen);
        let overtaken = self.now.cells.overtake(&moved, self.now.step);
        for id in changed.iter().chain(&overtaken) {
            touched.extend(self.now.cells.get(*id).story.checks.iter().copied());
        }
        self.now.today.moved.extend(changed.iter().copied());
        // A reading set to the same figure turns no verdict, but it may be measured now, or no
        // longer.
        for id in roots {
            touched.extend(self.now.cells.get(*id).story.checks.iter().copied());
        }
        for check in touched {
            self.judge(check);
            self.note_hold(check);
        }
    }

    fn nominal(&self, id: NameId) -> Option<f64> {
        match &self.now.cells.get(id).known {
            super::evaluate::Known::Value(value) => Some(value.nominal),
            _ => None,
        }
    }

    fn take_down(&self, block: ParsedBlock) -> Vec<LineResult> {
        let take = |line: ReadLine| {
            let outcome = match line.says {
                LineSays::Remark => Outcome::Remark,
                LineSays::Unread(_) => Outcome::Unread,
                LineSays::Statement(statement) => self.outcome(*statement),
            };
            LineResult {
                at: line.at,
                remark: line.remark,
                outcome,
            }
        };
        block.lines.into_iter().map(take).collect()
    }

    fn outcome(&self, statement: Statement) -> Outcome {
        let name = statement.name;
        if let Says::Check(rule) = statement.says {
            let Some(check) = self.now.checks_by.get(&(name, rule.kind)).copied() else {
                return Outcome::Unread;
            };
            let judgement = self.now.checks[check].judgements.len().saturating_sub(1);
            return Outcome::Check {
                check,
                rule,
                judgement,
            };
        }
        match self.now.cells.get(name).story.moments.len().checked_sub(1) {
            Some(moment) if !self.now.cells.get(name).story.broken => {
                Outcome::Value { name, moment }
            }
            _ => Outcome::Unread,
        }
    }

    /// Breaks every ring of names at the last line of this block that closes it.
    fn refuse_rings(&mut self, block: &ParsedBlock, roots: &BTreeSet<NameId>) {
        let definitions = block
            .statements()
            .filter(|statement| !matches!(statement.says, Says::Check(_)));
        let last_line: BTreeMap<NameId, &Statement> = definitions
            .map(|statement| (statement.name, statement))
            .collect();
        loop {
            let rings = self.now.cells.rings(roots);
            let mut refused = false;
            for ring in rings {
                if ring
                    .iter()
                    .any(|id| self.now.cells.get(*id).defined.is_none())
                {
                    continue;
                }
                let lines = ring.iter().filter_map(|id| last_line.get(id).copied());
                let Some(statement) = lines.max_by_key(|statement| statement.at) else {
                    continue;
                };
                self.say_ring(statement, &ring);
                self.now.cells.define(statement.name, None);
                self.now.cells.get_mut(statement.name).story_mut().broken = true;
                refused = true;
            }
            if !refused {
                return;
            }
        }
    }

    fn say_ring(&mut self, statement: &Statement, ring: &[NameId]) {
        let name = self.now.names.text(statement.name);
        let start = ring
            .iter()
            .position(|id| *id == statement.name)
            .unwrap_or(0);
        let needs = |offset: usize| self.now.names.text(ring[(start + offset) % ring.len()]);
        let way: Vec<String> = (0..ring.len())
            .map(|step| format!("{} needs {}", needs(step), needs(step + 1)))
            .collect();
        let mut diagnostic = Diagnostic::error(
            Slug::Loop,
            statement.at,
            format!("`{name}` depends on itself: {}", way.join(", ")),
        )
        .expected("a sum without its own name");
        if ring.len() == 1 && self.now.day > 1 {
            diagnostic = diagnostic.instead(format!(
                "day{}.{name}, which is what it was on that day",
                self.now.day - 1
            ));
        }
        self.say(diagnostic);
    }

    fn close_day(&mut self) {
        self.close_holds();
        let mut today = std::mem::take(&mut self.now.today);
        today.moved.sort_unstable();
        today.moved.dedup();
        today.judged.sort_unstable();
        today.judged.dedup();
        self.now.days.push(Arc::new(today));
    }
}
