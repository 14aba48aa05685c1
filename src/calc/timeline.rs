//! The book from the first block to the last: definitions, ripples, verdicts.
//!
//! In: the book and the figures of its parts. Out: [`Worked`] and what is wrong. Each block sees what
//! was known up to its own end; what it changes is worked out again at once, its checks judged again.

mod checks;
mod choices;
mod finish;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use self::choices::Asked;
use super::cells::Cells;
use super::choice::ChoiceStory;
use super::expression::heat;
use super::names::{NameId, Names};
use super::origins::{Origin, OriginKind, Origins};
use super::reading::{LineSays, ReadBlock, ReadLine, ReadSums, read_sums};
use super::shown::Shown;
use super::statement::{Says, Statement};
use super::worked::{Check, Content, DayOfSums, Defined, Outcome, State, Worked, WorkedLine};
use crate::book::{Book, Entry};
use crate::quantity::{Dimension, Literal, SourceId, Unit, Units, Value};
use crate::shop::figures::{Figure, FigureValue, Figures};
use crate::text::{Diagnostic, Slug, Span};

/// Works out a whole book.
pub fn work_out(book: &Book, figures: &Figures) -> (Worked, Vec<Diagnostic>) {
    let units = Units::new(&book.sheet.money);
    let mut timeline = Timeline::new(book, &units, read_sums(book, &units));
    timeline.start(figures);
    for index in 0..book.days.len() {
        timeline.work_day(index, figures);
    }
    timeline.finish()
}

/// A book being worked out: [`start`](Timeline::start), then every day in order, then [`finish`](Timeline::finish).
pub struct Timeline<'a> {
    book: &'a Book,
    units: &'a Units,
    shown: Shown<'a>,
    names: Names,
    origins: Origins,
    cells: Cells,
    checks: Vec<Check>,
    /// Checks by name and kind.
    checks_by: BTreeMap<(NameId, super::statement::RuleKind), usize>,
    blocks: BTreeMap<(usize, usize), Vec<WorkedLine>>,
    days: Vec<DayOfSums>,
    today: DayOfSums,
    step: u32,
    day: u32,
    diagnostics: Vec<Diagnostic>,
    said: BTreeSet<(Span, Slug)>,
    shared: BTreeMap<&'a str, &'static str>,
    formulas_used: BTreeSet<&'static str>,
    /// What is read and not worked out yet.
    targets: ReadBlock,
    read: BTreeMap<(usize, usize), ReadBlock>,
    /// Names that `choose` or `stack` asks for.
    asked: BTreeMap<NameId, Asked>,
    choices: BTreeMap<NameId, ChoiceStory>,
    /// The masses of what is fitted.
    fitted: BTreeMap<String, NameId>,
}

impl<'a> Timeline<'a> {
    /// A book with its sums read and nothing worked out yet.
    pub fn new(book: &'a Book, units: &'a Units, sums: ReadSums) -> Self {
        let mut timeline = Self {
            book,
            units,
            shown: Shown { units, system: book.sheet.units },
            names: sums.names,
            origins: sums.origins,
            cells: Cells::default(),
            checks: Vec::new(),
            checks_by: BTreeMap::new(),
            blocks: BTreeMap::new(),
            days: Vec::new(),
            today: DayOfSums::default(),
            step: 0,
            day: 0,
            diagnostics: Vec::new(),
            said: BTreeSet::new(),
            shared: other_ids(book),
            formulas_used: sums.formulas_used,
            targets: sums.targets,
            read: sums.blocks,
            asked: BTreeMap::new(),
            choices: BTreeMap::new(),
            fitted: BTreeMap::new(),
        };
        timeline.cells.grow(timeline.names.len());
        for finding in sums.diagnostics {
            timeline.say(finding);
        }
        timeline
    }

    /// What is known before the first day: figures of parts, and the targets.
    pub fn start(&mut self, figures: &Figures) {
        self.parts(&figures.at_start);
        let targets = std::mem::take(&mut self.targets);
        self.work_block(targets, true);
        self.today = DayOfSums::default();
    }

