//! What stands against handing a vehicle over.
//!
//! In: a build. Out: what is on hold and the checks out of limits, in words. An error in the book
//! is worse: it may hide any of these.

use crate::build::Build;
use crate::calc::Verdict;
use crate::hold::{HoldEvent, HoldEventKind};
use crate::view_model;

view_model! {
    /// What stands against a handover.
    #[derive(Default, PartialEq, Eq)]
    pub struct Against {
        /// `arch_gap: no reading, needs at least 25 mm`
        pub hold: Vec<String> => Named,
        /// `Ten metres across the yard: moved on day 9 while 1 line was on hold`
        pub moved: Vec<String> => Named,
        /// `tail_after within 3.4 ± 0.4 deg: out of limits`
        pub out_of_limits: Vec<String> => Named,
    }
}

impl Against {
    /// Does nothing stand against it?
    pub fn is_nothing(&self) -> bool {
        self.hold.is_empty() && self.moved.is_empty() && self.out_of_limits.is_empty()
    }
}

/// What stands against handing over what a build tells of.
pub fn against(build: &Build) -> Against {
    let worked = &build.worked;
    let hold = build.hold.lines.iter();
    let is_out = |verdict| verdict == Verdict::OutOfLimits;
    let out = worked
        .checks
        .iter()
        .enumerate()
        .filter(|(_, check)| check.latest().is_some_and(|now| is_out(now.verdict)));
    let failing = worked.choices.iter().filter(|(_, story)| story.fails());
    let no_window =
        failing.map(|(name, _)| format!("{}: no size in the range fits", worked.text(*name)));
    Against {
        hold: hold
            .map(|line| format!("{}: {}", line.id, line.why))
            .collect(),
        moved: build
            .hold_history
            .iter()
            .filter(|event| event.kind == HoldEventKind::Moved)
            .map(moved)
            .collect(),
        out_of_limits: out
            .map(|(index, _)| format!("{}: out of limits", worked.rule(index)))
            .chain(no_window)
            .collect(),
    }
}

/// The move, and the first of the lines that were open then.
fn moved(event: &HoldEvent) -> String {
    let lines = event
        .lines
        .iter()
        .map(|line| format!("{}: {}", line.id, line.why));
    let more = (event.more > 0).then(|| format!("and {} more", event.more));
    let lines: Vec<String> = lines.chain(more).collect();
    format!("{}: {} ({})", event.id, event.words(), lines.join("; "))
}
