//! The rows of the data file, and how a sums block is held against one.

use serde::Deserialize;

use crate::bench::{Bench, work};

/// A published figure.
#[derive(Debug, Deserialize)]
pub struct Row {
    pub id: String,
    pub quantity: String,
    expected: Expected,
    tolerance: String,
    pub source: String,
    pub how: String,
}

#[derive(Debug, Deserialize)]
#[serde(untagged)]
enum Expected {
    One(f64),
    Several(Vec<f64>),
}

/// A sums block that must come to what a row says.
pub struct Held {
    /// The row's id.
    pub row: &'static str,
    /// The sums block.
    pub sums: &'static str,
    /// What of it is held against the row's figures, one after another, and again from the first.
    pub gives: &'static [Gives],
}

/// What of a name is looked at, in the unit it is shown in.
pub enum Gives {
    /// The nominal value.
    Value(&'static str),
    /// The worst-case spread.
    Worst(&'static str),
    /// The root-sum-square spread.
    Rss(&'static str),
    /// The value at the upper end of its worst-case spread.
    Highest(&'static str),
    /// The value at the lower end of its worst-case spread.
    Lowest(&'static str),
}

/// Every row of the data file.
pub fn all() -> Vec<Row> {
    serde_json::from_str(include_str!("published-checks.json")).expect("the data file is JSON")
}

/// The row of that id.
pub fn row(id: &str) -> Row {
    all().into_iter().find(|row| row.id == id).unwrap_or_else(|| panic!("no row {id} in the data file"))
}

impl Row {
    /// The published figures.
    pub fn expected(&self) -> &[f64] {
        match &self.expected {
            Expected::One(figure) => std::slice::from_ref(figure),
            Expected::Several(figures) => figures,
        }
    }

    /// How far a figure may lie from the published one.
    fn allowed(&self, expected: f64) -> f64 {
        let mut words = self.tolerance.split([' ', ';']);
        match (words.next(), words.next().and_then(|word| word.parse::<f64>().ok())) {
            (Some("abs"), Some(step)) => step,
            (Some("rel"), Some(share)) => share * expected.abs(),
            // Exact in decimal figures; in binary ones it takes a few roundings.
            (Some("exact"), _) => 1e-14 * expected.abs(),
            _ => panic!("{}: the tolerance {:?} cannot be read", self.id, self.tolerance),
        }
    }

    /// Holds figures against the row, one after another.
    pub fn hold(&self, found: &[f64]) {
        let expected = self.expected();
        assert!(found.len() >= expected.len(), "{}: only {found:?} is held against {expected:?}", self.id);
        for (found, expected) in found.iter().zip(expected.iter().cycle()) {
            assert!(
                (found - expected).abs() <= self.allowed(*expected),
                "row {} ({}): {found} instead of {expected} ({}); source: {}; known: {}",
                self.id,
                self.quantity,
                self.tolerance,
                self.source,
                self.how
            );
        }
    }
}

impl Held {
    /// Works the block out and holds it against its row.
    pub fn run(&self) {
        let bench = work(&[self.sums]);
        assert!(bench.diagnostics.is_empty(), "row {}: {:?}", self.row, bench.said());
        let found: Vec<f64> = self.gives.iter().map(|gives| gives.of(&bench)).collect();
        row(self.row).hold(&found);
    }
}

impl Gives {
    fn of(&self, bench: &Bench) -> f64 {
        match self {
            Self::Value(name) => bench.shown(name),
            Self::Worst(name) => bench.worst(name).half_width(),
            Self::Rss(name) => bench.rss(name).half_width(),
            Self::Highest(name) => bench.shown(name) + bench.worst(name).up,
            Self::Lowest(name) => bench.shown(name) - bench.worst(name).down,
        }
    }
}
