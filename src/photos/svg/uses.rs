//! How often things are drawn that stand in an SVG once.
//!
//! In: which named thing holds or leads to which. Out: whether it stays within reason: ten things
//! that each use the next ten times are ten lines to write and ten thousand million to draw.

use std::collections::BTreeMap;

/// The most things that are drawn by way of others.
const MOST: u64 = 100_000;
/// How many may lead on to each other.
const LONGEST: usize = 64;

/// What leads to what; the name of the whole is empty.
#[derive(Default)]
pub(super) struct Uses {
    leads_to: BTreeMap<String, Vec<String>>,
}

impl Uses {
    /// Says that a named thing holds another, or leads to it.
    pub(super) fn holds(&mut self, name: &str, other: &str) {
        self.leads_to
            .entry(name.to_owned())
            .or_default()
            .push(other.to_owned());
    }

    /// Are they drawn within reason, and none by way of itself?
    pub(super) fn are_few(&self) -> bool {
        let mut known = BTreeMap::new();
        self.leads_to
            .keys()
            .all(|name| self.drawn(name, LONGEST, &mut known).is_some())
    }

    /// How many things are drawn with one; `None` for too many.
    fn drawn<'a>(
        &'a self,
        name: &'a str,
        steps: usize,
        known: &mut BTreeMap<&'a str, u64>,
    ) -> Option<u64> {
        if let Some(count) = known.get(name) {
            return Some(*count);
        }
        let steps = steps.checked_sub(1)?;
        let mut count: u64 = 1;
        for other in self.leads_to.get(name).into_iter().flatten() {
            count += self.drawn(other, steps, known)?;
            if count > MOST {
                return None;
            }
        }
        known.insert(name, count);
        Some(count)
    }
}
