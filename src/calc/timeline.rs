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
use super::expression::{Reader, heat};
use super::names::{Link, NameId, Names};
use super::origins::{Origin, OriginKind, Origins};
use super::shown::Shown;
use super::statement::{Says, Statement, read, split_remark};
use super::worked::{Check, Content, DayOfSums, Defined, Outcome, State, Worked, WorkedLine};
use crate::book::{Block, Book, Entry, Line};
use crate::quantity::{Dimension, Literal, SourceId, Unit, Units, Value};
use crate::shop::figures::{Figure, FigureValue, Figures};
use crate::text::{Diagnostic, Slug, Span};

/// Works out a whole book.
pub fn work_out(book: &Book, figures: &Figures) -> (Worked, Vec<Diagnostic>) {
    let units = Units::new(&book.sheet.money);
    let mut timeline = Timeline::new(book, &units);
    timeline.start(&figures.at_start);
    for (index, log) in book.days.iter().enumerate() {
        timeline.day = log.day;
        for (entry, what) in log.entries.iter().enumerate() {
            match what {
                Entry::Sums(block) => timeline.sums(index, entry, block),
                Entry::Parts(_) => timeline.parts(figures.changes.get(&(index, entry)).map_or(&[][..], Vec::as_slice)),
                Entry::Mention(_) | Entry::Drawing(_) => {}
            }
        }
        timeline.close_day();
    }
    timeline.finish()
}

struct Timeline<'a> {
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
    /// Names that `choose` or `stack` asks for.
    asked: BTreeMap<NameId, Asked>,
    choices: BTreeMap<NameId, ChoiceStory>,
}

/// A line as read: its statement, or nothing where it failed or is a remark.
struct ReadBlock {
    /// Names whose line could not be read: what was known of them stands no longer.
    broken: Vec<NameId>,
    lines: Vec<(Span, Option<String>, Option<Statement>, bool)>,
}

impl<'a> Timeline<'a> {
    fn new(book: &'a Book, units: &'a Units) -> Self {
        Self {
            book,
            units,
            shown: Shown { units, system: book.sheet.units },
            names: Names::default(),
            origins: Origins::default(),
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
            formulas_used: BTreeSet::new(),
            asked: BTreeMap::new(),
            choices: BTreeMap::new(),
        }
    }

    /// What is known before the first day: figures of parts, and the targets.
    fn start(&mut self, figures: &[Figure]) {
        self.parts(figures);
        let targets = &self.book.sheet.targets;
        let block = self.read_lines(targets);
        for (_, _, statement, _) in &block.lines {
            if let Some(statement) = statement.as_ref().filter(|s| !matches!(s.says, Says::Check(_))) {
                self.say(
                    Diagnostic::error(Slug::BadStatement, statement.at, "a target is a check")
                        .expected("NAME at least, at most, between or within limits"),
                );
            }
        }
        self.work_block(block, true);
        self.today = DayOfSums::default();
    }

    fn sums(&mut self, day_index: usize, entry: usize, block: &Block) {
        self.step += 1;
        let read = self.read_lines(&block.lines);
        let lines = self.work_block(read, false);
        self.blocks.insert((day_index, entry), lines);
    }

    /// Says something once: the same thing at the same place is not said again when it is worked out again.
    fn say(&mut self, diagnostic: Diagnostic) {
        if self.said.insert((diagnostic.at, diagnostic.slug)) {
            self.diagnostics.push(diagnostic);
        }
    }

    fn read_lines(&mut self, lines: &[Line]) -> ReadBlock {
        let mut block = ReadBlock { broken: Vec::new(), lines: Vec::with_capacity(lines.len()) };
        for line in lines {
            let (text, remark) = split_remark(line);
            if text.text.is_empty() {
                block.lines.push((line.span, remark, None, true));
                continue;
            }
            let link = Link { units: self.units, book: self.book, today: self.day };
            let mut reader = Reader {
                names: &mut self.names,
                origins: &mut self.origins,
                formulas_used: &mut self.formulas_used,
                link: &link,
            };
            let outcome = read(text, remark.clone(), &mut reader);
            self.cells.grow(self.names.len());
            if let Some(id) = outcome.broken {
                self.cells.get_mut(id).broken = true;
                self.cells.define(id, None);
                block.broken.push(id);
            }
            match outcome.statement {
                Ok(statement) => block.lines.push((line.span, remark, Some(statement), false)),
                Err(diagnostic) => {
                    self.say(*diagnostic);
                    block.lines.push((line.span, remark, None, false));
                }
            }
        }
        block
    }

    /// Applies a block's statements, lets the changes run on, and takes down what each line came to.
    fn work_block(&mut self, block: ReadBlock, target: bool) -> Vec<WorkedLine> {
        let mut roots: BTreeSet<NameId> = BTreeSet::new();
        let mut touched: BTreeSet<usize> = BTreeSet::new();
        let mut first: BTreeMap<NameId, Span> = BTreeMap::new();
        for (_, _, statement, _) in &block.lines {
            let Some(statement) = statement else { continue };
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
            FigureValue::Sum(parts) => {
                let parts = parts.iter().map(|part| self.names.id(part, figure.span)).collect();
                self.cells.grow(self.names.len());
                Content::Sum(parts)
            }
            FigureValue::Unknown(_) => Content::Unknown,
        }
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
        let take = |(at, remark, statement, is_remark): (Span, Option<String>, Option<Statement>, bool)| {
            let outcome = match statement {
                None if is_remark => Outcome::Remark,
                None => Outcome::Unread,
                Some(statement) => self.outcome(statement),
            };
            WorkedLine { at, remark, outcome }
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
        let statements = block.lines.iter().filter_map(|line| line.2.as_ref());
        let definitions = statements.filter(|statement| !matches!(statement.says, Says::Check(_)));
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
