//! One walk through what is left, in a given order.
//!
//! In: the tasks in the order they are taken up, and a factor for each. Out: when each begins and
//! ends, and what it had to wait for. Each task begins as soon as its parts are in, what it follows
//! is done and its people have finished what they took up before. Laid out as arrays, for it is
//! walked some thousand times; one walk looks at each task once.

use super::clock::{self, Moment};
use super::remaining::{Left, still};

/// A task as the walk needs it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Step {
    /// Clock seconds of the whole job.
    pub(super) takes: u32,
    /// Of those, done.
    pub(super) spent: u32,
    window: u32,
    /// The first day its parts are in on.
    pub(super) ready_day: u32,
    before_end: u32,
    people_end: u32,
    /// Whom the plan gives a job that anybody can do.
    anybody: Option<u32>,
}

/// The tasks in the order they are taken up.
#[derive(Clone, Debug)]
pub(super) struct Steps {
    pub(super) tomorrow: u32,
    pub(super) steps: Vec<Step>,
    /// The task of each step.
    pub(super) tasks: Vec<usize>,
    before: Vec<u32>,
    people: Vec<u32>,
    windows: Vec<u32>,
}

/// What a step had to wait for, in one number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Wait(u32);

const BY_HANDS: u32 = 1 << 31;

impl Wait {
    const NOTHING: Self = Self(u32::MAX);
    const PART: Self = Self(u32::MAX - 1);

    /// A part of its own.
    pub(super) fn is_part(self) -> bool {
        self == Self::PART
    }

    /// The step it had to wait for.
    pub(super) fn step(self) -> Option<usize> {
        (self.0 < Self::PART.0).then_some((self.0 & !BY_HANDS) as usize)
    }

    /// Did it wait for that step's people only?
    pub(super) fn is_for_hands(self) -> bool {
        self.0 < Self::PART.0 && self.0 & BY_HANDS != 0
    }
}

/// Where one walk writes; used again for the next.
#[derive(Clone, Debug)]
pub(super) struct Track {
    pub(super) start: Vec<Moment>,
    pub(super) finish: Vec<Moment>,
    pub(super) wait: Vec<Wait>,
    /// Who did a job that anybody could do.
    pub(super) taken_by: Vec<u32>,
    free: Vec<(Moment, u32)>,
}

impl Steps {
    /// Lays the tasks out; `order` keeps to `follows`, `who` does the jobs that anybody can do.
    pub(super) fn lay_out(left: &Left, order: &[usize], who: &[u32]) -> Self {
        let mut place = vec![0_u32; left.tasks.len()];
        for (step, task) in order.iter().enumerate() {
            place[*task] = step as u32;
        }
        let mut laid = Self {
            tomorrow: left.tomorrow,
            steps: Vec::with_capacity(order.len()),
            tasks: order.to_vec(),
            before: Vec::new(),
            people: Vec::new(),
            windows: left.crew.iter().map(|person| person.window).collect(),
        };
        for index in order {
            let task = &left.tasks[*index];
            laid.before
                .extend(task.before.iter().map(|first| place[*first]));
            laid.people.extend(&task.people);
            laid.steps.push(Step {
                takes: task.takes,
                spent: task.spent,
                window: task.window,
                ready_day: clock::day_of(task.ready),
                before_end: laid.before.len() as u32,
                people_end: laid.people.len() as u32,
                anybody: task.people.is_empty().then(|| who[*index]),
            });
        }
        laid
    }

    /// The people of a step: those named, else the one who took it.
    pub(super) fn people_of(&self, step: usize, track: &Track) -> Vec<u32> {
        if self.steps[step].anybody.is_some() {
            return vec![track.taken_by[step]];
        }
        let from = step
            .checked_sub(1)
            .map_or(0, |last| self.steps[last].people_end as usize);
        self.people[from..self.steps[step].people_end as usize].to_vec()
    }

