//! `choose` and `stack` as the book goes on: solved when asked for, and again when something they
//! depend on changes.
//!
//! A trial puts a value in the name's place, works out what depends on it, and weighs the checks
//! there. The value a trial puts in has no spread: it is a size to be cut, and measuring it settles
//! the choice.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::Timeline;
use super::limits::check_names;
use crate::calc::bindings::{Bindings, names_in, reads};
use crate::calc::choice::{Choice, ChoiceHistory, ChoiceOutcome, Exclusion, Found, Gives, Handy};
use crate::calc::evaluate::{Halt, Known, Lookup, evaluate};
use crate::calc::expression::{Expr, heat};
use crate::calc::money::names_ever_in;
use crate::calc::names::NameId;
use crate::calc::results::{Content, Defined, State};
use crate::calc::search::{Window, best, highest, picks, windows};
use crate::calc::statement::{Says, Statement, StockPiece};
use crate::calc::weigh::weigh;
use crate::diagnostics::Diagnostic;
use crate::quantity::{Dimension, SourceId, TemperatureKind, Unit, Value, format};
use crate::source::Span;

/// At most so many handy sizes are listed.
const MOST_HANDY: usize = 4;
/// At most so many sums of pieces are tried with their tolerances.
const MOST_PICKS: usize = 200;

/// A name that is asked for.
#[derive(Clone, Debug, Default)]
pub(super) struct Asked {
    /// `choose`: low, high, aim.
    range: Option<(Expr, Expr, Option<Expr>)>,
    /// `stack`: pieces, each with a source for every piece of its size.
    stock: Option<Vec<(StockPiece, Vec<SourceId>)>>,
    remark: Option<String>,
    /// What the line says, for the page.
    written: String,
}

/// What depends on an asked name.
struct Reach {
    /// Names worked out from it, each after what it reads.
    order: Vec<NameId>,
    /// The checks on them, or with limits that read them.
    checks: Vec<usize>,
    /// Everything these read from outside.
    outside: BTreeSet<NameId>,
}

/// A range to search, in SI.
struct Range {
    from: f64,
    to: f64,
    aim: Option<f64>,
    unit: Unit,
}

