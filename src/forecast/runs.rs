//! Some thousand ways it could go.
//!
//! In: the steps and the pace. Out: for every run when it ends and what decided that. In a run each
//! job takes its planned hours times a factor of its own, times one for the whole run, for nobody
//! knows the crew's pace exactly. The seed is fixed: the same book gives the same runs. The crew
//! keeps to the order of the schedule in every run; a crew that would change its order does a
//! little better.

use rayon::prelude::*;

use super::clock::{self, Moment};
use super::draw::{Bits, Factors, ONE_BITS};
use super::learn::Pace;
use super::steps::{Steps, Track};

/// How many runs.
pub const RUNS: u32 = 2000;

/// Runs that one thread takes at once.
const TAKEN_AT_ONCE: usize = 250;

/// What chance is drawn from.
#[derive(Clone, Debug)]
pub(super) struct Chance {
    of_a_job: Factors,
    of_a_run: Factors,
}

/// What the runs came to. Counts are by step.
#[derive(Clone, Debug, Default)]
pub(super) struct Tally {
    /// When each run ended, earliest first.
    pub(super) ends: Vec<Moment>,
    /// In how many runs the step was on the chain that decided the end.
    pub(super) on_chain: Vec<u32>,
    /// In how many late ones.
    pub(super) on_late_chain: Vec<u32>,
    /// In how many runs that chain began with a wait for the step's part.
    pub(super) for_part: Vec<u32>,
    /// In how many late ones.
    pub(super) for_part_late: Vec<u32>,
    /// How many runs were late.
    pub(super) late: u32,
}

impl Chance {
    pub(super) fn at(pace: &Pace) -> Self {
        Self {
            of_a_job: Factors::new(0.0, pace.sd),
            of_a_run: Factors::new(pace.mean, pace.mean_sd),
        }
    }
}

/// One run; gives the last step to be done.
#[inline]
fn run(steps: &Steps, chance: &Chance, number: u32, track: &mut Track) -> Option<usize> {
    let mut bits = Bits::of_run(number);
    let whole = chance.of_a_run.draw(&mut bits);
    steps.walk(track, || {
        (chance.of_a_job.draw(&mut bits) * whole) >> ONE_BITS
    })
}

/// When the first `runs` runs end, earliest first.
pub(super) fn ends(steps: &Steps, chance: &Chance, runs: u32) -> Vec<Moment> {
    let mut track = steps.track();
    let mut end = |number| run(steps, chance, number, &mut track).map(|last| track.finish[last]);
    let mut ends: Vec<Moment> = (0..runs).filter_map(&mut end).collect();
    ends.sort_unstable();
    ends
}

/// All runs; late are those that end after `deadline`.
pub(super) fn all(steps: &Steps, chance: &Chance, deadline: u32) -> Tally {
    let start = || (Tally::of(steps.steps.len()), steps.track());
    let numbers = (0..RUNS).into_par_iter().with_min_len(TAKEN_AT_ONCE);
    let parts = numbers.fold(start, |(mut tally, mut track), number| {
        let last = run(steps, chance, number, &mut track);
        tally.count(&track, last, deadline);
        (tally, track)
    });
    let mut tally = parts
        .map(|(tally, _)| tally)
        .reduce(|| Tally::of(steps.steps.len()), Tally::and);
    tally.ends.sort_unstable();
    tally
}

impl Tally {
    fn of(steps: usize) -> Self {
        let none = || vec![0; steps];
        Self {
            ends: Vec::new(),
            on_chain: none(),
            on_late_chain: none(),
            for_part: none(),
            for_part_late: none(),
            late: 0,
        }
    }

    fn count(&mut self, track: &Track, last: Option<usize>, deadline: u32) {
        let Some(end) = last.map(|last| track.finish[last]) else {
            return;
        };
        let late = u32::from(clock::day_of(end) > deadline);
        self.ends.push(end);
        self.late += late;
        for step in track.chain(last) {
            self.on_chain[step] += 1;
            self.on_late_chain[step] += late;
            if track.wait[step].is_part() {
                self.for_part[step] += 1;
                self.for_part_late[step] += late;
            }
        }
    }

    fn and(mut self, other: Self) -> Self {
        let add = |to: &mut [u32], from: &[u32]| {
            to.iter_mut().zip(from).for_each(|(to, from)| *to += from);
        };
        self.ends.extend(other.ends);
        add(&mut self.on_chain, &other.on_chain);
        add(&mut self.on_late_chain, &other.on_late_chain);
        add(&mut self.for_part, &other.for_part);
        add(&mut self.for_part_late, &other.for_part_late);
        self.late += other.late;
        self
    }
}

/// The end by which a share of the runs is over, of ends in order (nearest rank).
pub(super) fn quantile(ends: &[Moment], share: f64) -> Option<Moment> {
    let rank = (share * ends.len() as f64).ceil() as usize;
    ends.get(rank.saturating_sub(1)).copied()
}
