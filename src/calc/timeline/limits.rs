//! Limits as the book goes on: set, eased, withdrawn, and lines about them that cannot be read.
//!
//! In: the lines of a block about limits, in their order, once the values of the block are known.
//! Out: checks with the limit that counts. A hold limit becomes stricter by any line; it is eased
//! or withdrawn only by the names that takes.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Timeline;
use super::checks::{limit_names, new_check};
use crate::book::When;
use crate::calc::evaluate::{Halt, Known};
use crate::calc::expression::ExprKind;
use crate::calc::limits::{LimitChange, LimitLine, Limits, UnreadLine};
use crate::calc::names::NameId;
use crate::calc::results::Check;
use crate::calc::statement::{About, Act, Rule, RuleKind, Signed};
use crate::calc::weigh::{counting, limits, mismatch};
use crate::diagnostics::{Diagnostic, Slug};
use crate::source::Span;

/// A line about a limit.
pub(super) enum LimitWork {
    /// It can be read.
    Line(NameId, Box<Rule>),
    /// It cannot.
    Unread(About, Span),
}

/// A limit so near to the value, as a share of it, looks like a reading.
const LOOKS_LIKE_A_READING: f64 = 0.02;

const KINDS: [RuleKind; 4] = [
    RuleKind::AtLeast,
    RuleKind::AtMost,
    RuleKind::Between,
    RuleKind::Within,
];

