//! A new job that is most likely an old one, its id misspelt.
//!
//! In: a job added by a log, and the jobs before it. Out: the job that was meant, where the id is
//! clearly a slip of the finger (a letter left out, one typed twice, two neighbours swapped) and
//! the titles are nearly the same. Short ids and ids with figures are let be: `fit_a` and `fit_b`,
//! `bolt_1` and `bolt_11` are mostly what they say.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::Job;

/// Shorter ids differ by a letter too often.
const SHORTEST: usize = 6;
/// Nobody types a longer one by hand.
const LONGEST: usize = 40;

/// The ids so far, each with one letter left out. Filled only once a job is added.
#[derive(Clone, Debug, Default)]
pub(super) struct Misspelt {
    shortened: Arc<BTreeMap<String, usize>>,
    looked_at: usize,
}

impl Misspelt {
    /// The job that was meant; `jobs` are those before it.
    pub(super) fn meant<'j>(
        &mut self,
        new: &Job,
        jobs: &'j [Arc<Job>],
        by_id: &BTreeMap<String, usize>,
    ) -> Option<&'j Job> {
        if !can_be_told(&new.id) {
            return None;
        }
        self.look_at(jobs);
        let left_out = self.shortened.get(&new.id).copied();
        let typed_otherwise = || {
            doubled(&new.id)
                .chain(swapped(&new.id))
                .find_map(|id| by_id.get(&id).copied())
        };
        let meant = jobs.get(left_out.or_else(typed_otherwise)?)?;
        nearly_same(&meant.title, &new.title).then_some(meant)
    }

    fn look_at(&mut self, jobs: &[Arc<Job>]) {
        for (index, job) in jobs
            .iter()
            .enumerate()
            .skip(self.looked_at)
            .filter(|(_, job)| can_be_told(&job.id))
        {
            for at in 0..job.id.len() {
                Arc::make_mut(&mut self.shortened)
                    .entry(without(&job.id, at))
                    .or_insert(index);
            }
        }
        self.looked_at = jobs.len();
    }
}

/// Ids are of plain letters; other words are no ids and were refused before.
fn can_be_told(id: &str) -> bool {
    (SHORTEST..=LONGEST).contains(&id.len())
        && id.bytes().all(|b| b.is_ascii_alphabetic() || b == b'_')
}

fn without(id: &str, at: usize) -> String {
    id.chars()
        .enumerate()
        .filter(|(index, _)| *index != at)
        .map(|(_, letter)| letter)
        .collect()
}

/// The id without one of each two same letters that stand together.
fn doubled(id: &str) -> impl Iterator<Item = String> {
    let letters = id.as_bytes();
    let twice = (1..letters.len()).filter(|at| letters[*at] == letters[at - 1]);
    twice.map(|at| without(id, at))
}

/// The id with each two neighbours swapped.
fn swapped(id: &str) -> impl Iterator<Item = String> {
    (1..id.len()).map(|at| {
        let mut letters: Vec<char> = id.chars().collect();
        letters.swap(at - 1, at);
        letters.into_iter().collect()
    })
}

/// Are two of three words the same, whatever their case?
fn nearly_same(one: &str, other: &str) -> bool {
    let [one, other] = [one, other].map(words);
    let same = one.intersection(&other).count();
    same > 0 && 3 * same >= 2 * one.len().max(other.len())
}

fn words(title: &str) -> BTreeSet<String> {
    let words = title
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}