impl Timeline<'_> {
    /// Takes in a `choose` or a `stack`.
    pub(super) fn ask(&mut self, statement: &Statement) {
        let name = statement.name;
        let sources = match &statement.says {
            Says::Stack { pieces, .. } => self.piece_sources(statement, pieces),
            _ => Vec::new(),
        };
        let asked = Arc::make_mut(self.now.asked.entry(name).or_default());
        match &statement.says {
            Says::Choose {
                low,
                high,
                aim,
                written,
            } => {
                asked.range = Some((low.clone(), high.clone(), aim.clone()));
                asked.stock = None;
                asked.written.clone_from(written);
            }
            Says::Stack { pieces, written } => {
                asked.stock = Some(pieces.iter().cloned().zip(sources).collect());
                asked.written.clone_from(written);
            }
            _ => return,
        }
        asked.remark.clone_from(&statement.remark);
        let new = || ChoiceHistory {
            name,
            at: statement.at,
            range_reads: BTreeSet::new(),
            settled: false,
            found: Vec::new(),
        };
        let story = Arc::make_mut(
            self.now
                .choices
                .entry(name)
                .or_insert_with(|| Arc::new(new())),
        );
        story.at = statement.at;
        story.settled = false;
        if let Says::Choose { low, high, aim, .. } = &statement.says {
            for end in [Some(low), Some(high), aim.as_ref()].into_iter().flatten() {
                story.range_reads.extend(names_ever_in(end));
            }
        }
    }

    fn piece_sources(
        &mut self,
        statement: &Statement,
        pieces: &[StockPiece],
    ) -> Vec<Vec<SourceId>> {
        let label = self.now.names.text(statement.name).to_owned();
        let own = |piece: &StockPiece| {
            if piece.size.has_spread() {
                piece.count
            } else {
                0
            }
        };
        let counts: Vec<u32> = pieces.iter().map(own).collect();
        let mut source = |piece: &StockPiece| {
            self.given_source(
                format!("{label}, a {} piece", piece.size.written),
                statement.at,
            )
        };
        pieces
            .iter()
            .zip(counts)
            .map(|(piece, count)| (0..count).map(|_| source(piece)).collect())
            .collect()
    }

    /// Solves what depends on a change; gives the names whose choice changed.
    pub(super) fn solve_choices(
        &mut self,
        changed: &BTreeSet<NameId>,
        touched: &BTreeSet<usize>,
    ) -> BTreeSet<NameId> {
        let names: Vec<NameId> = self.now.asked.keys().copied().collect();
        let mut moved = BTreeSet::new();
        for name in names {
            let reach = self.reach(name);
            let hit = changed.contains(&name)
                || reach
                    .outside
                    .iter()
                    .chain(&reach.order)
                    .any(|id| changed.contains(id))
                || reach.checks.iter().any(|check| touched.contains(check));
            if hit && self.solve(name, &reach) {
                moved.insert(name);
            }
        }
        moved
    }

    fn reach(&self, name: NameId) -> Reach {
        let order: Vec<NameId> = self
            .now
            .cells
            .downstream(&BTreeSet::from([name]))
            .into_iter()
            .filter(|id| *id != name)
            .collect();
        let mut checks = BTreeSet::new();
        let mut outside = BTreeSet::new();
        for id in order.iter().chain([&name]) {
            checks.extend(self.now.cells.get(*id).story.checks.iter().copied());
        }
        checks.retain(|check| !self.now.checks[*check].withdrawn);
        for id in &order {
            outside.extend(
                self.now
                    .cells
                    .get(*id)
                    .defined
                    .iter()
                    .flat_map(|defined| reads(&defined.content)),
            );
        }
        for check in &checks {
            outside.insert(self.now.checks[*check].name);
            outside.extend(check_names(&self.now.checks[*check]));
        }
        if let Some((low, high, aim)) = self
            .now
            .asked
            .get(&name)
            .and_then(|asked| asked.range.as_ref())
        {
            outside.extend(
                [Some(low), Some(high), aim.as_ref()]
                    .into_iter()
                    .flatten()
                    .flat_map(names_in),
            );
        }
        outside.retain(|id| *id != name && !order.contains(id));
        Reach {
            order,
            checks: checks.into_iter().collect(),
            outside,
        }
    }

    /// Solves one; did the value change?
    fn solve(&mut self, name: NameId, reach: &Reach) -> bool {
        let mut findings = Vec::new();
        let (range, outcome, value) = self.search(name, reach, &mut findings);
        for finding in findings {
            self.say(finding);
        }
        let choice = Choice {
            step: self.now.step,
            day: self.now.day,
            from: range.from,
            to: range.to,
            unit: range.unit,
            checks: reach.checks.clone(),
            outcome,
        };
        let unit = choice.unit.clone();
        let Some(story) = self.now.choices.get_mut(&name).map(Arc::make_mut) else {
            return false;
        };
        if story
            .found
            .last()
            .is_some_and(|last| last.step == choice.step)
        {
            story.found.pop();
        }
        let same = story.found.last().is_some_and(|last| {
            Choice {
                step: last.step,
                day: last.day,
                ..choice.clone()
            } == *last
        });
        if !same {
            story.found.push(choice);
        }
        if story.settled {
            return false;
        }
        let at = story.at;
        self.take(name, at, value, unit)
    }

    /// Gives the name what was chosen; did it change?
    fn take(&mut self, name: NameId, at: Span, value: Option<Value>, unit: Unit) -> bool {
        let before = self.now.cells.get(name).known.clone();
        let same = match (&before, &value) {
            (Known::Value(old), Some(new)) => old == new,
            (Known::NoReading(_), None) => true,
            _ => false,
        };
        if same {
            return false;
        }
        let asked = self.now.asked.get(&name);
        let content = value.map_or(Content::Unknown, |value| Content::Value(value, unit));
        let defined = Defined {
            state: State::Chosen,
            at,
            written: asked.map_or_else(String::new, |asked| asked.written.clone()),
            by: None,
            remark: asked.and_then(|asked| asked.remark.clone()),
            content,
            toleranced: true,
        };
        self.now.cells.define(name, Some(Arc::new(defined)));
        true
    }

    fn search(
        &self,
        name: NameId,
        reach: &Reach,
        findings: &mut Vec<Diagnostic>,
    ) -> (Range, ChoiceOutcome, Option<Value>) {
        let range = match self.range(name, findings) {
            Ok(range) => range,
            Err(outcome) => return (Range::nothing(), outcome, None),
        };
        if reach.checks.is_empty() {
            return (range, ChoiceOutcome::NoCheck, None);
        }
        if let Some(other) = self.unsettled_besides(name, reach) {
            return (range, ChoiceOutcome::Wanting(other), None);
        }
        let bench = Bench {
            timeline: self,
            name,
            reach,
            unit: &range.unit,
        };
        if let Some(outcome) = bench.hindrance(range.from + (range.to - range.from) / 2.0, findings)
        {
            return (range, outcome, None);
        }
        let found = windows(range.from, range.to, &mut |x| {
            bench.margins(&bench.exact(x))
        });
        if found.is_empty() {
            let exclusion = bench.exclusion(&range);
            return (range, ChoiceOutcome::Nothing(exclusion), None);
        }
        let point = best(&found, range.aim).unwrap_or(range.from);
        let stock = self
            .now
            .asked
            .get(&name)
            .and_then(|asked| asked.stock.as_ref());
        if let Some(stock) = stock {
            let (outcome, value) = bench.stack(stock, found, point);
            return (range, outcome, value);
        }
        let point = range.handiest(&found, point);
        let (handy, value) = (bench.handy(&found, point), bench.exact(point));
        let found = Found {
            windows: found,
            best: point,
            taken: point,
            handy,
            pieces: Vec::new(),
        };
        (range, ChoiceOutcome::Found(found), Some(value))
    }

    /// The range asked for; for a stack by itself, from nothing to all the stock.
    fn range(&self, name: NameId, findings: &mut Vec<Diagnostic>) -> Result<Range, ChoiceOutcome> {
        let asked = self.now.asked.get(&name).ok_or(ChoiceOutcome::Broken)?;
        if let Some((low, high, aim)) = &asked.range {
            let mut value = |expr: &Expr| {
                evaluate(expr, &self.now.cells, findings).map_err(|halt| (halt, expr.at))
            };
            let ends = value(low)
                .and_then(|low| Ok((low, value(high)?, aim.as_ref().map(&mut value).transpose()?)));
            let (from, to, aim) = ends.map_err(|(halt, _)| outcome_of(halt, findings))?;
            let unit = crate::calc::display_unit::unit_of(low, &self.now.cells)
                .unwrap_or_else(|| self.shown.usual(&from));
            return Ok(Range {
                from: from.nominal,
                to: to.nominal,
                aim: aim.map(|aim| aim.nominal),
                unit,
            });
        }
        let stock = asked.stock.as_ref().ok_or(ChoiceOutcome::Broken)?;
        let all = stock
            .iter()
            .map(|(piece, _)| piece.size.nominal * f64::from(piece.count))
            .sum();
        let unit = stock
            .first()
            .map_or_else(Unit::none, |(piece, _)| piece.size.unit.clone());
        Ok(Range {
            from: 0.0,
            to: all,
            aim: None,
            unit,
        })
    }

    /// Another asked name, not settled yet, that the checks also depend on.
    fn unsettled_besides(&self, name: NameId, reach: &Reach) -> Option<NameId> {
        let mut waiting: Vec<NameId> = reach.outside.iter().copied().collect();
        let mut seen: BTreeSet<NameId> = reach.outside.clone();
        while let Some(id) = waiting.pop() {
            if id != name
                && self
                    .now
                    .choices
                    .get(&id)
                    .is_some_and(|story| !story.settled)
            {
                return Some(id);
            }
            let further = self
                .now
                .cells
                .get(id)
                .defined
                .iter()
                .flat_map(|defined| reads(&defined.content));
            waiting.extend(further.filter(|next| seen.insert(*next)));
        }
        None
    }
}