impl Timeline<'_> {
    /// Settles the lines of a block about limits; gives the checks they touch.
    pub(super) fn settle_limits(&mut self, work: Vec<LimitWork>, target: bool) -> BTreeSet<usize> {
        let mut touched = BTreeSet::new();
        for line in work {
            match line {
                LimitWork::Line(name, rule) => {
                    touched.extend(self.settle_limit(name, *rule, target));
                }
                LimitWork::Unread(about, at) => touched.extend(self.mark_unread(about, at)),
            }
        }
        touched
    }

    fn settle_limit(&mut self, name: NameId, rule: Rule, target: bool) -> Option<usize> {
        let found = self.now.checks_by.get(&(name, rule.kind)).copied();
        let is_over = found.is_some_and(|index| self.now.checks[index].withdrawn);
        match (found, rule.act.clone()) {
            (found, Act::Withdrawn(_)) if found.is_none() || is_over => {
                let message = format!(
                    "{} has no limit of this kind to withdraw",
                    self.now.names.text(name)
                );
                self.say(
                    Diagnostic::error(Slug::EasedLimit, rule.at, message)
                        .expected("the limit that counts"),
                );
            }
            (Some(index), Act::Withdrawn(signed)) => self.withdraw(index, rule, &signed),
            (Some(index), _) if !is_over => self.another_limit(index, rule),
            _ => return Some(self.first_limit(name, rule, target)),
        }
        found
    }

    /// The first limit of its kind on a name, or the first after the former was withdrawn.
    fn first_limit(&mut self, name: NameId, rule: Rule, target: bool) -> usize {
        let key = (name, rule.kind);
        let index = self.now.checks_by.get(&key).copied().unwrap_or_else(|| {
            self.now
                .checks
                .push(Arc::new(new_check(name, &rule, target, self.now.day)));
            self.now.checks.len() - 1
        });
        self.now.checks_by.insert(key, index);
        let check = Arc::make_mut(&mut self.now.checks[index]);
        check.withdrawn = false;
        check.hold = false;
        self.count(index, rule, LimitChange::Set, "".into());
        index
    }

    fn another_limit(&mut self, index: usize, rule: Rule) {
        let new = match self.usable(index, &rule) {
            Ok(new) => new,
            Err(finding) => {
                self.say(*finding);
                let line = UnreadLine {
                    day: self.now.day,
                    at: rule.at,
                };
                Arc::make_mut(&mut self.now.checks[index]).unread = Some(line);
                return;
            }
        };
        let check = Arc::clone(&self.now.checks[index]);
        let mut old = self
            .counts(&check)
            .unwrap_or_else(|| check.strictest.clone());
        if new.as_ref().is_some_and(|new| !new.agree_with(&old)) {
            // The value measures what the new limit does: the former never was a limit of it.
            old = Limits::default();
            Arc::make_mut(&mut self.now.checks[index]).strictest = Limits::default();
        }
        let eases = new.as_ref().is_none_or(|new| new.ease(&old));
        let differs = match &new {
            Some(new) if old != Limits::default() => !new.admit_the_same(&old),
            _ => check.rule.written != rule.written,
        };
        let change = self.change(&check, &rule, eases, new.is_some());
        let before = self.limit_words(&check, Some(&old));
        if change == LimitChange::Set && differs {
            self.say_replaced(&check, &rule, &before);
        }
        let repeats = !differs
            && change == LimitChange::Set
            && check.unsigned.is_empty()
            && check.hold >= rule.hold;
        if check.hold && differs && change != LimitChange::Unsigned {
            self.reading_is_older(check.name);
        }
        // Let go before it is changed: a check in two hands is copied with all its lines.
        drop(check);
        if repeats {
            self.same_limit(index, rule);
            return;
        }
        self.count(index, rule, change, before);
    }

    /// What a line does to the limit of a check that has one.
    fn change(&mut self, check: &Check, rule: &Rule, eases: bool, known: bool) -> LimitChange {
        let eases = eases || (check.hold && !rule.hold);
        match &rule.act {
            Act::Eased(signed) if check.hold && !self.is_signed(signed, "eases", "eased by") => {
                LimitChange::Unsigned
            }
            Act::Eased(signed) if check.hold && !known => {
                let message = "an eased hold limit needs a figure, and this one is not known yet";
                self.say(
                    Diagnostic::error(Slug::EasedLimit, rule.at, message)
                        .expected("a limit that is known")
                        .see(signed.at, "eased here"),
                );
                LimitChange::Unsigned
            }
            Act::Eased(_) if eases => LimitChange::Eased,
            _ if check.hold && eases => LimitChange::Unsigned,
            _ => LimitChange::Set,
        }
    }

    /// Are there names enough for a hold limit? One person of a crew of one is; says so where there
    /// are not.
    fn is_signed(&mut self, signed: &Signed, does: &str, words: &str) -> bool {
        if signed.by.len() >= 2 || self.is_crew_of_one() {
            return true;
        }
        let by = signed.by.join(" + ");
        let wrong = Diagnostic::error(
            Slug::EasedLimit,
            signed.at,
            format!("one person alone {does} a hold limit"),
        );
        self.say(
            wrong
                .expected("two different names")
                .instead(format!("{words} {by} + NAME: {}", signed.why)),
        );
        false
    }

    /// Does the build sheet name one person only? Whoever is there on a day does not matter.
    pub(super) fn is_crew_of_one(&self) -> bool {
        let crew: BTreeSet<&str> = self
            .book
            .sheet
            .crew
            .iter()
            .map(|member| member.name.as_str())
            .collect();
        crew.len() == 1
    }

    /// What the limits of a line come to, `None` where that is not known yet; or why it cannot
    /// limit this value.
    fn usable(&self, index: usize, rule: &Rule) -> Result<Option<Limits>, Box<Diagnostic>> {
        let check = &self.now.checks[index];
        let new = match limits(rule, &self.now.cells, &mut Vec::new()) {
            Ok(new) => new,
            Err(Halt::Fault(finding)) => return Err(finding),
            Err(_) => return Ok(None),
        };
        let known = match &self.now.cells.get(check.name).known {
            Known::Value(value) => Some(value),
            _ => None,
        };
        if let Some(finding) = known.and_then(|value| mismatch(value, rule, &new)) {
            return Err(Box::new(finding));
        }
        let was_judged = check.hold
            && check
                .judgements
                .iter()
                .any(|judged| judged.margin.is_some());
        let is_other = self.counts(check).is_some_and(|old| !new.agree_with(&old));
        if is_other && (known.is_none() || was_judged) {
            let message = format!(
                "the limits of {} do not measure the same",
                self.now.names.text(check.name)
            );
            let wrong = Diagnostic::error(Slug::UnitMismatch, rule.at, message);
            return Err(Box::new(
                wrong
                    .expected("limits of one kind of quantity")
                    .see(check.rule.at, "the former limit"),
            ));
        }
        Ok(Some(new))
    }

    /// The limits that count; `None` where they are not known.
    pub(super) fn counts(&self, check: &Check) -> Option<Limits> {
        counting(check, &self.now.cells, &mut Vec::new()).ok()
    }

    /// Puts a line in its place among those of its check.
    fn count(&mut self, index: usize, rule: Rule, change: LimitChange, before: Arc<str>) {
        let (day, step) = (self.now.day, self.now.step);
        let when = When {
            day,
            entry: self.now.entry,
        };
        self.forget_limit_names(index, change != LimitChange::Unsigned);
        let check = Arc::make_mut(&mut self.now.checks[index]);
        check.limits.push(LimitLine {
            day,
            when,
            step,
            rule: rule.clone(),
            change,
            hold: check.hold,
            before,
        });
        check.unread = None;
        if change == LimitChange::Unsigned {
            check.unsigned.retain(|other| other.written != rule.written);
            check.unsigned.push(rule);
        } else {
            if change == LimitChange::Eased {
                check.strictest = Limits::default();
                check.hold = rule.hold;
            }
            check.hold |= rule.hold;
            check.unsigned.clear();
            check.rule = rule;
        }
        self.watch_limit_names(index);
    }

    /// The same limit, written again: its latest line is the one that pages lead to.
    fn same_limit(&mut self, index: usize, rule: Rule) {
        self.forget_limit_names(index, true);
        let check = Arc::make_mut(&mut self.now.checks[index]);
        check.unread = None;
        check.rule = rule;
        self.watch_limit_names(index);
    }

    fn withdraw(&mut self, index: usize, rule: Rule, signed: &Signed) {
        let check = Arc::clone(&self.now.checks[index]);
        let old = self.counts(&check);
        let same = match (&old, limits(&rule, &self.now.cells, &mut Vec::new())) {
            (Some(old), Ok(new)) => new.agree_with(old) && new.admit_the_same(old),
            _ => check.rule.written == rule.written,
        };
        let before = self.limit_words(&check, old.as_ref());
        if !same {
            let name = self.now.names.text(check.name);
            let message = format!("{name} {} is not the limit that counts", rule.written);
            let wrong = Diagnostic::error(Slug::EasedLimit, rule.at, message)
                .see(check.rule.at, "the limit that counts");
            self.say(
                wrong
                    .expected(format!("the limit that counts, {before}"))
                    .instead(&*before),
            );
            return;
        }
        if check.hold && !self.is_signed(signed, "withdraws", "withdrawn by") {
            return;
        }
        drop(check);
        self.forget_limit_names(index, true);
        let (day, step) = (self.now.day, self.now.step);
        let when = When {
            day,
            entry: self.now.entry,
        };
        let check = Arc::make_mut(&mut self.now.checks[index]);
        check.limits.push(LimitLine {
            day,
            when,
            step,
            rule,
            change: LimitChange::Withdrawn,
            hold: check.hold,
            before,
        });
        check.withdrawn = true;
        check.unread = None;
        check.unsigned.clear();
        check.strictest = Limits::default();
    }

    /// A reading taken before its hold limit was changed no longer clears it.
    fn reading_is_older(&mut self, name: NameId) {
        let step = self.now.step;
        let cell = self.now.cells.get_mut(name);
        if cell.measured.is_some_and(|measured| measured < step) {
            cell.overtaken_by = Some(name);
        }
    }

    /// Marks what a line that cannot be read would have changed.
    fn mark_unread(&mut self, about: About, at: Span) -> Vec<usize> {
        let line = UnreadLine {
            day: self.now.day,
            at,
        };
        let kinds = KINDS
            .iter()
            .filter(|kind| about.kind.is_none_or(|about| about == **kind));
        let checks: Vec<usize> = kinds
            .filter_map(|kind| self.now.checks_by.get(&(about.name, *kind)).copied())
            .collect();
        for index in &checks {
            Arc::make_mut(&mut self.now.checks[*index]).unread = Some(line);
        }
        if about.kind.is_none() && self.now.cells.get(about.name).defined.is_some() {
            self.now.cells.get_mut(about.name).story_mut().unread = Some(line);
        }
        checks
    }

    /// The limits of a check are no longer worked out from these names; of all its lines where
    /// `all` of them go.
    fn forget_limit_names(&mut self, index: usize, all: bool) {
        let check = Arc::clone(&self.now.checks[index]);
        if all {
            for read in check_names(&check)
                .into_iter()
                .filter(|read| *read != check.name)
            {
                self.now
                    .cells
                    .get_mut(read)
                    .story_mut()
                    .checks
                    .remove(&index);
            }
        }
    }

    fn watch_limit_names(&mut self, index: usize) {
        let check = Arc::clone(&self.now.checks[index]);
        for read in check_names(&check).into_iter().chain([check.name]) {
            self.now
                .cells
                .get_mut(read)
                .story_mut()
                .checks
                .insert(index);
        }
    }

    /// Keeps the strictest that a hold check's limits came to. A later line that eases it no longer
    /// counts like any other.
    pub(super) fn keep_strictest(&mut self, index: usize) {
        let check = Arc::clone(&self.now.checks[index]);
        let Some(now) = self
            .counts(&check)
            .filter(|_| check.hold && !check.withdrawn)
        else {
            return;
        };
        if let Known::Value(value) = &self.now.cells.get(check.name).known
            && mismatch(value, &check.rule, &now).is_some()
        {
            return;
        }
        let last = check.unsigned.last().filter(|last| last.hold);
        let meets = |rule: &&Rule| {
            limits(rule, &self.now.cells, &mut Vec::new())
                .is_ok_and(|own| own.agree_with(&now) && !own.ease(&now))
        };
        let counts = last.filter(meets).cloned();
        if now == check.strictest && counts.is_none() {
            return;
        }
        drop(check);
        self.forget_limit_names(index, counts.is_some());
        let check = Arc::make_mut(&mut self.now.checks[index]);
        check.strictest = now;
        if let Some(rule) = counts {
            check.rule = rule;
            check.unsigned.clear();
        }
        self.watch_limit_names(index);
    }
}

/// The names that the limits of a check read.
pub(super) fn check_names(check: &Check) -> BTreeSet<NameId> {
    [&check.rule]
        .into_iter()
        .chain(&check.unsigned)
        .flat_map(limit_names)
        .collect()
}

/// Does a limit look like a reading: has it a tolerance, or is it near the value?
pub(super) fn looks_like_reading(rule: &Rule, known: &Known) -> bool {
    let limit = rule.lower.as_ref().or(rule.upper.as_ref());
    let Some(ExprKind::Number(figure, _)) = limit.map(|limit| &limit.base.kind) else {
        return false;
    };
    match (rule.kind, known) {
        (RuleKind::Within, _) => true,
        (RuleKind::Between, _) => false,
        (_, Known::Value(value)) if figure.dimension.agrees_with(value.dimension) => {
            let near = value
                .worst_case()
                .half_width()
                .max(LOOKS_LIKE_A_READING * value.nominal.abs());
            (figure.nominal - value.nominal).abs() <= near
        }
        _ => false,
    }
}
