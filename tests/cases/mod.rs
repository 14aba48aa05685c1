//! How many random cases a test tries, and which.
//!
//! In: the variable `SHIMBOOK_CASES` (`quick`, `middle` or `full`; `quick` if it is not set), the
//! variable `SHIMBOOK_SEED` (a whole number; 0 if it is not set), and the cases that once failed.
//! Out: the seeds that a test tries, or the settings of a proptest. What always holds: the same
//! variables give the same cases, and a case that once failed is tried at each size.
//!
//! Cases that once failed are in `tests/cases/failed.txt` (seeds of books) and in
//! `tests/cases/failed/` (written by proptest). Both belong into the repository.
#![allow(
    dead_code,
    clippy::disallowed_methods,
    reason = "each test target uses a part of it; the environment says how many cases there are"
)]

use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::str::FromStr;

use proptest::test_runner::{Config, FileFailurePersistence, RngSeed};
use rayon::prelude::*;

/// The file of the seeds that once failed, as it was when the tests were built.
const FAILED: &str = include_str!("failed.txt");
/// The seed of every proptest, before `SHIMBOOK_SEED` is added.
const DICE: u64 = 20_310_502;
/// No test tries fewer books than this, unless its full number is smaller.
const FEWEST: u64 = 4;
/// No proptest tries fewer cases than this, unless its full number is smaller.
const FEWEST_THROWS: u64 = 64;

/// How many of its cases a test tries.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    /// A tenth.
    Quick,
    /// A third.
    Middle,
    /// All.
    Full,
}

impl FromStr for Size {
    type Err = String;

    fn from_str(word: &str) -> Result<Self, String> {
        match word {
            "quick" => Ok(Self::Quick),
            "middle" => Ok(Self::Middle),
            "full" => Ok(Self::Full),
            _ => Err(format!(
                "SHIMBOOK_CASES is `{word}`; write `quick`, `middle` or `full`"
            )),
        }
    }
}

impl Size {
    /// The number of cases of a test that has `full` cases.
    fn of(self, full: u64) -> u64 {
        let share = match self {
            Self::Quick => full / 10,
            Self::Middle => full / 3,
            Self::Full => full,
        };
        share.max(FEWEST.min(full))
    }
}

/// The number of repetitions of a test that has `full` of them.
pub(crate) fn count(full: u64) -> u64 {
    size().of(full)
}

/// The size that the environment asks for.
fn size() -> Size {
    std::env::var("SHIMBOOK_CASES").map_or(Size::Quick, |word| {
        word.parse().unwrap_or_else(|wrong| panic!("{wrong}"))
    })
}

/// The first seed that the environment asks for.
fn first_seed() -> u64 {
    std::env::var("SHIMBOOK_SEED").map_or(0, |number| {
        number
            .parse()
            .unwrap_or_else(|_| panic!("SHIMBOOK_SEED is `{number}`; write a whole number"))
    })
}

/// The seeds in `text` that failed in tests called `name`: one `NAME SEED` in each line, and
/// comments behind `#`.
pub(crate) fn failed(text: &str, name: &str) -> Vec<u64> {
    let lines = text
        .lines()
        .map(|line| line.split('#').next().unwrap_or_default().trim());
    lines
        .filter(|line| !line.is_empty())
        .map(|line| {
            line.split_once(' ')
                .and_then(|(name, seed)| Some((name, seed.trim().parse().ok()?)))
                .unwrap_or_else(|| panic!("failed.txt: `{line}` is not a name and a seed"))
        })
        .filter_map(|(of, seed)| (of == name).then_some(seed))
        .collect()
}

/// The seeds that tests called `name` try: those that once failed, then as many of `full` as the
/// environment asks for.
pub(crate) fn seeds(name: &str, full: u64) -> Vec<u64> {
    let (first, count) = (first_seed(), count(full));
    let mut seeds = failed(FAILED, name);
    seeds.extend((0..count).map(|step| first.wrapping_add(step)));
    seeds
}

/// Makes something of each seed, side by side; a panic says which line to add to `failed.txt`.
pub(crate) fn of_each<T: Send>(name: &str, full: u64, make: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let tried = |seed| {
        catch_unwind(AssertUnwindSafe(|| make(seed))).unwrap_or_else(|panic| {
            eprintln!("seed {seed} fails; add the line `{name} {seed}` to tests/cases/failed.txt");
            resume_unwind(panic)
        })
    };
    seeds(name, full).into_par_iter().map(tried).collect()
}

/// The settings of a proptest of `full` cases in the test target `target`.
pub(crate) fn dice(target: &str, full: u32) -> Config {
    let kept = format!(
        "{}/tests/cases/failed/{target}.txt",
        env!("CARGO_MANIFEST_DIR")
    );
    Config {
        cases: count(full.into()).max(FEWEST_THROWS.min(full.into())) as u32,
        rng_seed: RngSeed::Fixed(DICE.wrapping_add(first_seed())),
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(kept.leak()))),
        ..Config::default()
    }
}

#[test]
fn a_case_that_once_failed_is_tried_first_and_a_full_run_tries_all() {
    let text = "# a comment\n\nagree 17 # the margin was rounded up\nagain 3\nagree 4\n";
    assert_eq!(failed(text, "agree"), [17, 4]);
    assert_eq!(failed(text, "hostile"), [0; 0]);
    let sizes = |full| [Size::Quick, Size::Middle, Size::Full].map(|size| size.of(full));
    assert_eq!(sizes(300), [30, 100, 300]);
    assert_eq!(sizes(12), [4, 4, 12]);
    assert_eq!(sizes(3), [3, 3, 3]);
}