impl Range {
    /// The size of few digits nearest to a point of the windows, so that what is printed of it is
    /// the size itself. An aim inside a window is kept as it was written.
    fn handiest(&self, windows: &[Window], point: f64) -> f64 {
        let within = |size: f64| {
            windows
                .iter()
                .find(|(from, to)| *from <= size && size <= *to)
        };
        let Some((from, to)) = within(point).filter(|_| self.aim != Some(point)) else {
            return point;
        };
        let reading = |si: f64| self.unit.reading(si);
        let size = self.unit.to_si(format::handiest(
            reading(point),
            reading(*from),
            reading(*to),
        ));
        if within(size).is_some() { size } else { point }
    }

    fn nothing() -> Self {
        Self {
            from: 0.0,
            to: 0.0,
            aim: None,
            unit: Unit::none(),
        }
    }
}

fn outcome_of(halt: Halt, findings: &mut Vec<Diagnostic>) -> ChoiceOutcome {
    match halt {
        Halt::NoReading(name) => ChoiceOutcome::Wanting(name),
        Halt::Broken => ChoiceOutcome::Broken,
        Halt::Fault(finding) => {
            findings.push(*finding);
            ChoiceOutcome::Broken
        }
    }
}

/// Names as they are, with some put to trial.
struct Trial<'c> {
    cells: &'c Bindings,
    over: BTreeMap<NameId, Known>,
}

