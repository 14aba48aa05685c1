//! What is said of limits, of readings without a tolerance, and of lines that could not be read.
//!
//! In: the checks and names, at a line or at the end of the book. Out: findings.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Timeline;
use super::checks::{judged_in, limit_unit};
use super::limits::{check_names, looks_like_reading};
use crate::calc::bindings::reads;
use crate::calc::limits::Limits;
use crate::calc::names::NameId;
use crate::calc::results::Check;
use crate::calc::statement::{Act, Rule, RuleKind};
use crate::calc::weigh::limits;
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{Unit, Value, format};

/// So many figures of a limit are printed.
const FIGURES: usize = 6;

impl Timeline<'_> {
    /// A limit replaces another: of an earlier day, or of its own block.
    pub(super) fn say_replaced(&mut self, check: &Check, rule: &Rule, before: &str) {
        let Some(last) = check.limits.last() else {
            return;
        };
        let name = self.now.names.text(check.name);
        let wrong = if last.step == self.now.step {
            let message =
                format!("{name} has two limits of one kind in this block; the last line counts");
            Diagnostic::warning(Slug::TwiceInBlock, rule.at, message)
        } else if last.day < self.now.day {
            let day = if last.day == 0 {
                "the build sheet".to_owned()
            } else {
                format!("day {}", last.day)
            };
            let message = format!("this limit of {name} replaces {before} of {day}");
            let reading = looks_like_reading(rule, &self.now.cells.get(check.name).known);
            let instead = reading.then(|| format!("{name} measured {}", behind_words(rule)));
            let expected = if reading {
                "`measured`, if this is a reading"
            } else {
                "the former limit, unless the crew means this one"
            };
            Diagnostic::warning(Slug::ReplacedLimit, rule.at, message)
                .expected(expected)
                .maybe_instead(instead)
        } else {
            return;
        };
        self.say(wrong.see(last.rule.at, "the former limit"));
    }

    /// The limit that counts: a line of the check as written, or what it came to.
    pub(super) fn limit_words(&self, check: &Check, counts: Option<&Limits>) -> Arc<str> {
        let is_it = |rule: &&Rule| {
            counts.is_none_or(|counts| {
                let own = limits(rule, &self.now.cells, &mut Vec::new());
                own.is_ok_and(|own| own.agree_with(counts) && own.admit_the_same(counts))
            })
        };
        let lines = || [&check.rule].into_iter().chain(&check.unsigned);
        match (lines().find(is_it), counts) {
            (None, Some(counts)) if check.hold && *counts != Limits::default() => {
                self.in_figures(check, counts).into()
            }
            (line, _) => line.unwrap_or(&check.rule).written.as_str().into(),
        }
    }

    fn in_figures(&self, check: &Check, counts: &Limits) -> String {
        let own = judged_in(&self.now.cells.get(check.name).unit, &check.rule);
        let figure = |limit: &Option<Value>| {
            let Some(limit) = limit else {
                return String::new();
            };
            let fits = |unit: &Unit| unit.dimension.agrees_with(limit.dimension);
            let unit = Some(own.clone())
                .filter(fits)
                .or_else(|| limit_unit(&check.rule).filter(fits));
            let unit = unit.unwrap_or_else(|| Unit::si(limit.dimension));
            format!(
                "{} {}",
                format::plain(unit.reading(limit.nominal), FIGURES),
                unit.name
            )
            .trim_end()
            .to_owned()
        };
        let (lower, upper) = (figure(&counts.lower), figure(&counts.upper));
        match check.kind {
            RuleKind::AtLeast => format!("at least {lower}"),
            RuleKind::AtMost => format!("at most {upper}"),
            RuleKind::Between | RuleKind::Within => format!("between {lower} and {upper}"),
        }
    }

    /// What the book says at its end of the limits of its checks.
    pub(super) fn say_of_limits(&mut self) {
        for check in self
            .now
            .checks
            .clone()
            .iter()
            .filter(|check| !check.withdrawn)
        {
            self.say_unsigned(check);
            if let Some(unread) = check
                .unread
                .filter(|line| self.now.cells.get(check.name).story.unread != Some(*line))
            {
                let name = self.now.names.text(check.name);
                let message = format!(
                    "a later line about {name}, of day {}, could not be read: this limit counts",
                    unread.day
                );
                let wrong = Diagnostic::warning(Slug::UnreadLine, check.rule.at, message);
                self.say(
                    wrong
                        .expected("that line corrected")
                        .see(unread.at, "this line could not be read"),
                );
            }
        }
        self.say_excluding();
        self.say_unread_values();
        self.say_bare_readings();
    }

    /// Lines that would ease a hold limit, and limits that came down by themselves.
    fn say_unsigned(&mut self, check: &Check) {
        let lines = if check.unsigned.is_empty() {
            std::slice::from_ref(&check.rule)
        } else {
            &check.unsigned[..]
        };
        let counts = self.counts(check).filter(|_| check.hold);
        let Some(counts) = counts else { return };
        let words = self.limit_words(check, Some(&counts));
        let name = self.now.names.text(check.name).to_owned();
        let names = if self.is_crew_of_one() {
            "NAME"
        } else {
            "NAME + NAME"
        };
        for rule in lines
            .iter()
            .filter(|rule| check.unsigned.is_empty() || rule.act == Act::Set)
        {
            let eases =
                limits(rule, &self.now.cells, &mut Vec::new()).is_ok_and(|own| own.ease(&counts));
            let line = if eases {
                let message = format!(
                    "this eases a hold limit of {name}: {words} counts until the crew signs it"
                );
                let instead = format!("{name} {}, hold, eased by {names}: why", rule.written);
                Diagnostic::warning(Slug::EasedLimit, rule.at, message)
                    .expected("who eases it, and why")
                    .instead(instead)
            } else if rule.hold || check.unsigned.is_empty() {
                continue;
            } else {
                let message =
                    format!("{name} stays a hold check until the crew signs that it is not");
                let line = Diagnostic::warning(Slug::EasedLimit, rule.at, message);
                line.expected("`, hold` behind the limit")
                    .instead(format!("{name} {}, hold", rule.written))
            };
            self.say(line);
        }
    }

    /// Limits of one name that no value can meet together.
    fn say_excluding(&mut self) {
        let checks: Vec<(usize, NameId)> = self
            .now
            .checks_by
            .iter()
            .map(|((name, _), check)| (*check, *name))
            .collect();
        for of_name in checks.chunk_by(|a, b| a.1 == b.1) {
            let active = of_name
                .iter()
                .map(|(index, _)| Arc::clone(&self.now.checks[*index]));
            let known: Vec<(Arc<Check>, Limits)> = active
                .filter(|check| !check.withdrawn)
                .filter_map(|check| Some((Arc::clone(&check), self.counts(&check)?)))
                .collect();
            for (low, lower) in &known {
                for (high, upper) in &known {
                    if let (Some(lower), Some(upper)) = (&lower.lower, &upper.upper)
                        && lower.dimension.agrees_with(upper.dimension)
                        && lower.nominal - upper.nominal > lower.grain().max(upper.grain())
                    {
                        self.say_exclude(low, high);
                    }
                }
            }
        }
    }

    fn say_exclude(&mut self, low: &Check, high: &Check) {
        let words = |timeline: &Self, check: &Check| {
            timeline.limit_words(check, timeline.counts(check).as_ref())
        };
        let (lower, upper) = (words(self, low), words(self, high));
        let name = self.now.names.text(low.name);
        let both = if low.kind == high.kind {
            lower.to_string()
        } else {
            format!("{lower} and {upper}")
        };
        let last = |check: &Check| check.limits.last().map(|line| (line.step, line.rule.at));
        let (later, earlier) = if last(low) > last(high) {
            (low, high)
        } else {
            (high, low)
        };
        let at = later
            .limits
            .last()
            .map_or(later.rule.at, |line| line.rule.at);
        let message = format!("no value of {name} can be {both}");
        let wrong =
            Diagnostic::warning(Slug::EmptyLimits, at, message).expected("limits that leave room");
        self.say(wrong.see(earlier.rule.at, "the other limit"));
    }

    /// Values that a later line would have changed, if it could be read.
    fn say_unread_values(&mut self) {
        let unread: Vec<Diagnostic> = self
            .now
            .names
            .iter()
            .filter_map(|(text, id)| {
                let cell = self.now.cells.get(id);
                let (line, last) = (cell.story.unread?, cell.story.moments.last()?);
                let message = format!(
                    "a later line about {text}, of day {}, could not be read: this figure counts",
                    line.day
                );
                let wrong = Diagnostic::warning(Slug::UnreadLine, last.defined.at, message);
                Some(
                    wrong
                        .expected("that line corrected")
                        .see(line.at, "this line could not be read"),
                )
            })
            .collect();
        for finding in unread {
            self.say(finding);
        }
    }

    /// Readings without a tolerance that a check rests on. Under a hold check that is a warning,
    /// for they do not clear it.
    fn say_bare_readings(&mut self) {
        let checks: Vec<Arc<Check>> = self
            .now
            .checks
            .iter()
            .filter(|check| !check.withdrawn)
            .cloned()
            .collect();
        let held: BTreeSet<NameId> = checks
            .iter()
            .filter(|check| check.hold)
            .map(|check| check.name)
            .collect();
        let mut waiting: Vec<NameId> = checks
            .iter()
            .flat_map(|check| check_names(check).into_iter().chain([check.name]))
            .collect();
        let mut seen: BTreeSet<NameId> = BTreeSet::new();
        while let Some(id) = waiting.pop() {
            let Some(defined) = self
                .now
                .cells
                .get(id)
                .defined
                .clone()
                .filter(|_| seen.insert(id))
            else {
                continue;
            };
            waiting.extend(reads(&defined.content));
            if !defined.is_bare() {
                continue;
            }
            let name = self.now.names.text(id);
            let finding = if held.contains(&id) {
                let message = format!(
                    "{name} was read without a tolerance, so this reading does not clear its hold check"
                );
                Diagnostic::warning(Slug::BareReading, defined.at, message)
            } else {
                let message =
                    format!("{name} was read without a tolerance: its checks treat it as exact");
                Diagnostic::note(Slug::BareReading, defined.at, message)
            };
            self.say(finding.expected("the tolerance behind the reading; `± 0` where it is exact"));
        }
    }
}

/// `4.1 ± 0.4 deg` of `within 4.1 ± 0.4 deg`.
fn behind_words(rule: &Rule) -> &str {
    let words = match rule.kind {
        RuleKind::AtLeast | RuleKind::AtMost => 2,
        RuleKind::Between | RuleKind::Within => 1,
    };
    rule.written
        .splitn(words + 1, char::is_whitespace)
        .last()
        .unwrap_or_default()
        .trim()
}
