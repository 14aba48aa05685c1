//! What depends on money, by any number of steps.
//!
//! In: the worked book. Out: the names and the checks whose figures somebody could reckon a cost
//! back from. What counts is what a value is worked out from, not its unit: the ratio of two costs
//! is a plain number and still one. A name counts from first to last: once it hung on a cost, none
//! of its moments is told apart.

use std::collections::{BTreeMap, BTreeSet};

use super::expression::{Expr, ExprKind};
use super::names::NameId;
use super::results::{Content, Outcome, Results, Version};
use super::statement::Rule;

/// The names and checks that depend on money.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OnMoney {
    /// Names, by [`NameId`].
    pub names: BTreeSet<NameId>,
    /// Checks, by index into [`Results::checks`].
    pub checks: BTreeSet<usize>,
}

/// A name or a check.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    Name(NameId),
    Check(usize),
}

/// Finds what depends on money. Costs what the book's formulas hold, however long their chains are.
pub fn on_money(worked: &Results) -> OnMoney {
    let mut web = Web::default();
    for (index, story) in worked.values.iter().enumerate() {
        web.name(
            worked,
            NameId(index as u32),
            &story.moments,
            story.prediction,
        );
    }
    for (index, check) in worked.checks.iter().enumerate() {
        web.tie(Thing::Name(check.name), Thing::Check(index));
        web.rule(&check.rule, index);
        check
            .limits
            .iter()
            .for_each(|line| web.rule(&line.rule, index));
    }
    for line in worked.blocks.values().flat_map(|lines| lines.iter()) {
        if let Outcome::Check { check, rule, .. } = &line.outcome {
            web.rule(rule, *check);
        }
    }
    for (name, story) in &worked.choices {
        story
            .range_reads
            .iter()
            .for_each(|read| web.tie(Thing::Name(*read), Thing::Name(*name)));
        let checks = story.found.iter().flat_map(|choice| &choice.checks);
        checks.for_each(|check| web.tie(Thing::Check(*check), Thing::Name(*name)));
    }
    web.run_out()
}

/// What depends on what.
#[derive(Default)]
struct Web {
    users: BTreeMap<Thing, BTreeSet<Thing>>,
    /// What is money by itself.
    money: Vec<Thing>,
}

impl Web {
    fn tie(&mut self, on: Thing, hangs: Thing) {
        self.users.entry(on).or_default().insert(hangs);
    }

    fn name(
        &mut self,
        worked: &Results,
        name: NameId,
        moments: &[Version],
        prediction: Option<NameId>,
    ) {
        let this = Thing::Name(name);
        if is_cost(worked.text(name)) || moments.iter().any(is_money) {
            self.money.push(this);
        }
        if let Some(prediction) = prediction {
            self.tie(Thing::Name(prediction), this);
        }
        for moment in moments {
            if let Content::Formula { expr, shown_in } = &moment.defined.content {
                self.expression(expr, this);
                if shown_in
                    .as_ref()
                    .is_some_and(|(unit, _)| unit.dimension.has_money())
                {
                    self.money.push(this);
                }
            }
        }
    }

    fn rule(&mut self, rule: &Rule, check: usize) {
        for limit in [&rule.lower, &rule.upper].into_iter().flatten() {
            self.expression(&limit.base, Thing::Check(check));
            limit
                .side
                .iter()
                .for_each(|side| self.expression(side, Thing::Check(check)));
        }
    }

    fn expression(&mut self, expr: &Expr, of: Thing) {
        expr.each(|kind| match kind {
            ExprKind::Name(name) | ExprKind::Past { name, .. } => self.tie(Thing::Name(*name), of),
            ExprKind::Number(value, _) if value.dimension.has_money() => self.money.push(of),
            _ => {}
        });
    }

    fn run_out(self) -> OnMoney {
        let mut found = BTreeSet::new();
        let mut waiting = self.money;
        while let Some(thing) = waiting.pop() {
            if found.insert(thing) {
                waiting.extend(self.users.get(&thing).into_iter().flatten());
            }
        }
        let mut hang = OnMoney::default();
        for thing in found {
            match thing {
                Thing::Name(name) => drop(hang.names.insert(name)),
                Thing::Check(check) => drop(hang.checks.insert(check)),
            }
        }
        hang
    }
}

/// Is it a figure of the ledger that is a cost, known or not?
pub fn is_cost(name: &str) -> bool {
    matches!(name.split_once('.'), Some(("spent", "total") | (_, "cost")))
}

fn is_money(moment: &Version) -> bool {
    moment.unit.dimension.has_money()
        || moment
            .value()
            .is_some_and(|value| value.dimension.has_money())
}

/// Every name that an expression reads, as it is now or was on an earlier day.
pub(super) fn names_ever_in(expr: &Expr) -> BTreeSet<NameId> {
    let mut names = BTreeSet::new();
    expr.each(|kind| {
        if let ExprKind::Name(name) | ExprKind::Past { name, .. } = kind {
            names.insert(*name);
        }
    });
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::build::compile;
    use crate::io::BookFiles;

    fn hang(sums: &str) -> Vec<String> {
        let sheet = "title: x\nstart: 2031-05-02\ndays: 3\ncrew: [{name: Ines, hours: 8}]\n";
        let parts = "motor: {what: Motor, cost: 8213.00, mass: 41 kg}\n";
        let log = format!("---\nday: 1\n---\n```parts\nmotor: in\n```\n```sums\n{sums}\n```\n");
        let build = compile(BookFiles::from_texts([
            ("build-sheet.yaml", sheet),
            ("parts.yaml", parts),
            ("days/day-01.md", &log),
        ]));
        assert_eq!(
            build
                .diagnostics
                .iter()
                .map(|found| &found.message)
                .collect::<Vec<_>>(),
            Vec::<&String>::new()
        );
        let names = on_money(&build.worked).names;
        let texts: BTreeSet<String> = names
            .iter()
            .map(|name| build.worked.text(*name).to_owned())
            .collect();
        texts.into_iter().collect()
    }

    #[test]
    fn a_ratio_of_two_costs_hangs_on_money_and_so_does_what_is_worked_out_from_it() {
        let found = hang(
            "a = motor.cost / spent.total\nb = if(a > 2, 3 mm, 4 mm)\nc = b + 1 mm\nd = 5 mm + motor.mass / 1 kg * 1 mm",
        );
        assert_eq!(found, ["a", "b", "c", "motor.cost", "spent.total"]);
    }

    #[test]
    fn money_that_is_written_in_a_sum_counts() {
        let found = hang("a = 30 EUR / 12 EUR\nb = a * 2 mm\nc = 86 EUR\nd = 3 mm");
        assert_eq!(found, ["a", "b", "c", "motor.cost", "spent.total"]);
    }

    #[test]
    fn a_chosen_size_hangs_on_the_checks_it_was_chosen_for() {
        let found = hang(
            "n = 2\nlength = 3 mm\nprice = length * 12 EUR / 1 mm\nprice at most 90 EUR\nchoose size from 0 to 9 mm\nworth = size * 10 EUR / 1 mm\nworth at most 40 EUR\nhalf = size / 2",
        );
        assert!(
            found.contains(&"size".to_owned()) && found.contains(&"half".to_owned()),
            "{found:?}"
        );
        assert!(
            !found.contains(&"length".to_owned()) && !found.contains(&"n".to_owned()),
            "{found:?}"
        );
    }
}
