//! Early and late times: the critical path method, a node a job.
//!
//! In: what is left. Out: for each open job its early and late start and finish and its slack, in
//! hours of work from tomorrow morning, and every job without slack. Hands are not limited here;
//! that is the schedule's. A part that comes in later holds its jobs back by whole days of those
//! who do them. Forward and backward pass after Kelley and Walker (Proc. Eastern Joint Computer
//! Conference, 1959).

use std::collections::BTreeSet;

use super::clock;
use super::remaining::{Left, Task};

/// One open job in the network. Hours from tomorrow morning.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Its id.
    pub job: String,
    /// Clock hours left of it, everybody named at work on it.
    pub hours: f64,
    /// The earliest it can begin.
    pub early_start: f64,
    /// The earliest it can be done.
    pub early_finish: f64,
    /// The latest it can begin without moving the end.
    pub late_start: f64,
    /// The latest it can be done without moving the end.
    pub late_finish: f64,
    /// By how much it can slip without moving the end.
    pub slack: f64,
}

/// The open jobs, with nobody's hours limited.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Network {
    /// The jobs, in the order of the job list.
    pub nodes: Vec<Node>,
    /// Every job without slack and with hours; there may be more than one chain in it.
    pub critical: BTreeSet<String>,
    /// Awaited parts that hold a job without slack back.
    pub critical_parts: BTreeSet<String>,
    /// Hours from tomorrow morning to the end.
    pub length: f64,
}

/// The same in whole seconds, by task.
#[derive(Clone, Debug)]
pub(super) struct Times {
    early: Vec<u64>,
    pub(super) late: Vec<u64>,
    length: u64,
    /// What follows each task.
    pub(super) after: Vec<Vec<usize>>,
}

/// Both passes.
pub(super) fn passes(left: &Left) -> Times {
    let (order, after) = in_order(left);
    let early = forward(left, &order);
    let ends = left
        .tasks
        .iter()
        .zip(&early)
        .map(|(task, start)| start + task.still());
    let length = ends.max().unwrap_or(0);
    let late = backward(left, &order, &after, length);
    Times {
        early,
        late,
        length,
        after,
    }
}

/// The tasks in an order that keeps to `follows`, and what comes after each.
fn in_order(left: &Left) -> (Vec<usize>, Vec<Vec<usize>>) {
    let mut after = vec![Vec::new(); left.tasks.len()];
    let mut waits: Vec<usize> = left.tasks.iter().map(|task| task.before.len()).collect();
    for (index, task) in left.tasks.iter().enumerate() {
        for first in &task.before {
            after[*first].push(index);
        }
    }
    let mut order: Vec<usize> = (0..left.tasks.len())
        .filter(|task| waits[*task] == 0)
        .collect();
    let mut next = 0;
    while let Some(task) = order.get(next).copied() {
        next += 1;
        for later in &after[task] {
            waits[*later] -= 1;
            if waits[*later] == 0 {
                order.push(*later);
            }
        }
    }
    (order, after)
}

fn forward(left: &Left, order: &[usize]) -> Vec<u64> {
    let mut early = vec![0; left.tasks.len()];
    for index in order {
        let task = &left.tasks[*index];
        let ends = task
            .before
            .iter()
            .map(|first| early[*first] + left.tasks[*first].still());
        early[*index] = ends.max().unwrap_or(0).max(part_wait(left, task));
    }
    early
}

fn backward(left: &Left, order: &[usize], after: &[Vec<usize>], length: u64) -> Vec<u64> {
    let mut late = vec![0; left.tasks.len()];
    for index in order.iter().rev() {
        let finish = after[*index]
            .iter()
            .map(|later| late[*later])
            .min()
            .unwrap_or(length);
        late[*index] = finish.saturating_sub(left.tasks[*index].still());
    }
    late
}

/// Seconds of work until its parts are in.
fn part_wait(left: &Left, task: &Task) -> u64 {
    let days = clock::day_of(task.ready).saturating_sub(left.tomorrow);
    u64::from(days) * u64::from(task.window)
}

impl Times {
    /// In hours and names.
    pub(super) fn network(&self, left: &Left, id: impl Fn(usize) -> String) -> Network {
        let mut network = Network {
            length: clock::hours(self.length),
            ..Network::default()
        };
        for (index, task) in left.tasks.iter().enumerate() {
            let (early, late, still) = (self.early[index], self.late[index], task.still());
            let job = id(task.job);
            if early == late && still > 0 {
                network.critical.insert(job.clone());
                let part = task
                    .part
                    .filter(|_| early > 0 && part_wait(left, task) == early);
                network
                    .critical_parts
                    .extend(part.map(|part| left.parts[part].id.clone()));
            }
            network.nodes.push(Node {
                job,
                hours: clock::hours(still),
                early_start: clock::hours(early),
                early_finish: clock::hours(early + still),
                late_start: clock::hours(late),
                late_finish: clock::hours(late + still),
                slack: clock::hours(late - early),
            });
        }
        network
    }
}