    /// Works out the day with that index in the book; the days before it are worked out already.
    pub fn work_day(&mut self, index: usize, figures: &Figures) {
        let log = &self.book.days[index];
        self.day = log.day;
        for (entry, what) in log.entries.iter().enumerate() {
            match what {
                Entry::Sums(_) => self.sums((index, entry)),
                Entry::Parts(_) => self.parts(figures.changes.get(&(index, entry)).map_or(&[][..], Vec::as_slice)),
                Entry::Mention(_) | Entry::Drawing(_) => {}
            }
        }
        self.close_day();
    }

    fn sums(&mut self, place: (usize, usize)) {
        self.step += 1;
        if let Some(block) = self.read.remove(&place) {
            let lines = self.work_block(block, false);
            self.blocks.insert(place, lines);
        }
    }

    /// Says something once: the same thing at the same place is not said again when it is worked out again.
    fn say(&mut self, diagnostic: Diagnostic) {
        if self.said.insert((diagnostic.at, diagnostic.slug)) {
            self.diagnostics.push(diagnostic);
        }
    }

    /// Applies a block's statements, lets the changes run on, and takes down what each line came to.
    fn work_block(&mut self, block: ReadBlock, target: bool) -> Vec<WorkedLine> {
        let mut roots: BTreeSet<NameId> = BTreeSet::new();
        let mut touched: BTreeSet<usize> = BTreeSet::new();
        let mut first: BTreeMap<NameId, Span> = BTreeMap::new();
        for id in &block.broken {
            self.cells.get_mut(*id).broken = true;
            self.cells.define(*id, None);
        }
        for statement in block.statements() {
            match &statement.says {
                Says::Check(rule) => {
                    touched.insert(self.set_rule(statement.name, rule, target));
                }
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
        self.let_run(&roots, touched);
        self.take_down(block)
    }

    fn once_in_block(&mut self, statement: &Statement, first: &mut BTreeMap<NameId, Span>) {
        if let Some(earlier) = first.insert(statement.name, statement.at) {
            let name = self.names.text(statement.name).to_owned();
            self.say(
                Diagnostic::warning(
                    Slug::TwiceInBlock,
                    statement.name_at,
                    format!("{name} is set twice in this block; the last line stands"),
                )
                .see(earlier, "set here first"),
            );
        }
    }

    fn define(&mut self, statement: &Statement, roots: &mut BTreeSet<NameId>) {
        let id = statement.name;
        self.shared_id(statement);
        if matches!(statement.says, Says::Choose { .. } | Says::Stack { .. }) {
            self.ask(statement);
        } else if let Some(story) = self.choices.get_mut(&id) {
            story.settled = true;
        }
        let defined = self.defined(statement);
        self.keep_prediction(id, &defined, roots);
        let cell = self.cells.get_mut(id);
        cell.broken = false;
        cell.overtaken_by = None;
        cell.measured = (defined.state == State::Measured).then_some(self.step);
        self.cells.define(id, Some(Arc::new(defined)));
        roots.insert(id);
    }

    /// A formula that is measured lives on as a prediction; set again, the prediction goes.
    fn keep_prediction(&mut self, id: NameId, new: &Defined, roots: &mut BTreeSet<NameId>) {
        let old = self.cells.get(id).defined.clone();
        let formula = old.filter(|old| old.state == State::Worked);
        let kept = self.cells.get(id).prediction;
        match (new.state, formula) {
            (State::Measured, Some(formula)) => {
                let hidden = kept.unwrap_or_else(|| self.names.hidden(id, formula.at));
                self.cells.grow(self.names.len());
                self.cells.define(hidden, Some(formula));
                self.cells.get_mut(hidden).predicts = Some(id);
                self.cells.get_mut(id).prediction = Some(hidden);
                roots.insert(hidden);
            }
            (State::Measured, None) => {}
            _ => {
                if let Some(hidden) = self.cells.get_mut(id).prediction.take() {
                    self.cells.define(hidden, None);
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
                (State::Given, value.written.clone(), None, self.written_value(statement, value, unit, None))
            }
            Says::Formula { expr, shown_in, written } => {
                let content = Content::Formula { expr: expr.clone(), shown_in: shown_in.clone() };
                (State::Worked, written.clone(), None, content)
            }
            Says::Choose { written, .. } | Says::Stack { written, .. } => {
                (State::Chosen, written.clone(), None, Content::Unknown)
            }
            Says::Check(_) => (State::Given, String::new(), None, Content::Unknown),
        };
        Defined { state, at: statement.at, written, by, remark: statement.remark.clone(), content }
    }

    fn written_value(&mut self, statement: &Statement, literal: &Literal, unit: Unit, by: Option<String>) -> Content {
        let kind =
            if matches!(statement.says, Says::Measured { .. }) { OriginKind::Reading } else { OriginKind::Given };
        let label = self.names.text(statement.name).to_owned();
        Content::Value(self.sourced(literal, Origin { label, at: statement.at, kind, day: self.day, by }), unit)
    }

    /// A written value, its tolerance a source of its own.
    fn sourced(&mut self, literal: &Literal, origin: Origin) -> Value {
        let dimension = literal.unit.dimension;
        let value = if literal.has_spread() {
            Value::from_source(literal.nominal, dimension, self.origins.add(origin), literal.plus, literal.minus)
        } else {
            Value::exact(literal.nominal, dimension)
        };
        value.with_heat(heat(&literal.unit))
    }

    /// A source of its own for a given tolerance.
    fn given_source(&mut self, label: String, at: Span) -> SourceId {
        self.origins.add(Origin { label, at, kind: OriginKind::Given, day: self.day, by: None })
    }

    /// New figures of parts.
    fn parts(&mut self, figures: &[Figure]) {
        if figures.is_empty() {
            return;
        }
        self.step += u32::from(self.day > 0);
        let mut roots = BTreeSet::new();
        for figure in figures {
            let id = self.names.id(&figure.name, figure.span);
            self.cells.grow(self.names.len());
            let content = self.figure_content(figure);
            let defined = Defined {
                state: State::Figure,
                at: figure.span,
                written: String::new(),
                by: None,
                remark: None,
                content,
            };
            self.cells.define(id, Some(Arc::new(defined)));
            roots.insert(id);
        }
        self.let_run(&roots, BTreeSet::new());
    }

    fn figure_content(&mut self, figure: &Figure) -> Content {
        match &figure.value {
            FigureValue::Quantity(literal) => {
                let origin = Origin {
                    label: figure.name.clone(),
                    at: figure.span,
                    kind: OriginKind::Figure,
                    day: self.day,
                    by: None,
                };
                Content::Value(self.sourced(literal, origin), literal.unit.clone())
            }
            FigureValue::Money(amount) => {
                let unit = self.units.named(self.units.currency()).unwrap_or_else(|_| Unit::si(Dimension::MONEY));
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
            self.fitted.insert(mass.clone(), self.names.id(mass, at));
        }
        for mass in off {
            self.fitted.remove(mass);
        }
        self.cells.grow(self.names.len());
        let value = self.cells.mass(self.fitted.values());
        let unit = self.shown.usual(&value);
        Content::Value(value, unit)
    }

    /// Lets changes run on, and judges what they touch.
    fn let_run(&mut self, roots: &BTreeSet<NameId>, mut touched: BTreeSet<usize>) {
        // New definitions are in place, but nothing is worked out from them yet: this is what was known before.
        let before: Vec<(NameId, Option<f64>)> = roots.iter().map(|id| (*id, self.nominal(*id))).collect();
        let ripple = self.cells.ripple(roots, (self.step, self.day), &self.shown);
        for finding in ripple.findings {
            self.say(finding);
        }
        let mut changed = ripple.changed;
        let hit: BTreeSet<NameId> = changed.union(roots).copied().collect();
        let chosen = self.solve_choices(&hit, &touched);
        if !chosen.is_empty() {
            let again = self.cells.ripple(&chosen, (self.step, self.day), &self.shown);
            for finding in again.findings {
                self.say(finding);
            }
            changed.extend(again.changed);
        }
        let mut moved: BTreeSet<NameId> =
            before.iter().filter(|(id, was)| *was != self.nominal(*id)).map(|(id, _)| *id).collect();
        moved.extend(chosen);
        let overtaken = self.cells.overtake(&moved, self.step);
        for id in changed.iter().chain(&overtaken) {
            touched.extend(self.cells.get(*id).checks.iter().copied());
        }
        self.today.moved.extend(changed.iter().copied());
        for check in touched {
            self.judge(check);
        }
    }

    fn nominal(&self, id: NameId) -> Option<f64> {
        match &self.cells.get(id).known {
            super::evaluate::Known::Value(value) => Some(value.nominal),
            _ => None,
        }
    }

    fn take_down(&self, block: ReadBlock) -> Vec<WorkedLine> {
        let take = |line: ReadLine| {
            let outcome = match line.says {
                LineSays::Remark => Outcome::Remark,
                LineSays::Unread => Outcome::Unread,
                LineSays::Statement(statement) => self.outcome(*statement),
            };
            WorkedLine { at: line.at, remark: line.remark, outcome }
        };
        block.lines.into_iter().map(take).collect()
    }

    fn outcome(&self, statement: Statement) -> Outcome {
        let name = statement.name;
        if let Says::Check(rule) = statement.says {
            let Some(check) = self.checks_by.get(&(name, rule.kind)).copied() else { return Outcome::Unread };
            let judgement = self.checks[check].judgements.len().saturating_sub(1);
            return Outcome::Check { check, rule, judgement };
        }
        match self.cells.get(name).moments.len().checked_sub(1) {
            Some(moment) if !self.cells.get(name).broken => Outcome::Value { name, moment },
            _ => Outcome::Unread,
        }
    }

    /// Breaks every ring of names at the last line of this block that closes it.
    fn refuse_rings(&mut self, block: &ReadBlock, roots: &BTreeSet<NameId>) {
        let definitions = block.statements().filter(|statement| !matches!(statement.says, Says::Check(_)));
        let last_line: BTreeMap<NameId, &Statement> =
            definitions.map(|statement| (statement.name, statement)).collect();
        loop {
            let rings = self.cells.rings(roots);
            let mut refused = false;
            for ring in rings {
                if ring.iter().any(|id| self.cells.get(*id).defined.is_none()) {
                    continue;
                }
                let lines = ring.iter().filter_map(|id| last_line.get(id).copied());
                let Some(statement) = lines.max_by_key(|statement| statement.at) else { continue };
                self.say_ring(statement, &ring);
                self.cells.define(statement.name, None);
                self.cells.get_mut(statement.name).broken = true;
                refused = true;
            }
            if !refused {
                return;
            }
        }
    }

    fn say_ring(&mut self, statement: &Statement, ring: &[NameId]) {
        let name = self.names.text(statement.name);
        let start = ring.iter().position(|id| *id == statement.name).unwrap_or(0);
        let needs = |offset: usize| self.names.text(ring[(start + offset) % ring.len()]);
        let way: Vec<String> =
            (0..ring.len()).map(|step| format!("{} needs {}", needs(step), needs(step + 1))).collect();
        let mut diagnostic =
            Diagnostic::error(Slug::Loop, statement.at, format!("{name} depends on itself: {}", way.join(", ")))
                .expected("a sum that does not come back to its own name");
        if ring.len() == 1 && self.day > 1 {
            diagnostic = diagnostic.instead(format!("day{}.{name}, which is what it was on that day", self.day - 1));
        }
        self.say(diagnostic);
    }

    fn shared_id(&mut self, statement: &Statement) {
        let name = self.names.text(statement.name);
        if let Some(kind) = self.shared.get(name) {
            let message = format!("{name} is also the id of a {kind}");
            let finding = Diagnostic::warning(Slug::SharedId, statement.name_at, message)
                .expected("names of their own for values, jobs and parts");
            if self.cells.get(statement.name).moments.is_empty() {
                self.say(finding);
            }
        }
    }

    fn close_day(&mut self) {
        self.close_holds();
        let mut today = std::mem::take(&mut self.today);
        today.moved.sort_unstable();
        today.moved.dedup();
        today.judged.sort_unstable();
        today.judged.dedup();
        self.days.push(today);
    }
}

/// Ids that jobs and parts of the book have.
fn other_ids(book: &Book) -> BTreeMap<&str, &'static str> {
    let logged = book.days.iter().flat_map(|log| &log.entries).filter_map(|entry| match entry {
        Entry::Mention(mention) => Some(mention.id.value.as_str()),
        _ => None,
    });
    let planned = book.plan.iter().map(|planned| planned.mention.id.value.as_str());
    let jobs = logged.chain(planned).map(|id| (id, "job"));
    jobs.chain(book.parts.keys().map(|id| (id.as_str(), "part"))).collect()
}
