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
    all()
        .into_iter()
        .find(|row| row.id == id)
        .unwrap_or_else(|| panic!("no row {id} in the data file"))
}

impl Row {
    /// The published figures.
    pub fn expected(&self) -> &[f64] {
        match &self.expected {
            Expected::One(figure) => std::slice::from_ref(figure),
            Expected::Several(figures) => figures,
        }
    }

    /// How far the figure at a place may lie from the published one: `abs 0.1; rel 1e-6`, the last
    /// for all that follow.
    fn allowed(&self, place: usize, expected: f64) -> f64 {
        let each: Vec<&str> = self.tolerance.split("; ").collect();
        let mut words = each[place.min(each.len() - 1)].split(' ');
        match (
            words.next(),
            words.next().and_then(|word| word.parse::<f64>().ok()),
        ) {
            (Some("abs"), Some(step)) => step,
            (Some("rel"), Some(share)) => share * expected.abs(),
            // Exact in decimal figures; in binary ones it takes a few roundings.
            (Some("exact"), _) => 1e-14 * expected.abs(),
            _ => panic!(
                "{}: the tolerance {:?} cannot be read",
                self.id, self.tolerance
            ),
        }
    }

    /// Holds figures against the row, one after another.
    pub fn hold(&self, found: &[f64]) {
        let expected = self.expected();
        assert!(
            found.len() >= expected.len(),
            "{}: only {found:?} is held against {expected:?}",
            self.id
        );
        self.hold_first(found);
    }

    /// The same, where there may be fewer figures than the row has.
    pub fn hold_first(&self, found: &[f64]) {
        for (found, (place, expected)) in
            found.iter().zip(self.expected().iter().enumerate().cycle())
        {
            assert!(
                (found - expected).abs() <= self.allowed(place, *expected),
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
        row(self.row).hold(&self.found());
    }

    /// The same, where the block may give fewer figures than the row has.
    pub fn run_first(&self) {
        row(self.row).hold_first(&self.found());
    }

    fn found(&self) -> Vec<f64> {
        let bench = work(&[self.sums]);
        assert!(
            bench.diagnostics.is_empty(),
            "row {}: {:?}",
            self.row,
            bench.said()
        );
        self.gives.iter().map(|gives| gives.of(&bench)).collect()
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