impl Lookup for Trial<'_> {
    fn known(&self, name: NameId) -> &Known {
        self.over
            .get(&name)
            .unwrap_or_else(|| self.cells.known(name))
    }

    fn past(&self, day: u32, name: NameId) -> &Known {
        self.cells.past(day, name)
    }
}

/// The bench a value is tried on.
struct Bench<'b, 'a> {
    timeline: &'b Timeline<'a>,
    name: NameId,
    reach: &'b Reach,
    unit: &'b Unit,
}

impl Bench<'_, '_> {
    fn exact(&self, size: f64) -> Value {
        Value::exact(size, self.unit.dimension).with_heat(heat(self.unit))
    }

    /// Everything that depends on the name, with `value` in its place.
    fn trial(&self, value: &Value, findings: &mut Vec<Diagnostic>) -> Trial<'_> {
        let cells = &self.timeline.now.cells;
        let mut trial = Trial {
            cells,
            over: BTreeMap::from([(self.name, Known::Value(value.clone()))]),
        };
        for id in &self.reach.order {
            let Some(defined) = &cells.get(*id).defined else {
                continue;
            };
            let Content::Formula { expr, .. } = &defined.content else {
                continue;
            };
            let worked = evaluate(expr, &trial, &mut Vec::new());
            let settled =
                worked.and_then(|value| self.timeline.shown.settle(value, &defined.content, cells));
            let known = match settled {
                Ok((value, _)) => Known::Value(value),
                Err(Halt::NoReading(name)) => Known::NoReading(name),
                Err(Halt::Broken) => Known::Broken,
                Err(Halt::Fault(finding)) => {
                    findings.push(*finding);
                    Known::Broken
                }
            };
            trial.over.insert(*id, known);
        }
        trial
    }

    fn weighed(
        &self,
        trial: &Trial,
        check: usize,
        findings: &mut Vec<Diagnostic>,
    ) -> crate::calc::weigh::Weighed {
        let check = &self.timeline.now.checks[check];
        weigh(
            check,
            trial.known(check.name),
            trial,
            check.judged_by(self.timeline.book.sheet.judge),
            findings,
        )
    }

    /// What keeps every check from being weighed, wherever the name lies.
    fn hindrance(&self, middle: f64, findings: &mut Vec<Diagnostic>) -> Option<ChoiceOutcome> {
        let trial = self.trial(&self.exact(middle), &mut Vec::new());
        let mut weighed = self
            .reach
            .checks
            .iter()
            .map(|check| self.weighed(&trial, *check, findings));
        weighed
            .find_map(|weighed| weighed.wanting)
            .map(ChoiceOutcome::Wanting)
    }

    /// Each check's margin with `value` in the name's place; minus infinity where it comes to no
    /// number.
    fn margins(&self, value: &Value) -> Vec<f64> {
        let mut unheard = Vec::new();
        let trial = self.trial(value, &mut unheard);
        let margin = |check: &usize| {
            let judged = self.weighed(&trial, *check, &mut Vec::new()).judged;
            judged.map_or(f64::NEG_INFINITY, |(_, margin)| margin.signed)
        };
        self.reach.checks.iter().map(margin).collect()
    }

    fn gives(&self, value: &Value) -> Vec<Gives> {
        let trial = self.trial(value, &mut Vec::new());
        let give = |check: &usize| {
            let (value, margin) = self.weighed(&trial, *check, &mut Vec::new()).judged?;
            Some(Gives {
                check: *check,
                value,
                margin,
            })
        };
        self.reach.checks.iter().filter_map(give).collect()
    }

    /// Sizes in steps of 1/64 in or 0.5 mm inside the windows, nearest to the best point first.
    fn handy(&self, windows: &[Window], best: f64) -> Vec<Handy> {
        if self.unit.dimension != Dimension::LENGTH || heat(self.unit) != TemperatureKind::Either {
            return Vec::new();
        }
        let inch = ["in", "thou", "ft", "yd"].contains(&self.unit.name.as_str());
        // Whole steps over a whole divisor, so that 9 mm is 0.009 and nothing beside it.
        let size = |n: f64| if inch { n * 0.0254 / 64.0 } else { n / 2000.0 };
        let step = size(1.0);
        let centre = (best / step).round();
        let beside = (0..400).flat_map(|n| [centre - f64::from(n), centre + f64::from(n)]);
        let inside = |x: &f64| windows.iter().any(|(from, to)| *x >= *from && *x <= *to);
        let mut sizes: Vec<f64> = beside
            .map(size)
            .filter(inside)
            .take(4 * MOST_HANDY)
            .collect();
        sizes.sort_by(|a, b| (a - best).abs().total_cmp(&(b - best).abs()));
        sizes.dedup();
        sizes.truncate(MOST_HANDY);
        sizes
            .into_iter()
            .map(|size| Handy {
                size,
                gives: self.gives(&self.exact(size)),
            })
            .collect()
    }

    /// Why there is no window: the check that nothing meets, or the two whose windows lie furthest
    /// apart.
    fn exclusion(&self, range: &Range) -> Exclusion {
        let alone = |index: usize| {
            windows(range.from, range.to, &mut |x| {
                vec![self.margins(&self.exact(x))[index]]
            })
        };
        let each: Vec<Vec<Window>> = (0..self.reach.checks.len()).map(alone).collect();
        if let Some(index) = each.iter().position(Vec::is_empty) {
            let (at, margin) = highest(range.from, range.to, &mut |x| {
                self.margins(&self.exact(x))[index]
            });
            return Exclusion::Alone {
                check: self.reach.checks[index],
                short: -margin,
                at,
            };
        }
        let mut widest: Option<(usize, usize, f64)> = None;
        for (first, a) in each.iter().enumerate() {
            for (second, b) in each.iter().enumerate().skip(first + 1) {
                let apart = apart(a, b);
                if apart > widest.map_or(0.0, |(_, _, apart)| apart) {
                    widest = Some((first, second, apart));
                }
            }
        }
        widest.map_or(Exclusion::Several, |(first, second, apart)| {
            Exclusion::Pair {
                first: self.reach.checks[first],
                second: self.reach.checks[second],
                apart,
            }
        })
    }

    /// The fewest pieces that keep every check in limits, their tolerances included.
    fn stack(
        &self,
        stock: &[(StockPiece, Vec<SourceId>)],
        windows: Vec<Window>,
        best: f64,
    ) -> (ChoiceOutcome, Option<Value>) {
        let sizes: Vec<(f64, u32)> = stock
            .iter()
            .map(|(piece, _)| (piece.size.nominal, piece.count))
            .collect();
        let Some(picks) = picks(&sizes, &windows, best, MOST_PICKS) else {
            return (ChoiceOutcome::Nothing(Exclusion::TooFine), None);
        };
        for pick in picks {
            let value = self.sum_of(stock, &pick.counts, pick.sum);
            if self.margins(&value).iter().all(|margin| *margin >= 0.0) {
                let used = stock
                    .iter()
                    .zip(&pick.counts)
                    .filter(|(_, count)| **count > 0);
                let pieces = used
                    .map(|((piece, _), count)| (piece.size.written.clone(), *count))
                    .collect();
                let found = Found {
                    windows,
                    best,
                    taken: pick.sum,
                    handy: Vec::new(),
                    pieces,
                };
                return (ChoiceOutcome::Found(found), Some(value));
            }
        }
        (
            ChoiceOutcome::Nothing(Exclusion::NoPieces { windows }),
            None,
        )
    }

    /// The sum of pieces, each with its own tolerance.
    fn sum_of(&self, stock: &[(StockPiece, Vec<SourceId>)], counts: &[u32], sum: f64) -> Value {
        let used = stock.iter().zip(counts);
        let sources = used.flat_map(|((piece, sources), count)| {
            sources
                .iter()
                .take(*count as usize)
                .map(move |source| (piece, *source))
        });
        sources.fold(self.exact(sum), |value, (piece, source)| {
            value.moved_by(source, piece.size.plus, piece.size.minus)
        })
    }
}

/// How far two sets of windows lie apart; 0 where they meet.
fn apart(a: &[Window], b: &[Window]) -> f64 {
    let gaps = a.iter().flat_map(|one| {
        b.iter()
            .map(|two| (two.0 - one.1).max(one.0 - two.1).max(0.0))
    });
    gaps.fold(f64::INFINITY, f64::min)
}
