//! What every name is, who uses it, and how a change runs on.
//!
//! In: definitions, one after another. Out: for each name its value now and its history. A formula
//! is worked out again exactly when something it reads changed; names never form a ring.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::bare;
use super::display_unit::{Shown, can_be_shown};
use super::evaluate::{Halt, Known, Lookup, evaluate};
use super::expression::{Expr, ExprKind};
use super::latest::latest;
use super::names::NameId;
use super::results::{Content, Defined, NameHistory, Version};
use crate::diagnostics::Diagnostic;
use crate::quantity::{Dimension, Unit, Value};

/// One name's place in the book.
#[derive(Clone, Debug)]
pub(super) struct Binding {
    pub(super) defined: Option<Arc<Defined>>,
    pub(super) known: Known,
    pub(super) unit: Unit,
    /// What pages are told of it.
    pub(super) story: Arc<NameHistory>,
    /// Names worked out from this one.
    users: BTreeSet<NameId>,
    /// Whose prediction this is.
    pub(super) predicts: Option<NameId>,
    /// When it was measured last.
    pub(super) measured: Option<u32>,
    /// Something it physically depends on changed since it was measured: what.
    pub(super) overtaken_by: Option<NameId>,
    /// What was known before anything was.
    nothing: Known,
}

impl Binding {
    fn new(id: NameId) -> Self {
        Self {
            defined: None,
            known: Known::NoReading(id),
            unit: Unit::none(),
            story: Arc::default(),
            users: BTreeSet::new(),
            predicts: None,
            measured: None,
            overtaken_by: None,
            nothing: Known::NoReading(id),
        }
    }

    pub(super) fn story_mut(&mut self) -> &mut NameHistory {
        Arc::make_mut(&mut self.story)
    }
}

/// All names' cells.
#[derive(Clone, Debug, Default)]
pub(super) struct Bindings {
    cells: Vec<Arc<Binding>>,
    /// How many formulas were worked out so far: growth is judged by it, not by the clock.
    pub(super) evaluations: usize,
}

impl Lookup for Bindings {
    fn known(&self, name: NameId) -> &Known {
        &self.cells[name.index()].known
    }

    fn past(&self, day: u32, name: NameId) -> &Known {
        let cell = &self.cells[name.index()];
        latest(&cell.story.moments, |moment| moment.day <= day)
            .map_or(&cell.nothing, |moment| &moment.known)
    }
}

/// What a change did.
pub(super) struct Propagation {
    /// Names whose value or state changed.
    pub(super) changed: BTreeSet<NameId>,
    /// What evaluation had to say.
    pub(super) findings: Vec<Diagnostic>,
}

impl Bindings {
    /// Makes room for names up to `count`.
    pub(super) fn grow(&mut self, count: usize) {
        for index in self.cells.len()..count {
            self.cells
                .push(Arc::new(Binding::new(NameId(index as u32))));
        }
    }

    pub(super) fn get(&self, id: NameId) -> &Binding {
        &self.cells[id.index()]
    }

    pub(super) fn get_mut(&mut self, id: NameId) -> &mut Binding {
        Arc::make_mut(&mut self.cells[id.index()])
    }

    /// What pages are told of every name.
    pub(super) fn stories(&self) -> Vec<Arc<NameHistory>> {
        self.cells
            .iter()
            .map(|cell| Arc::clone(&cell.story))
            .collect()
    }

    /// By name: does a formula or a check read it now?
    pub(super) fn used(&self) -> Vec<bool> {
        self.cells
            .iter()
            .map(|cell| !cell.users.is_empty() || !cell.story.checks.is_empty())
            .collect()
    }

    /// Rings of names that each need the next, among what is worked out from `roots`: at least one
    /// through every name that depends on itself, each name once. Costs what lies downstream.
    pub(super) fn rings(&self, roots: &BTreeSet<NameId>) -> Vec<Vec<NameId>> {
        let mut rings = Vec::new();
        let mut done = BTreeSet::new();
        for root in roots {
            let mut path: Vec<NameId> = Vec::new();
            let mut on_path: BTreeMap<NameId, usize> = BTreeMap::new();
            let mut waiting = vec![(*root, false)];
            while let Some((id, left)) = waiting.pop() {
                if left {
                    path.pop();
                    on_path.remove(&id);
                    done.insert(id);
                } else if let Some(from) = on_path.get(&id) {
                    rings.push(path[*from..].iter().rev().copied().collect());
                } else if !done.contains(&id) {
                    on_path.insert(id, path.len());
                    path.push(id);
                    waiting.push((id, true));
                    waiting.extend(self.get(id).users.iter().map(|user| (*user, false)));
                }
            }
        }
        rings
    }

    /// Gives a name a new definition (or none, where its line is in error).
    pub(super) fn define(&mut self, id: NameId, defined: Option<Arc<Defined>>) {
        if let Some(old) = self.get(id).defined.clone() {
            for read in reads(&old.content) {
                self.get_mut(read).users.remove(&id);
            }
        }
        if let Some(new) = &defined {
            for read in reads(&new.content) {
                self.get_mut(read).users.insert(id);
            }
        }
        self.get_mut(id).defined = defined;
    }

    /// Works out `roots` and all that follows from what changed, in order.
    pub(super) fn ripple(
        &mut self,
        roots: &BTreeSet<NameId>,
        now: (u32, u32),
        shown: &Shown,
    ) -> Propagation {
        let mut ripple = Propagation {
            changed: BTreeSet::new(),
            findings: Vec::new(),
        };
        let mut due: BTreeSet<NameId> = roots.clone();
        for id in self.downstream(roots) {
            if !due.contains(&id) {
                continue;
            }
            if self.settle(id, now, shown, &mut ripple.findings) {
                ripple.changed.insert(id);
                due.extend(self.get(id).users.iter().copied());
            }
        }
        ripple
    }

