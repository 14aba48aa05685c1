//! How many checks were not in limits at each day's end.
//!
//! In: the verdicts of every check. Out: counts by day, added up once: a day's page does not go through all checks.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::calc::{Check, Verdict};

/// Counts by the day from which they hold.
pub(super) struct Standing(BTreeMap<u32, Counts>);

/// How many checks stood so.
#[derive(Clone, Copy, Default)]
pub(super) struct Counts {
    pub(super) out: usize,
    pub(super) close: usize,
}

impl Counts {
    fn add(&mut self, verdict: Verdict) {
        self.out += usize::from(verdict == Verdict::OutOfLimits);
        self.close += usize::from(verdict == Verdict::TooClose);
    }
}

/// Checks that came to stand so on a day, and that no longer did.
#[derive(Default)]
struct Change {
    came: Counts,
    went: Counts,
}

impl Standing {
    pub(super) fn of(checks: &[Arc<Check>]) -> Self {
        let mut counts = Counts::default();
        let running = changes(checks).into_iter().map(|(day, Change { came, went })| {
            counts = Counts { out: counts.out + came.out - went.out, close: counts.close + came.close - went.close };
            (day, counts)
        });
        Self(running.collect())
    }

    /// At the end of a day.
    pub(super) fn on(&self, day: u32) -> Counts {
        self.0.range(..=day).next_back().map_or_else(Counts::default, |(_, counts)| *counts)
    }
}

fn changes(checks: &[Arc<Check>]) -> BTreeMap<u32, Change> {
    let mut changes: BTreeMap<u32, Change> = BTreeMap::new();
    for check in checks {
        let mut before = None;
        for judgement in &check.judgements {
            let change = changes.entry(judgement.day).or_default();
            change.came.add(judgement.verdict);
            if let Some(verdict) = before {
                change.went.add(verdict);
            }
            before = Some(judgement.verdict);
        }
    }
    changes
}
