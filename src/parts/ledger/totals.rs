//! What is fitted weighs, and what the parts cost.
//!
//! In: the parts of a ledger. Out: sums. Money is exact.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::{Ledger, PartHistory, PartState};
use crate::book::Book;

/// The mass on the vehicle.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FittedMass {
    /// The sum of the known masses, in kg.
    pub kg: f64,
    /// How many parts are fitted.
    pub parts: usize,
    /// The fitted parts whose mass is not known, by id.
    pub no_mass: Vec<String>,
}

/// The cost of `bought` parts that were ordered or came in and were not sent back.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spent {
    /// The sum of the known costs.
    pub total: Decimal,
    /// The parts that count and whose cost is not known, by id.
    pub no_cost: Vec<String>,
}

/// What a group of parts is worth.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct GroupWorth {
    /// How many parts.
    pub parts: usize,
    /// The sum of their known costs, spent or not.
    pub value: Decimal,
    /// What of that is spent.
    pub spent: Decimal,
}

impl GroupWorth {
    fn add(&mut self, part: &PartHistory) {
        self.parts += 1;
        self.value = self.value.saturating_add(part.cost.unwrap_or_default());
        self.spent = self.spent.saturating_add(part.spent());
    }
}

impl Ledger {
    /// The mass on the vehicle at the end of a day.
    pub fn fitted_on(&self, day: u32) -> FittedMass {
        let mut sum = FittedMass::default();
        for (id, part) in &self.parts {
            if self.state_on(id, day) != Some(PartState::Fitted) {
                continue;
            }
            sum.parts += 1;
            match part.mass {
                Some(kg) => sum.kg += kg,
                None => sum.no_mass.push(id.clone()),
            }
        }
        sum
    }

    /// The known mass on the vehicle at the end of each day that changed it, in one walk over what
    /// happened.
    pub fn mass_by_day(&self) -> BTreeMap<u32, f64> {
        let mut fitted: BTreeSet<&str> = BTreeSet::new();
        let mut kg = 0.0;
        let mut days = BTreeMap::new();
        for happening in &self.happenings {
            let part = happening.part.as_str();
            let mass = self
                .parts
                .get(part)
                .and_then(|part| part.mass)
                .unwrap_or(0.0);
            let changed = if happening.state == PartState::Fitted {
                fitted.insert(part).then_some(mass)
            } else {
                fitted.remove(part).then_some(-mass)
            };
            if let Some(step) = changed {
                kg += step;
                days.insert(happening.day, kg);
            }
        }
        days
    }

    pub(super) fn add_up(&mut self, book: &Book) {
        self.fitted = self.fitted_on(u32::MAX);
        self.spent = spent(&self.parts);
        for (id, part) in &self.parts {
            let supplier = book.parts.get(id).and_then(|part| part.from.clone());
            self.by_supplier.entry(supplier).or_default().add(part);
            self.by_supplied.entry(part.supplied).or_default().add(part);
        }
    }
}

fn spent(parts: &BTreeMap<String, PartHistory>) -> Spent {
    let mut sum = Spent::default();
    for (id, part) in parts.iter().filter(|(_, part)| part.is_spent()) {
        match part.cost {
            Some(cost) => sum.total = sum.total.saturating_add(cost),
            None => sum.no_cost.push(id.clone()),
        }
    }
    sum
}