    /// Works out one name; did it change?
    fn settle(
        &mut self,
        id: NameId,
        (step, day): (u32, u32),
        shown: &Shown,
        findings: &mut Vec<Diagnostic>,
    ) -> bool {
        let Some(defined) = self.get(id).defined.clone() else {
            let cell = self.get_mut(id);
            let known = if cell.story.broken {
                Known::Broken
            } else {
                Known::NoReading(id)
            };
            return std::mem::replace(&mut cell.known, known.clone()) != known;
        };
        let (known, unit) = self.work_out(id, &defined, shown, findings);
        let cell = self.get_mut(id);
        let changed = cell.known != known;
        let moment = Version {
            step,
            day,
            known: known.clone(),
            unit: unit.clone(),
            defined,
        };
        let same = cell
            .story
            .moments
            .last()
            .is_some_and(|last| last.says_the_same(&moment));
        if same {
            return false;
        }
        let moments = &mut cell.story_mut().moments;
        if moments.last().is_some_and(|last| last.step == step) {
            moments.pop();
        }
        moments.push(moment);
        cell.unit = unit;
        cell.known = known;
        changed
    }

    fn work_out(
        &mut self,
        id: NameId,
        defined: &Defined,
        shown: &Shown,
        findings: &mut Vec<Diagnostic>,
    ) -> (Known, Unit) {
        self.evaluations += 1;
        let settled = match &defined.content {
            Content::Unknown => return (Known::NoReading(id), Unit::none()),
            Content::Value(value, unit) => Ok((value.clone(), unit.clone())),
            Content::Formula { expr, .. } => evaluate(expr, self, findings)
                .and_then(|value| shown.settle(value, &defined.content, self)),
        };
        let settled = settled.and_then(|(value, unit)| can_be_shown(value, unit, defined.at));
        match settled {
            Ok((value, unit)) => (Known::Value(value), unit),
            Err(Halt::NoReading(missing)) => (Known::NoReading(missing), self.get(id).unit.clone()),
            Err(Halt::Broken) => (Known::Broken, Unit::none()),
            Err(Halt::Fault(finding)) => {
                let cause = match &defined.content {
                    Content::Formula { expr, .. } => bare::in_sum(expr, &finding, self),
                    _ => None,
                };
                findings.extend(bare::cause_and(*finding, cause));
                (Known::Broken, Unit::none())
            }
        }
    }

    /// The sum of the masses that are known.
    pub(super) fn mass<'a>(&self, of: impl Iterator<Item = &'a NameId> + Clone) -> Value {
        let values = of.filter_map(|part| match self.known(*part) {
            Known::Value(value) => Some(value),
            _ => None,
        });
        let nominal = values.clone().map(|value| value.nominal).sum();
        Value::result(nominal, Dimension::MASS, values.map(|value| (1.0, value)))
    }

    /// `roots` and everything that is worked out from them, each after what it reads.
    pub(super) fn downstream(&self, roots: &BTreeSet<NameId>) -> Vec<NameId> {
        let mut order = Vec::new();
        let mut seen = BTreeSet::new();
        for root in roots {
            // A walk with its own stack: chains of names may be longer than the thread's stack is
            // deep.
            let mut waiting = vec![(*root, false)];
            while let Some((id, left)) = waiting.pop() {
                if left {
                    order.push(id);
                } else if seen.insert(id) {
                    waiting.push((id, true));
                    waiting.extend(self.get(id).users.iter().map(|user| (*user, false)));
                }
            }
        }
        order.reverse();
        order
    }

    /// Marks every measured name that physically depends on one of `moved` as overtaken: a reading
    /// taken before `step` no longer tells what is there now.
    pub(super) fn overtake(&mut self, moved: &BTreeSet<NameId>, step: u32) -> BTreeSet<NameId> {
        let mut marked = BTreeSet::new();
        let mut seen = BTreeSet::new();
        let mut waiting: Vec<(NameId, NameId)> =
            moved.iter().map(|cause| (*cause, *cause)).collect();
        while let Some((id, cause)) = waiting.pop() {
            let further = self
                .get(id)
                .users
                .iter()
                .copied()
                .chain(self.get(id).predicts);
            for next in further
                .filter(|next| seen.insert(*next))
                .collect::<Vec<_>>()
            {
                waiting.push((next, cause));
                if self
                    .get(next)
                    .measured
                    .is_some_and(|measured| measured < step)
                {
                    self.get_mut(next).overtaken_by = Some(cause);
                    marked.insert(next);
                }
            }
        }
        marked
    }
}

/// The names a definition reads.
pub fn reads(content: &Content) -> BTreeSet<NameId> {
    match content {
        Content::Value(..) | Content::Unknown => BTreeSet::new(),
        Content::Formula { expr, .. } => names_in(expr),
    }
}

/// The names an expression reads as they are now.
pub(super) fn names_in(expr: &Expr) -> BTreeSet<NameId> {
    let mut names = BTreeSet::new();
    each_name(expr, |name| {
        names.insert(name);
    });
    names
}

/// Visits every name that an expression reads as it is now, as often as it stands there.
pub(super) fn each_name(expr: &Expr, mut visit: impl FnMut(NameId)) {
    expr.each(|kind| {
        if let ExprKind::Name(name) = kind {
            visit(*name);
        }
    });
}