    /// Somewhere to write.
    pub(super) fn track(&self) -> Track {
        let steps = self.steps.len();
        Track {
            start: vec![0; steps],
            finish: vec![0; steps],
            wait: vec![Wait::NOTHING; steps],
            taken_by: vec![0; steps],
            free: vec![(0, 0); self.windows.len()],
        }
    }

    /// Walks; `factor` is asked once for each step in turn, in 4096ths. Gives the last step to be
    /// done.
    #[inline]
    pub(super) fn walk(&self, track: &mut Track, mut factor: impl FnMut() -> u64) -> Option<usize> {
        let dawn = clock::morning(self.tomorrow);
        track.free.fill((dawn, Wait::NOTHING.0));
        let (mut before, mut people) = (&self.before[..], &self.people[..]);
        let (mut befores_seen, mut people_seen) = (0, 0);
        let mut last: Option<(Moment, usize)> = None;
        for (index, step) in self.steps.iter().enumerate() {
            let (its_before, rest) = before.split_at((step.before_end - befores_seen) as usize);
            let (its_people, others) = people.split_at((step.people_end - people_seen) as usize);
            (before, befores_seen, people, people_seen) =
                (rest, step.before_end, others, step.people_end);
            let (from, wait) = after_what_it_follows(step, its_before, &track.finish, dawn);
            let left = still(step.takes, step.spent, factor());
            let (start, finish, wait) = match step.anybody {
                Some(planned) => self.by_anybody(index, planned, left, (from, wait), track),
                None => {
                    by_those_named(step, its_people, index, left, (from, wait), &mut track.free)
                }
            };
            (track.start[index], track.finish[index], track.wait[index]) = (start, finish, wait);
            if last.is_none_or(|(latest, _)| finish > latest) {
                last = Some((finish, index));
            }
        }
        last.map(|(_, index)| index)
    }

    /// Whoever can begin first; of those the one the plan gives it to, else the first of the crew.
    fn by_anybody(
        &self,
        index: usize,
        planned: u32,
        left: u64,
        (from, wait): (Moment, Wait),
        track: &mut Track,
    ) -> (Moment, Moment, Wait) {
        let begins = |person: u32| {
            let window = self.windows[person as usize];
            clock::work(from.max(track.free[person as usize].0), left, window).0
        };
        let people = 0..self.windows.len() as u32;
        let person = people
            .min_by_key(|person| (begins(*person), *person != planned))
            .unwrap_or(planned);
        let (free, held_by) = track.free[person as usize];
        let wait = if free > from {
            Wait(held_by | BY_HANDS)
        } else {
            wait
        };
        let (start, finish) = clock::work(from.max(free), left, self.windows[person as usize]);
        track.free[person as usize] = (finish, index as u32);
        track.taken_by[index] = person;
        (start, finish, wait)
    }
}

#[inline]
fn after_what_it_follows(
    step: &Step,
    before: &[u32],
    finish: &[Moment],
    dawn: Moment,
) -> (Moment, Wait) {
    let ready = clock::morning(step.ready_day);
    let (mut from, mut wait) = if ready > dawn {
        (ready, Wait::PART)
    } else {
        (dawn, Wait::NOTHING)
    };
    for first in before {
        let done = finish[*first as usize];
        if done >= from {
            (from, wait) = (done, Wait(*first));
        }
    }
    (from, wait)
}

#[inline]
fn by_those_named(
    step: &Step,
    people: &[u32],
    index: usize,
    left: u64,
    (mut from, mut wait): (Moment, Wait),
    free: &mut [(Moment, u32)],
) -> (Moment, Moment, Wait) {
    for person in people {
        let (free, held_by) = free[*person as usize];
        if free > from {
            (from, wait) = (free, Wait(held_by | BY_HANDS));
        }
    }
    let (start, finish) = clock::work(from, left, step.window);
    for person in people {
        free[*person as usize] = (finish, index as u32);
    }
    (start, finish, wait)
}

impl Track {
    /// The steps that decided when `last` was done, backwards, each waiting for the next.
    pub(super) fn chain(&self, last: Option<usize>) -> impl Iterator<Item = usize> {
        std::iter::successors(last, |step| self.wait[*step].step())
    }
}
