//! The parts: who from, what they weigh, cost and are said to stand.
//!
//! In: `parts.yaml`. Out: every part by its id, with what could be read of it.

use std::collections::BTreeMap;

use super::yaml::{self, Fields, Node, Value, twice};
use super::{MOST_DAYS, Part, Supplied, ids, values};
use crate::diagnostics::{Diagnostic, Slug};
use crate::quantity::{Literal, Units};
use crate::source::{FileId, Sources, Spanned};

const KEYS: [&str; 10] = [
    "what", "from", "number", "serial", "mass", "cost", "supplied", "lead", "need", "ratings",
];

/// Reads all parts. `currency` is the book's.
pub(super) fn read(
    sources: &Sources,
    file: FileId,
    currency: &str,
    found: &mut Vec<Diagnostic>,
) -> BTreeMap<String, Part> {
    let text = sources.text(file);
    let node = match yaml::parse(sources.file(file), file, 0..text.len()) {
        Ok(node) => node,
        Err(wrong) => {
            found.push(*wrong);
            return BTreeMap::new();
        }
    };
    Reader {
        sources,
        units: Units::new(currency),
        currency,
        found,
    }
    .parts(&node)
}

/// Can the file be read as YAML at all? If not, what is wrong with it.
pub(super) fn try_it(sources: &Sources, file: FileId, found: &mut Vec<Diagnostic>) {
    let read = yaml::parse(sources.file(file), file, 0..sources.text(file).len());
    found.extend(read.err().map(|wrong| *wrong));
}

struct Reader<'a> {
    sources: &'a Sources,
    units: Units,
    currency: &'a str,
    found: &'a mut Vec<Diagnostic>,
}

impl Reader<'_> {
    fn parts(&mut self, node: &Node) -> BTreeMap<String, Part> {
        let mut parts: BTreeMap<String, Part> = BTreeMap::new();
        let entries = match &node.value {
            Value::Map(entries) => entries.as_slice(),
            Value::Null => &[],
            _ => {
                let wrong = Diagnostic::error(Slug::BadValue, node.span, "these are not parts");
                self.found.push(
                    wrong.expected("an id and a colon for each part, with `what: …` below it"),
                );
                &[]
            }
        };
        for (key, value) in entries {
            let Some(id) = ids::new_id(&key.value, key.span)
                .map_err(|wrong| self.found.push(*wrong))
                .ok()
            else {
                continue;
            };
            if let Some(first) = parts.get(&id.value) {
                self.found.push(twice(key, first.id.span));
                continue;
            }
            let part = self.part(id, value);
            parts.insert(key.value.clone(), part);
        }
        parts
    }

    fn part(&mut self, id: Spanned<String>, node: &Node) -> Part {
        let fields = Fields::of(node, &KEYS, id.span, self.found);
        let what = fields.need("what", "`what:` and a few words", self.found);
        let what = what
            .and_then(|node| node.text("a few words", self.found))
            .map(str::to_owned);
        Part {
            what: what.unwrap_or_else(|| id.value.clone()),
            from: self.words(&fields, "from"),
            number: self.words(&fields, "number"),
            serial: self.words(&fields, "serial"),
            mass: fields.get("mass").and_then(|node| self.mass(node)),
            cost: fields.get("cost").and_then(|node| self.cost(node)),
            supplied: fields
                .get("supplied")
                .and_then(|node| self.supplied(node))
                .unwrap_or_default(),
            lead: fields
                .get("lead")
                .and_then(|node| node.read("build days, for example `5 days`", self.found, lead)),
            need: fields.get("need").and_then(|node| {
                node.read("a build day, for example `day 3`", self.found, values::day)
            }),
            ratings: fields
                .get("ratings")
                .map(|node| self.ratings(node))
                .unwrap_or_default(),
            id,
        }
    }

    fn words(&mut self, fields: &Fields, key: &str) -> Option<String> {
        fields
            .get(key)
            .and_then(|node| node.text("a few words", self.found))
            .map(str::to_owned)
    }

    fn literal(&mut self, node: &Node) -> Option<Spanned<Literal>> {
        node.text("a number with its unit, for example `41 kg`", self.found)?;
        values::literal(self.sources, node.span, &self.units, self.found)
    }

    fn mass(&mut self, node: &Node) -> Option<Spanned<Literal>> {
        let mass = self.literal(node)?;
        let kilogram = Literal::read("1 kg", &self.units).ok()?;
        if mass.value.unit.dimension != kilogram.unit.dimension {
            let wrong = Diagnostic::error(Slug::UnitMismatch, node.span, "this is not a mass");
            self.found
                .push(wrong.expected("a mass, for example `41 kg`"));
            return None;
        }
        if mass.value.nominal < 0.0 {
            let wrong = Diagnostic::error(Slug::BadValue, node.span, "a mass cannot be negative");
            self.found
                .push(wrong.expected("a mass, for example `41 kg`"));
            return None;
        }
        Some(mass)
    }

    fn cost(&mut self, node: &Node) -> Option<Spanned<rust_decimal::Decimal>> {
        let expected = "an amount, for example 8200.00";
        let text = node.text(expected, self.found)?;
        let amount = values::money(text, self.currency);
        if amount.is_none() {
            let comma = text.contains(',');
            let (slug, message) = if comma {
                (Slug::DecimalComma, "use a decimal point, not a comma")
            } else {
                (Slug::BadValue, "this is not an amount of money")
            };
            let meant = comma
                .then(|| text.replacen(',', ".", 1))
                .filter(|meant| values::money(meant, self.currency).is_some());
            let wrong = Diagnostic::error(slug, node.span, message)
                .expected(format!("{expected}, in {}", self.currency));
            self.found.push(wrong.maybe_instead(meant));
        }
        Some(Spanned::new(amount?, node.span))
    }

    fn supplied(&mut self, node: &Node) -> Option<Supplied> {
        let all = [
            Supplied::Bought,
            Supplied::Given,
            Supplied::Lent,
            Supplied::Owned,
        ];
        let word = |text: &str| all.into_iter().find(|supplied| supplied.word() == text);
        node.read("bought, given, lent or owned", self.found, word)
    }

    fn ratings(&mut self, node: &Node) -> BTreeMap<String, Spanned<Literal>> {
        let mut ratings: BTreeMap<String, Spanned<Literal>> = BTreeMap::new();
        let Value::Map(entries) = &node.value else {
            let wrong = Diagnostic::error(Slug::BadValue, node.span, "these are not ratings");
            self.found
                .push(wrong.expected("`{torque: 370 N-m, speed: 8000 rpm}`"));
            return ratings;
        };
        for (key, value) in entries {
            if let Err(wrong) = ids::old_id(&key.value, key.span) {
                self.found.push(*wrong);
            } else if ["mass", "cost"].contains(&key.value.as_str()) {
                let wrong = Diagnostic::error(
                    Slug::Reserved,
                    key.span,
                    format!("`{}` is a key of every part, not a rating", key.value),
                );
                self.found
                    .push(wrong.expected("the key beside `what`, not under `ratings`"));
            } else if let Some(first) = ratings.get(&key.value) {
                self.found.push(twice(key, first.span));
            } else if let Some(rating) = self.literal(value) {
                ratings.insert(key.value.clone(), rating);
            }
        }
        ratings
    }
}

/// The days in `5 days`.
fn lead(text: &str) -> Option<u32> {
    let number = text.trim_end_matches('s');
    let number = number.strip_suffix("day").unwrap_or(text).trim_end();
    values::plain_number(number).filter(|days| *days <= MOST_DAYS)
}
