//! The same trees in plain doubles: no dimension, no spread, no verdict.
//!
//! In: a worked book. Out: its formulas in the order they were worked out, ready to be walked
//! again.

use std::collections::BTreeMap;

use shimbook::calc::{Content, Known, NameId, Results, Version, plain};

/// Every moment of every name, in the order of the book.
pub struct Trees<'w> {
    moments: Vec<(usize, &'w Version)>,
    names: usize,
}

pub fn trees(worked: &Results) -> Trees<'_> {
    let mut moments: Vec<(usize, &Version)> = worked
        .values
        .iter()
        .enumerate()
        .flat_map(|(name, story)| story.moments.iter().map(move |moment| (name, moment)))
        .collect();
    moments.sort_by_key(|(_, moment)| moment.step);
    Trees {
        moments,
        names: worked.values.len(),
    }
}

impl Trees<'_> {
    /// Walks all of them once; the sum keeps the work from being left out.
    pub fn evaluate(&self) -> f64 {
        let mut now = vec![0.0; self.names];
        for (name, moment) in &self.moments {
            now[*name] = match (&moment.defined.content, &moment.known) {
                (Content::Formula { expr, .. }, _) => {
                    plain(expr, &|_, name| Some(now[name.index()])).unwrap_or(0.0)
                }
                (_, Known::Value(known)) => known.nominal,
                _ => 0.0,
            };
        }
        now.iter().sum()
    }
}

/// The measured name that most formulas read.
pub fn busiest_reading(worked: &Results) -> String {
    let mut readers: BTreeMap<usize, usize> = BTreeMap::new();
    for moment in worked
        .values
        .iter()
        .filter_map(|story| story.moments.last())
    {
        for read in calc_reads(&moment.defined.content) {
            *readers.entry(read).or_default() += 1;
        }
    }
    let measured = worked.names.iter().filter(|(_, id)| {
        worked
            .latest(*id)
            .is_some_and(|now| now.defined.state.word() == "measured")
    });
    let busiest = measured.max_by_key(|(_, id)| readers.get(&id.index()).copied().unwrap_or(0));
    busiest.map(|(text, _)| text.to_owned()).unwrap()
}

fn calc_reads(content: &Content) -> Vec<usize> {
    shimbook::calc::names_read(content)
        .into_iter()
        .map(NameId::index)
        .collect()
}
